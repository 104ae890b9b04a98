"""The fill ladder in the words of the shop: what is mixed, load by load what is added, and the blocks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from fitcheck.rim.cli.cautions import BLOCKS, OUTRANKED, WATER_TEST, tank_cautions
from fitcheck.rim.cli.dip_text import aligned, cautions_text, folded
from fitcheck.rim.cli.lot_text import (
    NO_DRIP,
    ONE_BY_ONE,
    contents,
    counted,
    left_out_table,
    lift_cautions,
    lot_table,
)
from fitcheck.rim.cli.tables import table_text
from fitcheck.things.block_design import Piece
from fitcheck.things.lots import Bath, LadderAnswer, LadderStep
from fitcheck.things.part import Part
from fitcheck.things.tank import Tank
from fitcheck.words.units import Show, show_force, show_length, show_volume

BOUND = (
    "The bound holds for boxes beside the parts, the stock's gap from the walls and side_clearance from the "
    "parts, and for ways of hanging that catch no more air than air_at_most or the way advised. A dam, or a "
    "block under a part, may do with less: ask fitcheck block."
)
LOSSES = "What parts carry out and what dries off is not in it: ask fitcheck mix for the drag-out."


def with_ladder_cautions(
    answer: LadderAnswer, parts: Mapping[str, Part], tanks: Mapping[str, Tank], show: Show
) -> LadderAnswer:
    """Return the answer with its cautions and those of its tanks."""
    used = [tanks[name] for name in dict.fromkeys(step.tank for step in answer.steps)]
    low = [line for tank in used for line in tank_cautions(tank, show) if line not in {WATER_TEST, OUTRANKED}]
    blocks = (BLOCKS, BOUND) if any(step.blocks for step in answer.steps) else (BOUND,)
    lift = lift_cautions([step.lot for step in answer.steps], parts, tanks)
    ours = (*blocks, LOSSES, NO_DRIP, ONE_BY_ONE, *lift, *low, WATER_TEST, OUTRANKED)
    return replace(answer, cautions=tuple(dict.fromkeys((*answer.cautions, *ours))))


def ladder_text(answer: LadderAnswer, parts: Mapping[str, Part], show: Show) -> str:
    """Return the answer as text."""
    blocks = [
        folded(first_line(answer, show)),
        "\n".join(aligned([(bath.work, bath_words(bath, show)) for bath in answer.baths])),
        _steps_table(answer, show),
        *(_step(k, step, parts, show) for k, step in enumerate(answer.steps)),
        left_out_table(answer.left_out, {}),
        cautions_text(answer.cautions),
    ]
    return "\n\n".join(block for block in blocks if block)


def first_line(answer: LadderAnswer, show: Show) -> str:
    """Return the answer in one line."""
    if answer.mixed_l is not None:
        can = sum(step.can_do is True for step in answer.steps)
        mixed = show_volume(answer.mixed_l, show)
        return f"{can} of {counted(len(answer.steps))} can be done on {mixed} in each tank"
    mix, bound = show_volume(answer.mix_at_most_l, show), show_volume(answer.bound_l, show)
    without = show_volume(answer.without_blocks_l, show)
    return (
        f"mix {mix} in all: {counted(len(answer.steps))}, liquid only ever added; proven: no less than "
        f"{bound} will do; without blocks {without}"
    )


def bath_words(bath: Bath, show: Show) -> str:
    """Return what is mixed for one bath."""
    if not bath.tanks:
        return "nothing goes in"
    mix, bound = show_volume(bath.mix_at_most_l, show), show_volume(bath.bound_l, show)
    without = show_volume(bath.without_blocks_l, show)
    return f"in {' and '.join(bath.tanks)}: {mix}, {bound} at least; {without} without blocks"


def _steps_table(answer: LadderAnswer, show: Show) -> str:
    rows = [
        [
            str(k + 1),
            step.tank,
            show_volume(step.add_l, show),
            show_volume(step.liquid_l, show),
            show_length(step.level_mm, show),
            str(len(step.blocks) or "none"),
            *([] if step.can_do is None else ["yes" if step.can_do else "no"]),
            contents(step.lot),
        ]
        for k, step in enumerate(answer.steps)
    ]
    can = [] if answer.mixed_l is None else ["can be done"]
    heads = ["load", "tank", "add", "liquid then", "level, parts in", "blocks", *can, "parts"]
    return table_text(heads, rows) if rows else ""


def _step(k: int, step: LadderStep, parts: Mapping[str, Part], show: Show) -> str:
    title = f"Load {k + 1}, {step.tank}, for {step.work}"
    if not step.blocks:
        return f"{title}: no blocks\n{lot_table(step.lot, parts, show)}"
    hold = show_force(step.hold_down_n, show)
    stood = "\n".join(aligned([("Blocks", line) for line in _stood(step.blocks, show)]))
    return f"{title}: straps on the blocks for {hold}\n{stood}\n\n{lot_table(step.lot, parts, show)}"


def _stood(pieces: Sequence[Piece], show: Show) -> list[str]:
    """Return a line for each size of block: how many, and where."""
    alike: dict[str, list[Piece]] = {}
    for piece in pieces:
        alike.setdefault(" x ".join(show_length(side, show) for side in piece.size_mm), []).append(piece)
    return [
        f"{len(rows)} of {size}; low corners at "
        + "; ".join(f"x {show_length(p.at_mm[0], show)}, y {show_length(p.at_mm[1], show)}" for p in rows)
        for size, rows in alike.items()
    ]
