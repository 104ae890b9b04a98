"""The picture of what is in a tank: its end view with the level, or with the whole dip-stick beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from fitcheck.draw import ink, layout
from fitcheck.draw.captions import Fact
from fitcheck.draw.dimension import Span, chain_below, chain_beside
from fitcheck.draw.flat import WALL_PT, Frame, surface_marks, tank_marks
from fitcheck.draw.ink import Box, Label, Mark, Marks, Stroke, text_size
from fitcheck.draw.layout import SHEET_PT, body_of_sheet
from fitcheck.draw.outline import END, SIDE
from fitcheck.draw.paint import blank, checked_path, put, write
from fitcheck.draw.svg import svg as svg_of
from fitcheck.questions.fill.answer import FillAnswer, FillRow
from fitcheck.things.shop import Shop, Show
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank
from fitcheck.words.units import show_length, show_volume

NO_PART = "No part is in: a part lifts the level. What stands in the tank (hatched) is taken off."
STAND = "Fill by the stick, not by the meter. The safety sheet outranks this sheet."
# Under a view for its size and name, over it for the heads of the stick.
_UNDER_PT, _OVER_PT = 54.0, 26.0
# From a wall to the line of a size, and the print of sizes and of the fill line.
_TIER_PT, _SIZE_PT, _LINE_PT = 14.0, 14.0, 17.0
# The end view's share of the width, and what is left at least for the words beside it.
_END_SHARE, _BESIDE_PT = 0.4, 190.0
_AIR_PT = 30.0
# Lines of the stick nearer than this are not all printed.
_ROW_PT, _ROW_PRINT_PT = 12.5, 11.0
_SIDE_PT = 200.0
# The columns of the stick, a tick's length from the tank and apart.
_HEADS = ("down from\nthe rim", "over\nthe floor", "liquid,\nno part in")
_HEAD_PRINT_PT, _TICK_PT, _COLUMN_PT = 10.0, 14.0, 10.0


def draw(answer: FillAnswer, shop: Shop, path: Path) -> tuple[str, ...]:
    """Draw an answer about a tank of this shop; see `draw_fill`. It has nothing to note."""
    draw_fill(shop.tanks[answer.tank], answer.rows, shop.show, path, shop.name)
    return ()


def svg(answer: FillAnswer, shop: Shop) -> str:
    """Return the sheet as SVG."""
    marks = fill_marks(shop.tanks[answer.tank], answer.rows, shop.show, shop.name)
    return svg_of(marks, SHEET_PT, f"liquid in {answer.tank}")


def draw_fill(tank: Tank, rows: Sequence[FillRow], show: Show, path: Path | str, shop_name: str = "") -> None:
    """Draw one level, or the whole dip-stick, to `path` (.png, .svg or .pdf).

    Raises `Refused` where the folder does not exist or the kind of file is unknown.
    """
    target = checked_path(Path(path))
    paper = blank(SHEET_PT)
    put(fill_marks(tank, rows, show, shop_name), paper)
    write(paper, target)


def fill_marks(tank: Tank, rows: Sequence[FillRow], show: Show, shop_name: str = "") -> Marks:
    """Return everything on the sheet."""
    foot, high = layout.footer((NO_PART,), STAND)
    body = body_of_sheet(high)
    one = rows[0] if len(rows) == 1 else None
    words = _sizes(tank, one, show) if one else None
    end = _end_frame(tank, body, words)
    right = end.across(tank.size_mm[1]) + WALL_PT
    stick = None if one else _stick(rows, end, right, show)
    over = stick.ends[-1] if stick else right + (words.right if words else 0.0)
    beside = Box(over + _AIR_PT, body.low, body.right, body.high)
    side, panel = replace(beside, high=beside.low + _SIDE_PT), replace(beside, low=beside.low + _SIDE_PT)
    most = max(rows, key=lambda row: row.liquid_l)
    level = one.level_mm if one else most.level_mm
    verdict = show_volume(one.liquid_l, show) if one else "dip-stick"
    title = f"{tank.liquid.name} in {tank.name}"
    return (
        *layout.frame_of_sheet(),
        *layout.header(verdict, ink.SURFACE, title, shop_name),
        *_view(tank, end, level, show),
        *(_one(tank, one, end, words) if one and words else ()),
        *(_stick_marks(stick, end, right) if stick else ()),
        *_side(tank, level, side, show),
        *layout.panel(_facts(tank, one, most, show), panel),
        *foot,
    )


def _end_frame(tank: Tank, body: Box, words: _Sizes | None) -> Frame:
    """Return where the end view goes: the whole height of the sheet, or what of its width it may take."""
    _, across, deep = tank.size_mm
    left = words.left if words else 2.0 * WALL_PT
    tall = body.height - _OVER_PT - _UNDER_PT - 2.0 * WALL_PT
    wide = _END_SHARE * (body.width - left)
    if words:
        wide = min(wide, body.width - left - words.right - 2.0 * WALL_PT - _AIR_PT - _BESIDE_PT)
    scale = min(tall / deep, wide / across)
    return Frame(END, body.left + left, body.high - _OVER_PT - WALL_PT - scale * deep, scale)


def _view(tank: Tank, frame: Frame, level_mm: float, show: Show) -> Marks:
    """Return a view with its inside size under it and its name."""
    size = tank.size_mm[frame.view.across]
    wide = frame.across(size)
    low = frame.floor - WALL_PT
    span = Span(frame.left, wide, low, low, show_length(size, show))
    sized, under = chain_below([span], low - 10.0, frame.left - 20.0, wide + 20.0)
    name = "End view from the right" if frame.view is END else "Side view"
    return (
        *tank_marks(tank, level_mm, frame),
        *surface_marks(tank, level_mm, frame),
        *sized,
        layout.view_name(name, frame, under),
    )


@dataclass(frozen=True, slots=True)
class _Sizes:
    """The words of one level, and how far they reach left of the tank and right of it."""

    over: str
    down: str
    deep: str

    @property
    def left(self) -> float:
        """Wall, tier and the words over the floor."""
        return WALL_PT + _TIER_PT + text_size(self.over, _SIZE_PT)[0] + 10.0

    @property
    def deep_at(self) -> float:
        """From the wall to the depth's line, past the words of the fill line."""
        return _TIER_PT + text_size(self.down, _LINE_PT, bold=True)[0] + _AIR_PT

    @property
    def right(self) -> float:
        """From the wall to the end of the depth's words."""
        return self.deep_at + text_size(self.deep, _SIZE_PT)[0] + 10.0


