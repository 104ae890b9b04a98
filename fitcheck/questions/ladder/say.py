"""The fill ladder in the words of the shop: what is mixed, load by load what is added, and the blocks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fitcheck.questions.ladder.answer import Bath, Build, LadderAnswer, LadderStep
from fitcheck.questions.lot.say import contents, counted, left_out_table, lot_table
from fitcheck.say.lines import aligned, cautions_text, folded
from fitcheck.say.tables import table_text
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.things.stock import Piece
from fitcheck.words.units import Show, show_force, show_length, show_mass, show_volume


def text(answer: LadderAnswer, shop: Shop) -> str:
    """Return the answer as text: what is mixed, load by load what is added, what is left out, cautions."""
    parts, show = shop.parts, shop.show
    blocks = [
        folded(first_line(answer, show)),
        "\n".join(aligned([(bath.work, bath_words(bath, show)) for bath in answer.baths])),
        *(_build_table(build, show) for build in answer.builds),
        _steps_table(answer, show),
        *(_step(k, step, parts, show) for k, step in enumerate(answer.steps)),
        left_out_table(answer.left_out, {}),
        cautions_text(answer.cautions, show),
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
