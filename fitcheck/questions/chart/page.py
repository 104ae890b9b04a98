"""The first pages of a set: which part goes in which tank on how little liquid, and the cautions for all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fitcheck.draw.captions import STANDING_CAUTION
from fitcheck.draw.sheet_sections import Facts, Notes, Page, Section, Table, Tone, Value
from fitcheck.questions.chart.say import CHART_WORDS
from fitcheck.questions.dip.page import FOR_EVERY_LIFT
from fitcheck.questions.dip.say_tanks import spare_words
from fitcheck.say.cautions import sentences
from fitcheck.things.answer import Verdict
from fitcheck.things.shop import Shop, Show
from fitcheck.things.tank import Tank
from fitcheck.things.tank_cautions import tank_cautions
from fitcheck.words.units import show_length

_UNDER = (
    "Every part in every tank, in one pass. A part has a page for each liquid, in the tank that takes least."
)
# Parts to a page of the chart, at the least print.
_ROWS = 24
_TONES: dict[Verdict, Tone] = {
    "fits": "go",
    "does not fit": "faint",
    "measure again": "care",
    "not found": "care",
}


@dataclass(frozen=True, slots=True)
class Cell:
    """A part in a tank, in short. level_mm: the least, part in; None where it does not go under."""

    tank: str
    verdict: Verdict
    spare_mm: float
    spare_at_most_mm: float
    level_mm: float | None


@dataclass(frozen=True, slots=True)
class Row:
    """One part on the chart. pages: its own. nowhere: why, where it has none."""

    part: str
    cells: tuple[Cell, ...]
    pages: range
    nowhere: str = ""


def cover_pages(
    shop: Shop, tanks: Sequence[Tank], rows: Sequence[Row], more: Sequence[Page] = ()
) -> tuple[Page, ...]:
    """Return the first pages of a set; `more` come after the chart: what the whole kit takes, what to buy."""
    charts = [
        _chart_page(shop, tanks, rows[at : at + _ROWS], last=at + _ROWS >= len(rows), everything=rows)
        for at in range(0, max(1, len(rows)), _ROWS)
    ]
    return (*charts, *more, read_first(shop, tanks))


def cover_count(rows: int, more: int = 0) -> int:
    """Return how many pages `cover_pages` makes for so many parts."""
    return max(1, -(-rows // _ROWS)) + more + 1


def _chart_page(
    shop: Shop, tanks: Sequence[Tank], rows: Sequence[Row], *, last: bool, everything: Sequence[Row]
) -> Page:
    heads = ("part", *(f"{tank.name} {tank.liquid.name}" for tank in tanks), "page")
    cells = tuple(_line(row, tanks, shop.show) for row in rows)
    tones = tuple(_tones(row, tanks) for row in rows)
    widths = (0.6, *(1.4,) * len(tanks), 0.8)
    title = (
        "Least level over the floor, part in; in grey what each clearance is short where it does not go under"
    )
    nowhere = tuple(f"{row.part}: {row.nowhere}" for row in everything if row.nowhere) if last else ()
    sections: tuple[Section, ...] = (
        Table(title, heads, cells, widths, tones),
        *((Notes("No lift is told for", nowhere, "no"),) if nowhere else ()),
    )
    return Page(
        kind="cover",
        tag="Kit",
        title=shop.name,
        under=_UNDER,
        sections=sections,
        foot=STANDING_CAUTION,
    )


def _tones(row: Row, tanks: Sequence[Tank]) -> tuple[Tone, ...]:
    """Return what stands out on a part's line: its levels, and where it has no lift at all."""
    by_tank = {cell.tank: cell for cell in row.cells}
    own: Tone = "no" if row.nowhere else "plain"
    return (own, *(_TONES[by_tank[tank.name].verdict] for tank in tanks), own)


def _line(row: Row, tanks: Sequence[Tank], show: Show) -> tuple[str, ...]:
    by_tank = {cell.tank: cell for cell in row.cells}
    pages = _pages(row.pages)
    return (row.part, *(_words(by_tank[tank.name], show) for tank in tanks), pages)


def _pages(pages: range) -> str:
    """Return page numbers, from and to."""
    if not pages:
        return "none"
    return f"{pages[0]} - {pages[-1]}" if len(pages) > 1 else str(pages[0])


def _words(cell: Cell, show: Show) -> str:
    if cell.level_mm is not None:
        again = "" if cell.verdict == "fits" else f", {CHART_WORDS[cell.verdict]}"
        return f"{show_length(cell.level_mm, show)}{again}"
    words = spare_words(cell.verdict, cell.spare_mm, cell.spare_at_most_mm, show)
    return words if cell.verdict == "does not fit" else f"{CHART_WORDS[cell.verdict]}, {words}"


def read_first(shop: Shop, tanks: Sequence[Tank]) -> Page:
    """Return the page with the cautions for every lift, how to read a sheet, and what is kept free."""
    show = shop.show
    rules = tuple(Value(tank.name, _rules(tank, show)) for tank in tanks)
    of_tanks = sentences((each for tank in tanks for each in tank_cautions(tank)), show)
    read = (
        Value("Level", "heights are over the tank's floor, fill lines down from its rim"),
        Value("x, y, z", "a place on the part as drawn: along its length, across its width, up"),
        Value("Tilt", "the +x end up (the end that x counts to), or the -x end"),
        Value("Roll", "turned about its length, the side named coming up"),
        Value("Swing", "turned in plan, seen from above; tanks are drawn with their x to the right"),
    )
    return Page(
        kind="cover",
        tag="Read first",
        title="for every lift",
        under=shop.name,
        sections=(
            Notes(
                "Cautions, and where they come from", tuple(dict.fromkeys((*FOR_EVERY_LIFT, *of_tanks))), "no"
            ),
            Facts("How to read a sheet", read),
            Facts("Clear length, width, depth, and what is kept free", rules),
        ),
        foot=STANDING_CAUTION,
    )


def _rules(tank: Tank, show: Show) -> str:
    rules = tank.rules
    size = " x ".join(show_length(side, show) for side in tank.size_mm)
    return (
        f"{size}; {show_length(rules.side_clearance_mm, show)} to walls, "
        f"{show_length(rules.bottom_clearance_mm, show)} to the floor, {show_length(rules.cover_mm, show)} "
        f"over the part, {show_length(rules.freeboard_mm, show)} of freeboard"
    )
