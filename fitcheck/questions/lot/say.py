"""Loads in the words of the shop: how many, what goes in with what, how each hangs, what is left out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fitcheck.questions.lot.answer import LeftOut, Lot, LotAnswer, LotPart, LotWork
from fitcheck.say.attitude_words import hanging
from fitcheck.say.lines import aligned, cautions_text, folded
from fitcheck.say.tables import table_text
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.words.units import Show, show_length, show_mass, show_volume


def text(answer: LotAnswer, shop: Shop) -> str:
    """Return the answer as text: how many loads, what is in each, what is left out, cautions."""
    parts, show = shop.parts, shop.show
    blocks = [
        folded(first_line(answer)),
        "\n".join(aligned([(work.name, _work(work)) for work in answer.works])),
        _lots_table(answer.lots, show),
        *(f"Load {k + 1}, {lot.tank}\n{lot_table(lot, parts, show)}" for k, lot in enumerate(answer.lots)),
        left_out_table(answer.left_out, {work.name: work.steps for work in answer.works}),
        cautions_text(answer.cautions, show),
    ]
    return "\n\n".join(block for block in blocks if block)


def counted(count: int) -> str:
    """Return a number of loads in words."""
    return "1 load" if count == 1 else f"{count} loads"


def contents(lot: Lot) -> str:
    """Return what is in a load: "P01, P16 x 12"."""
    counts: dict[str, int] = {}
    for each in lot.parts:
        counts[each.part] = counts.get(each.part, 0) + 1
    return ", ".join(name if count == 1 else f"{name} x {count}" for name, count in counts.items())


def first_line(answer: LotAnswer) -> str:
    """Return how many loads, what is proven of that, and how many parts have none."""
    lots, least = len(answer.lots), answer.at_least_lots
    proven = "proven: no fewer do" if lots == least else f"proven: {least} at least"
    left = {each.part for each in answer.left_out}
    out = "" if not left else f"; {len(left)} part{'s' if len(left) > 1 else ''} left out of some or all"
    return f"{counted(lots)} ({proven}){out}"


def _work(work: LotWork) -> str:
    tanks = " or ".join(work.tanks)
    where = "" if work.name == tanks else f"in {tanks}: "
    least = "no fewer do" if work.lots == work.at_least else f"{work.at_least} at least"
    return f"{where}{counted(work.lots)}, {least}" if work.lots else f"{where}nothing goes in"


def _lots_table(lots: Sequence[Lot], show: Show) -> str:
    rows = [
        [
            str(k + 1),
            lot.work,
            lot.tank,
            show_length(lot.level_mm, show),
            show_length(lot.rise_mm, show),
            show_volume(lot.liquid_l, show),
            show_mass(lot.wet_kg, show),
            contents(lot),
        ]
        for k, lot in enumerate(lots)
    ]
    heads = ["load", "for", "tank", "level, parts in", "they raise it", "liquid", "lifted out", "parts"]
    return table_text(heads, rows) if rows else ""


def lot_table(lot: Lot, parts: Mapping[str, Part], show: Show) -> str:
    """Return where each part of a load hangs, how, and how high its hook must go where that is known."""
    hooks = any(each.hook_mm is not None for each in lot.parts)
    rows = []
    for each in lot.parts:
        part = parts[each.part]
        hook = [] if not hooks else ["" if each.hook_mm is None else show_length(each.hook_mm, show)]
        row = [f"{each.part} {each.number}", _corner(each, part, show), *hook, hanging(each.pose, part, show)]
        rows.append(row)
    heads = ["part", "nearest corner at", *(["hook at least at"] if hooks else []), "how it hangs"]
    return table_text(heads, rows)


def _corner(each: LotPart, part: Part, show: Show) -> str:
    low = each.pose.apply(part.solid.vertices_mm).min(axis=0)
    return f"x {show_length(float(low[0]), show)}, y {show_length(float(low[1]), show)}"


def left_out_table(left_out: Sequence[LeftOut], steps: Mapping[str, Sequence[str]]) -> str:
    """Return what has no load and why; steps: of each work, that it must then be sprayed or wiped for."""
    rows = []
    for each in left_out:
        name = each.part if each.count == 1 else f"{each.part} x {each.count}"
        by_hand = " and ".join(steps.get(each.work, ()))
        cure = f"; {by_hand}: spray or wipe it" if by_hand else ""
        rows.append([name, each.work, each.verdict, f"{each.why}{cure}"])
    return f"Left out\n{table_text(['part', 'for', 'answer', 'why'], rows)}" if rows else ""
