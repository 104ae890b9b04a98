"""The fill ladder in the words of the shop: what is mixed, load by load what is added, and the blocks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from fitcheck.questions.ladder.answer import Bath, Build, LadderAnswer, LadderStep
from fitcheck.questions.lot.say import (
    NO_DRIP,
    ONE_BY_ONE,
    contents,
    counted,
    left_out_table,
    lift_cautions,
    lot_table,
)
from fitcheck.say.legacy_cautions import BLOCKS, OUTRANKED, WATER_TEST, tank_cautions
from fitcheck.say.lines import aligned, cautions_text, folded
from fitcheck.say.tables import table_text
from fitcheck.things.part import Part
from fitcheck.things.stock import Piece
from fitcheck.things.tank import Tank
from fitcheck.words.units import Show, show_force, show_length, show_mass, show_volume

BOUND = (
    "The bound holds for boxes beside the parts, no side under the stock's thinnest, its gap from the walls "
    "and side_clearance from the parts, and for ways of hanging that catch no more air than air_at_most or "
    "the way advised. A dam, or a block under a part, may do with less: ask fitcheck block."
)
FEW = (
    "Each load has blocks made for it, {count} different ones in all: ask with --blocks 4 for a few that "
    "serve one load after another, and what each of them saves."
)
FEW_BOUND = (
    "The few blocks were chosen one by one: another set may save more. The bound is for any number. "
    "Beside them less goes in together; what is mixed at most with each is for parts one by one."
)
# A shop builds so many without asking.
NO_FEW = 4
LOSSES = "What parts carry out and what dries off is not in it: ask fitcheck mix for the drag-out."


def with_ladder_cautions(
    answer: LadderAnswer, parts: Mapping[str, Part], tanks: Mapping[str, Tank], show: Show
) -> LadderAnswer:
    """Return the answer with its cautions and those of its tanks."""
    used = [tanks[name] for name in dict.fromkeys(step.tank for step in answer.steps)]
    low = [line for tank in used for line in tank_cautions(tank, show) if line not in {WATER_TEST, OUTRANKED}]
    blocks = (BLOCKS, BOUND) if any(step.blocks for step in answer.steps) else (BOUND,)
    different = len({piece.size_mm for step in answer.steps for piece in step.blocks})
    if answer.builds:
        blocks = (*blocks, FEW_BOUND)
    elif different > NO_FEW:
        blocks = (*blocks, FEW.format(count=different))
    lift = lift_cautions([step.lot for step in answer.steps], parts, tanks)
    ours = (*blocks, LOSSES, NO_DRIP, ONE_BY_ONE, *lift, *low, WATER_TEST, OUTRANKED)
    return replace(answer, cautions=tuple(dict.fromkeys((*answer.cautions, *ours))))


def ladder_text(answer: LadderAnswer, parts: Mapping[str, Part], show: Show) -> str:
    """Return the answer as text."""
    blocks = [
        folded(first_line(answer, show)),
        "\n".join(aligned([(bath.work, bath_words(bath, show)) for bath in answer.baths])),
        *(_build_table(build, show) for build in answer.builds),
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
    built = sum(len(build.blocks) for build in answer.builds)
    few = f" with {built} block{'' if built == 1 else 's'} to build" if answer.builds else ""
    return (
        f"mix {mix} in all{few}: {counted(len(answer.steps))}, liquid only ever added; proven: no less than "
        f"{bound} will do; without blocks {without}"
    )


def bath_words(bath: Bath, show: Show) -> str:
    """Return what is mixed for one bath."""
    if not bath.tanks:
        return "nothing goes in"
    mix, bound = show_volume(bath.mix_at_most_l, show), show_volume(bath.bound_l, show)
    without = show_volume(bath.without_blocks_l, show)
    return f"in {' and '.join(bath.tanks)}: {mix}, {bound} at least; {without} without blocks"


def _build_table(build: Build, show: Show) -> str:
    """Return the few blocks to build for a tank, and what each of them saves."""
    rows = [["none", "", "", show_volume(build.mix_l[0], show), ""]]
    for k, block in enumerate(build.blocks):
        size = " x ".join(show_length(side, show) for side in block.size_mm)
        then, saves = build.mix_l[k + 1], build.mix_l[k] - build.mix_l[k + 1]
        empty = show_mass(block.mass_kg, show)
        rows.append([str(k + 1), size, empty, show_volume(then, show), show_volume(saves, show)])
    heads = ["block", "size as it stands", "empty", "mix at most", "it saves"]
    return f"Blocks to build for {build.tank}, for {build.work}\n{table_text(heads, rows)}"


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
