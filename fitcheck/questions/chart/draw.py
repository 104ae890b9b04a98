"""The chart of a kit as a picture: parts down, tanks across, a field for each."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from fitcheck.draw import ink
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, fitted
from fitcheck.draw.paint import blank, checked_path, put, write
from fitcheck.draw.svg import svg as svg_of
from fitcheck.questions.chart.answer import Chart, ChartRow, rows_of
from fitcheck.questions.dip.say_tanks import spare_words
from fitcheck.things.answer import Verdict
from fitcheck.things.shop import Shop, Show
from fitcheck.words.units import show_length

# How a field looks: its ground, its words, and whether they are heavy. The word in it says the same.
LOOKS: dict[Verdict, tuple[str, str, bool]] = {
    "fits": (ink.LIQUID, ink.INK, True),
    "measure again": (ink.AIR, ink.INK, True),
    "does not fit": (ink.PAPER, ink.UNKNOWN, False),
    "not found": (ink.WALL, ink.INK, False),
}
_KEY = {
    "fits": "goes under: its least level over the floor",
    "measure again": "?  measure again: the tape decides",
    "does not fit": "does not fit, proven: what every clearance is short",
    "not found": "not found",
}
_PART_PT, _FIELD_PT, _ROW_PT, _EDGE_PT, _HEAD_PT = 110.0, 136.0, 24.0, 26.0, 62.0
_KEY_ROW_PT = 19.0
_TITLE_PT, _PRINT_PT, _KEY_PT = 21.0, 13.0, 12.0


def draw(answer: Chart | ChartRow, shop: Shop, path: Path) -> tuple[str, ...]:
    """Draw a chart of this shop; see `draw_chart`. It has nothing to note."""
    draw_chart(rows_of(answer), shop.show, path, shop.name)
    return ()


def svg(answer: Chart | ChartRow, shop: Shop) -> str:
    """Return the chart as SVG."""
    marks, size = chart_marks(rows_of(answer), shop.show, shop.name)
    return svg_of(marks, size, shop.name or "Parts and tanks")


def draw_chart(rows: Sequence[ChartRow], show: Show, path: Path | str, shop_name: str = "") -> None:
    """Draw the chart to `path` (.png, .svg or .pdf); raises `Refused` as every picture does."""
    target = checked_path(Path(path))
    marks, size = chart_marks(rows, show, shop_name)
    paper = blank(size)
    put(marks, paper)
    write(paper, target)


def chart_marks(
    rows: Sequence[ChartRow], show: Show, shop_name: str = ""
) -> tuple[Marks, tuple[float, float]]:
    """Return the chart and the size of its sheet, which grows with the kit."""
    parts, tanks = list(dict.fromkeys(r.part for r in rows)), list(dict.fromkeys(r.tank for r in rows))
    told: list[Verdict] = [verdict for verdict in LOOKS if any(row.verdict == verdict for row in rows)]
    foot = _EDGE_PT + _KEY_ROW_PT * len(told)
    size = (
        2.0 * _EDGE_PT + _PART_PT + _FIELD_PT * len(tanks),
        _EDGE_PT + _HEAD_PT + _ROW_PT * len(parts) + 10.0 + foot,
    )
    top = size[1] - _EDGE_PT - _HEAD_PT
    marks: list[Mark] = [
        fitted(
            Label(shop_name or "Parts and tanks", (_EDGE_PT, size[1] - 40.0), _TITLE_PT, True, align="left"),
            size[0] - 2.0 * _EDGE_PT,
        )
    ]
    for k, tank in enumerate(tanks):
        middle = _EDGE_PT + _PART_PT + (k + 0.5) * _FIELD_PT
        marks.append(fitted(Label(tank, (middle, top + 12.0), _PRINT_PT, True), _FIELD_PT - 8.0))
    for k, part in enumerate(parts):
        at = (_EDGE_PT, top - (k + 0.5) * _ROW_PT)
        marks.append(fitted(Label(part, at, _PRINT_PT, True, align="left"), _PART_PT - 8.0))
    for row in rows:
        left = _EDGE_PT + _PART_PT + tanks.index(row.tank) * _FIELD_PT
        high = top - parts.index(row.part) * _ROW_PT
        marks += _field(row, Box(left, high - _ROW_PT, left + _FIELD_PT, high), show)
    return (*marks, *_key(told, foot)), size


def _field(row: ChartRow, box: Box, show: Show) -> Marks:
    ground, colour, heavy = LOOKS[row.verdict]
    if row.least_level_mm is not None:
        words = show_length(row.least_level_mm, show) + (" ?" if row.verdict == "measure again" else "")
    else:
        words = spare_words(row.verdict, row.spare_mm, row.spare_at_most_mm, show)
    middle = ((box.left + box.right) / 2.0, (box.low + box.high) / 2.0)
    label = fitted(Label(words, middle, _PRINT_PT, heavy, colour), box.width - 10.0)
    return (Area((box.ring,), fill=ground, line=ink.FAINT, width_pt=0.7), label)


def _key(told: Sequence[Verdict], high: float) -> Marks:
    """Return what each ground means."""
    marks: list[Mark] = []
    for k, verdict in enumerate(told):
        y = high - (k + 0.5) * _KEY_ROW_PT
        ring = Box(_EDGE_PT, y - 6.5, _EDGE_PT + 24.0, y + 6.5).ring
        marks += [
            Area((ring,), fill=LOOKS[verdict][0], line=ink.FAINT, width_pt=0.7),
            Label(_KEY[verdict], (_EDGE_PT + 32.0, y), _KEY_PT, align="left"),
        ]
    return tuple(marks)
