"""Answers as tables: one part in every tank, every part in every tank, the dip-stick, the parts list."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table

from fitcheck.rim.cli.width import columns
from fitcheck.things.answers import Answer, Fits, MeasureAgain, Verdict
from fitcheck.things.tank import Tank
from fitcheck.words.rounding import at_most, some
from fitcheck.words.units import MM2_PER_M2, Show, show_angle, show_area, show_length, show_mass, show_volume

if TYPE_CHECKING:
    from fitcheck.questions.chart import ChartRow
    from fitcheck.questions.fill import FillRow
    from fitcheck.questions.measure import Measured

# In a chart a plain "no" reads faster than "does not fit".
CHART_WORDS: dict[Verdict, str] = {
    "fits": "fits",
    "does not fit": "no",
    "measure again": "measure again",
    "not found": "not found",
}


# What is done where one dip is proven not to do.
BY_HAND = "ask fitcheck pass; else spray or wipe it"


def tanks_table(answers: Sequence[Answer], show: Show) -> str:
    """Return one part in every tank, a line each."""
    rows = []
    for answer in answers:
        spare = answer.spare
        words = spare_words(answer.verdict, spare.mm, spare.at_most_mm, show)
        cells = [answer.tank, answer.verdict, words]
        if isinstance(answer, Fits | MeasureAgain):
            advice = answer.advice
            cells += [
                show_angle(advice.pose.angles.tilt_rad),
                show_length(advice.fill.level_mm, show),
                show_volume(advice.fill.liquid_l, show),
            ]
        rows.append(cells)
    return table_text(["tank", "answer", "to spare", "tilt", "level, part in", "liquid"], rows)


def chart_table(rows: Sequence[ChartRow], show: Show) -> str:
    """Return parts down and tanks across: the word and the room left or short."""
    tanks = list(dict.fromkeys(row.tank for row in rows))
    cells = {(row.part, row.tank): _chart_cell(row, show) for row in rows}
    parts = list(dict.fromkeys(row.part for row in rows))
    table = table_text(["part", *tanks], [[part, *(cells[part, tank] for tank in tanks)] for part in parts])
    return f"What every clearance has to spare at best, or lacks\n\n{table}"


def by_hand_table(rows: Sequence[ChartRow], steps: Sequence[tuple[str, Sequence[str]]]) -> str:
    """Return the parts that go into no tank of a step (its name and tanks), and what to do about it.

    Only where all its tanks are proven to have no room is a step told to be done by hand.
    """
    verdicts = {(row.part, row.tank): row.verdict for row in rows}
    told = []
    for part in dict.fromkeys(row.part for row in rows):
        missed: dict[str, list[str]] = {}
        for step, tanks in steps:
            found = {verdicts[part, tank] for tank in tanks}
            if "fits" not in found:
                word = next((w for w in ("measure again", "not found") if w in found), BY_HAND)
                missed.setdefault(word, []).append(step)
        told += [[part, ", ".join(names), word] for word, names in missed.items()]
    return (
        f"Steps that no tank takes a part for in one dip\n\n{table_text(['part', 'steps', ''], told)}"
        if told
        else ""
    )


def fill_table(tank: Tank, rows: Sequence[FillRow], show: Show) -> str:
    """Return the dip-stick of a tank: blocks and fittings are taken off."""
    lines = [
        [show_length(r.from_rim_mm, show), show_length(r.level_mm, show), show_volume(r.liquid_l, show)]
        for r in rows
    ]
    title = f"{tank.name}: liquid, no part in, what stands in the tank taken off"
    return f"{title}\n\n{table_text(['down from the rim', 'level over the floor', 'liquid'], lines)}"


def measured_table(rows: Sequence[Measured], show: Show) -> str:
    """Return what the parts are, a line each, and what was noted of them."""
    lines = [
        [
            row.part,
            " x ".join(show_length(size, show) for size in row.size_mm),
            show_volume(row.volume_l, show),
            show_area(row.area_m2 * MM2_PER_M2, show),
            show_mass(row.mass_kg, show),
            show_volume(row.sealed_l, show) if row.sealed_l else "none",
        ]
        for row in rows
    ]
    notes = [f"{row.part}: {text}" for row in rows for text in row.notes]
    table = table_text(
        ["part", "length x width x height", "metal", "wetted area", "mass", "sealed space"], lines
    )
    return "\n\n".join(["\n".join(block) for block in ([table], notes) if block])


def spare_words(verdict: Verdict, found_mm: float, at_most_mm: float, show: Show) -> str:
    """Return the room left as found; of what does not fit, how much is proven to be lacking."""
    if verdict == "does not fit":
        return f"{some(-at_most_mm, show)} short"
    return f"{at_most(-found_mm, show)} short" if found_mm < 0.0 else some(found_mm, show)


def table_text(heads: Iterable[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a plain table, as wide as it needs to be; rows in paragraphs on a narrower terminal."""
    heads, rows = list(heads), list(rows)
    text = _drawn(heads, rows)
    room = columns()
    wide = max(map(len, text.splitlines()), default=0)
    # Where nobody's terminal is written to, rows stay rows, however wide.
    return text if room is None or wide <= room else _one_below_the_other(heads, rows)


def _drawn(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    table = Table(*heads, box=SIMPLE_HEAD, pad_edge=False, show_edge=False)
    for row in rows:
        table.add_row(*row)
    # Wider than any table here: a cell is never cut or folded, whatever the terminal.
    paper = Console(file=io.StringIO(), width=1000, markup=False, highlight=False, emoji=False, no_color=True)
    with paper.capture() as captured:
        paper.print(table)
    return "\n".join(line.rstrip() for line in captured.get().splitlines()).strip("\n")


def _one_below_the_other(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return each row as its first cell and, below it, the others behind their heads."""
    wide = max(map(len, heads)) + 2
    told = []
    for row in rows:
        cells = [
            f"  {head.ljust(wide)}{cell}" for head, cell in zip(heads[1:], row[1:], strict=False) if cell
        ]
        told.append("\n".join([row[0], *cells]))
    return "\n\n".join(told)


def _chart_cell(row: ChartRow, show: Show) -> str:
    words = CHART_WORDS[row.verdict]
    return f"{words}, {spare_words(row.verdict, row.spare_mm, row.spare_at_most_mm, show)}"