def _sizes(tank: Tank, row: FillRow, show: Show) -> _Sizes:
    return _Sizes(
        f"{show_length(row.level_mm, show)}\nlevel",
        f"{show_length(row.from_rim_mm, show)}\nfrom rim",
        f"{show_length(tank.depth_mm, show)}\ndeep",
    )


def _one(tank: Tank, row: FillRow, frame: Frame, words: _Sizes) -> Marks:
    """Return the sizes of one level: over the floor on the left, down from the rim and the depth right."""
    left, right = frame.left - WALL_PT, frame.across(tank.size_mm[1]) + WALL_PT
    floor, level, rim = (frame.height(mm) for mm in (0.0, row.level_mm, tank.depth_mm))
    over = Span(floor, level, left, left, words.over, _SIZE_PT, colour=ink.SURFACE)
    down = Span(level, rim, right, right, words.down, _LINE_PT, True, ink.SURFACE)
    deep = Span(floor, rim, right, right, words.deep, _SIZE_PT)
    ends = floor - 20.0, rim + 20.0
    return (
        *(chain_beside([over], left - _TIER_PT, *ends, right=False) if row.level_mm > 0.0 else ()),
        *(chain_beside([down], right + _TIER_PT, *ends) if row.from_rim_mm > 0.0 else ()),
        *chain_beside([deep], right + words.deep_at, *ends),
    )


