"""Every part in every tank, in the words of the shop."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.questions.chart.answer import Chart, ChartRow, rows_of
from fitcheck.questions.dip.say_tanks import spare_words
from fitcheck.say.lines import cautions_text
from fitcheck.say.tables import table_text
from fitcheck.things.answer import Verdict
from fitcheck.things.shop import Shop
from fitcheck.words.units import Show

# In a chart a plain "no" reads faster than "does not fit".
CHART_WORDS: dict[Verdict, str] = {
    "fits": "fits",
    "does not fit": "no",
    "measure again": "measure again",
    "not found": "not found",
}


# What is done where one dip is proven not to do.
BY_HAND = "ask fitcheck pass; else spray or wipe it"


def text(answer: Chart | ChartRow, shop: Shop) -> str:
    """Return a chart, and the steps that no tank takes a part for; of one row, that row."""
    steps = shop.steps if isinstance(answer, Chart) else ()
    told = chart_text(rows_of(answer), shop.show, [(each.name, each.tanks) for each in steps if each.tanks])
    return "\n\n".join(block for block in (told, cautions_text(answer.cautions, shop.show)) if block)


def chart_text(rows: Sequence[ChartRow], show: Show, steps: Sequence[tuple[str, Sequence[str]]]) -> str:
    """Return rows as a table, and under it the steps (name and tanks) that no tank takes a part for."""
    tables = (chart_table(rows, show), by_hand_table(rows, steps))
    return "\n\n".join(table for table in tables if table)


def chart_table(rows: Sequence[ChartRow], show: Show) -> str:
    """Return parts down and tanks across: the word and the room left or short."""
    tanks = list(dict.fromkeys(row.tank for row in rows))
    cells = {(row.part, row.tank): _chart_cell(row, show) for row in rows}
    parts = list(dict.fromkeys(row.part for row in rows))
    table = table_text(["part", *tanks], [[part, *(cells[part, tank] for tank in tanks)] for part in parts])
    return f"What every clearance has to spare at best, or lacks\n\n{table}"


def by_hand_table(rows: Sequence[ChartRow], steps: Sequence[tuple[str, Sequence[str]]]) -> str:
    """Return the parts that go into no tank of a step (its name and tanks), and what to do about it.

    Only where all its tanks are proven to have no room is a step told to be done by hand: a tank without a
    row counts as not found.
    """
    verdicts = {(row.part, row.tank): row.verdict for row in rows}
    told = []
    for part in dict.fromkeys(row.part for row in rows):
        missed: dict[str, list[str]] = {}
        for step, tanks in steps:
            found = {verdicts.get((part, tank), "not found") for tank in tanks}
            if "fits" not in found:
                word = next((w for w in ("measure again", "not found") if w in found), BY_HAND)
                missed.setdefault(word, []).append(step)
        told += [[part, ", ".join(names), word] for word, names in missed.items()]
    return (
        f"Steps that no tank takes a part for in one dip\n\n{table_text(['part', 'steps', ''], told)}"
        if told
        else ""
    )


def _chart_cell(row: ChartRow, show: Show) -> str:
    words = CHART_WORDS[row.verdict]
    return f"{words}, {spare_words(row.verdict, row.spare_mm, row.spare_at_most_mm, show)}"
