"""Designs in the order in which they are worth building, each with the reason why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from fitcheck.geometry.plan.sheet_cutting import cut_sheets
from fitcheck.questions.block.answer import Design
from fitcheck.things.stock import Stock

# Designs that differ by less than this share of the whole bath are as good: the simpler one is first.
# One with more pieces that saves less than the second share more is not worth telling.
AS_GOOD, WORTH_MORE = 0.02, 0.005


def ranked(designs: Sequence[Design], without_l: float, stock: Stock) -> tuple[Design, ...]:
    """Return the designs best first, each with the reason: as good as any and simplest, then by liquid."""
    designs = [design for design in designs if _is_worth_it(design, designs, without_l)]
    if not designs:
        return ()
    enough = designs[0].liquid_l + AS_GOOD * without_l
    good = sorted(
        (design for design in designs if design.liquid_l <= enough), key=lambda each: len(each.pieces)
    )
    rest = [design for design in designs if design.liquid_l > enough]
    first = "least liquid" if good[0] is designs[0] else "as little liquid as any, within 2 %, fewest pieces"
    words = [first, *["as little liquid, in more pieces"] * (len(good) - 1), *["more liquid"] * len(rest)]
    return tuple(
        replace(design, reason=why, sheets=cut_sheets(design.panels, stock))
        for design, why in zip([*good, *rest], words, strict=True)
    )


def _is_worth_it(design: Design, others: Sequence[Design], without_l: float) -> bool:
    """Tell whether no design of the same kind with fewer pieces saves as much, or nearly."""
    return not any(
        other.kind == design.kind
        and len(other.pieces) < len(design.pieces)
        and other.liquid_l <= design.liquid_l + WORTH_MORE * without_l
        for other in others
    )