@dataclass(frozen=True, slots=True)
class _Stick:
    """The dip-stick beside a view: all its lines, those that have words, and where each column ends."""

    rows: tuple[FillRow, ...]
    printed: tuple[FillRow, ...]
    words: tuple[tuple[str, str, str], ...]
    ends: tuple[float, float, float]


def _stick(rows: Sequence[FillRow], frame: Frame, right: float, show: Show) -> _Stick:
    """Return the stick; counted from the rim, lines too near to the one before have no words."""
    printed: list[FillRow] = []
    for row in sorted(rows, key=lambda row: row.from_rim_mm):
        if not printed or frame.scale * (row.from_rim_mm - printed[-1].from_rim_mm) >= _ROW_PT:
            printed.append(row)
    words = tuple(
        (show_length(row.from_rim_mm, show), show_length(row.level_mm, show), show_volume(row.liquid_l, show))
        for row in printed
    )
    ends, at = [], right + _TICK_PT
    for k, head in enumerate(_HEADS):
        cells = max(text_size(row[k], _ROW_PRINT_PT, bold=k == 2)[0] for row in words)
        at += max(cells, text_size(head, _HEAD_PRINT_PT)[0]) + _COLUMN_PT
        ends.append(at)
    return _Stick(tuple(rows), tuple(printed), words, (ends[0], ends[1], ends[2]))


def _stick_marks(stick: _Stick, frame: Frame, right: float) -> Marks:
    """Return the stick, each line at its height beside the tank."""

    def ticks(rows: Sequence[FillRow], long: float) -> tuple[Floats, ...]:
        heights = [frame.height(row.level_mm) for row in rows]
        return tuple(np.array([[right, y], [right + long, y]]) for y in heights)

    top = max(frame.height(row.level_mm) for row in stick.rows) + _OVER_PT
    marks: list[Mark] = [
        Stroke(ticks(stick.rows, 0.6 * _TICK_PT), ink.FAINT, 0.6),
        Stroke(ticks(stick.printed, _TICK_PT), ink.INK, 0.9),
    ]
    for head, end in zip(_HEADS, stick.ends, strict=True):
        marks.append(Label(head, (end, top), _HEAD_PRINT_PT, colour=ink.FAINT, align="right"))
    for row, words in zip(stick.printed, stick.words, strict=True):
        y = frame.height(row.level_mm)
        for k, (cell, end) in enumerate(zip(words, stick.ends, strict=True)):
            colour = ink.SURFACE if k == 2 else ink.INK
            marks.append(Label(cell, (end, y), _ROW_PRINT_PT, k == 2, colour, "right"))
    return tuple(marks)


def _side(tank: Tank, level_mm: float, box: Box, show: Show) -> Marks:
    """Return the side view in a box, as large as it goes in."""
    long, _, deep = tank.size_mm
    scale = min((box.width - 2.0 * WALL_PT) / long, (box.height - _UNDER_PT - 2.0 * WALL_PT) / deep)
    frame = Frame(SIDE, box.left + WALL_PT, box.low + _UNDER_PT + WALL_PT, scale)
    return _view(tank, frame, level_mm, show)


def _facts(tank: Tank, one: FillRow | None, most: FillRow, show: Show) -> tuple[Fact, ...]:
    inside = " x ".join(show_length(side, show) for side in tank.size_mm)
    if one is None:
        return (
            Fact("holds, level with the rim", show_volume(most.liquid_l, show), ink.SURFACE, leading=True),
            Fact("inside", inside),
        )
    return (
        Fact("liquid, no part in", show_volume(one.liquid_l, show), ink.SURFACE, leading=True),
        Fact("fill line", f"{show_length(one.from_rim_mm, show)} down from the rim"),
        Fact("level", f"{show_length(one.level_mm, show)} over the floor"),
        Fact("inside", inside),
    )
