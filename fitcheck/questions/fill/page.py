"""A strip to cut out and paste on a stick: the fill lines and the litres, true to size, down from the rim."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.captions import STANDING_CAUTION
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, Stroke
from fitcheck.draw.paper_sizes import SIZES_PT, PaperName
from fitcheck.draw.sheet_sections import Lead, Notes, Page, Picture
from fitcheck.geometry.liquid.fill_level import room_for_liquid
from fitcheck.questions.dip.page import under_words
from fitcheck.questions.dip.page_lifted import Lifted
from fitcheck.things.shop import Show
from fitcheck.things.tank import Tank
from fitcheck.words.units import MM3_PER_LITRE, MM_PER_INCH, POINTS_PER_INCH, show_length, show_volume

PT_PER_MM = POINTS_PER_INCH / MM_PER_INCH
# What a page leaves for the strip under its words, and the strip's own width.
_WORDS_PT, _WIDE_PT, _CHECK_PT = 265.0, 120.0, 26.0
_PRINT_PT = 12.0
# Over the first mark, for the strip's top edge to be cut at.
_OVER_PT = 10.0
# Tick lengths by how many of the finest make one, longest first.
_INCH_TICKS = ((16, 34.0), (8, 24.0), (4, 18.0), (2, 13.0), (1, 8.0))
_MM_TICKS = ((10, 34.0), (5, 18.0), (1, 8.0))


def stick_page(lifted: Lifted, show: Show, shop_name: str, paper: PaperName) -> Page:
    """Return the page with the strip of a lift."""
    part, tank, each = lifted.part, lifted.tank, lifted.answer.advice.fill
    before_mm = tank.depth_mm - each.level_before_mm
    lines = ((before_mm, "before the part"), (each.from_rim_mm, "part in"))
    height = SIZES_PT[paper][1] - _WORDS_PT
    strip, from_mm = _strip(tank, lines, show, height)
    put = (
        "Its top edge goes level with the rim."
        if from_mm == 0.0
        else f"Its top edge goes {show_length(from_mm, show)} under the stick's mark for the rim."
    )
    check = show_length(_check_mm(show), show)
    return Page(
        kind="dip-stick",
        tag=part.name,
        title=f"in {tank.name}: dip-stick, true to size",
        under=under_words(part, show, shop_name),
        sections=(
            Lead("Cut out along the line and paste on a stick", put),
            strip,
            Notes(
                "",
                (
                    f"The bar beside the strip is {check} long. If it is not, print again at 100 %.",
                    "The liquid told is that of the tank without a part, what stands in it taken off.",
                ),
                "care",
            ),
        ),
        part=part.name,
        tank=tank.name,
        foot=STANDING_CAUTION,
    )


def _check_mm(show: Show) -> float:
    return 4.0 * MM_PER_INCH if show == "ft-in" else 100.0


def _strip(
    tank: Tank, lines: tuple[tuple[float, str], ...], show: Show, height_pt: float
) -> tuple[Picture, float]:
    """Return the strip, and how far under the rim its top edge is."""
    unit = MM_PER_INCH if show == "ft-in" else 10.0
    held = math.floor((height_pt - _OVER_PT) / PT_PER_MM / unit) * unit
    deepest = max(down for down, _ in lines)
    # Two units are kept under the lowest line, so that it is not the strip's edge.
    start = max(0.0, math.ceil((deepest + 2.0 * unit - held) / unit) * unit)
    long = min(
        held,
        math.ceil((tank.depth_mm - start) / unit) * unit,
        (math.ceil(deepest / unit) + 2.0) * unit - start,
    )
    width = 430.0
    size = (width, long * PT_PER_MM + 2.0 * _OVER_PT)
    top = size[1] - _OVER_PT
    strip = Box(40.0, top - long * PT_PER_MM, 40.0 + _WIDE_PT, top)
    marks: list[Mark] = [Area((strip.ring,), fill="#ffffff", line=ink.INK, width_pt=1.0)]
    marks += _ticks(strip, start, long, show)
    marks += _litres(tank, strip, start, long, unit, show)
    for down, _ in lines:
        y = top - (down - start) * PT_PER_MM
        line = np.array([[strip.left - 12.0, y], [strip.right + 12.0, y]])
        marks.append(Stroke((line,), ink.SURFACE, 2.2))
    marks += _line_words(lines, strip, start, show)
    marks += _check(Box(width - _CHECK_PT, 0.0, width, top), show)
    return Picture(tuple(marks), size, "a strip with the fill lines, true to size", exact=True), start


def _ticks(strip: Box, start: float, long: float, show: Show) -> Marks:
    finest, kinds = (MM_PER_INCH / 16.0, _INCH_TICKS) if show == "ft-in" else (1.0, _MM_TICKS)
    by_length: dict[float, list[np.ndarray]] = {}
    for k in range(round(long / finest) + 1):
        y = strip.high - k * finest * PT_PER_MM
        length = next(length for every, length in kinds if k % every == 0)
        by_length.setdefault(length, []).append(np.array([[strip.left, y], [strip.left + length, y]]))
    marks: list[Mark] = [
        Stroke(tuple(lines), ink.INK, 1.0 if length > 20.0 else 0.5) for length, lines in by_length.items()
    ]
    every = kinds[0][0] * finest
    for k in range(1, round(long / every)):
        at = (strip.left + 40.0, strip.high - k * every * PT_PER_MM)
        marks.append(Label(show_length(start + k * every, show), at, _PRINT_PT, True, align="left"))
    return tuple(marks)


def _litres(tank: Tank, strip: Box, start: float, long: float, unit: float, show: Show) -> Marks:
    """Return the liquid at every unit of the strip (each fourth in metric), right of it."""
    step = unit if show == "ft-in" else 2.0 * unit
    room = room_for_liquid(tank)
    marks = []
    for k in range(1, round(long / step)):
        level = tank.depth_mm - start - k * step
        if level > 0.0:
            words = show_volume(float(room.volume_below_mm3(level)) / MM3_PER_LITRE, show)
            at = (strip.right + 16.0, strip.high - k * step * PT_PER_MM)
            marks.append(Label(words, at, 10.0, colour=ink.FAINT, align="left"))
    return tuple(marks)


def _line_words(lines: tuple[tuple[float, str], ...], strip: Box, start: float, show: Show) -> Marks:
    """Return what each fill line is, right of the litres; two that are near stand apart."""
    from fitcheck.draw.dimension import spread

    wanted = [strip.high - (down - start) * PT_PER_MM for down, _ in lines]
    middles = spread(wanted, [32.0] * len(lines), strip.low - 20.0, strip.high + 10.0)
    marks: list[Mark] = []
    x = strip.right + 78.0
    for (down, words), y, at in zip(lines, wanted, middles, strict=True):
        marks.append(Stroke((np.array([[strip.right + 66.0, y], [x - 4.0, at]]),), ink.SURFACE, 1.0))
        label = f"{show_length(down, show)} down,\n{words}"
        marks.append(Label(label, (x, at), 13.0, True, ink.SURFACE, "left"))
    return tuple(marks)


def _check(box: Box, show: Show) -> Marks:
    """Return the bar to measure the print by."""
    long = _check_mm(show) * PT_PER_MM
    x, top = box.right - 6.0, box.high
    ends = [np.array([[x - 6.0, y], [x + 6.0, y]]) for y in (top, top - long)]
    bar = np.array([[x, top], [x, top - long]])
    words = show_length(_check_mm(show), show)
    return (
        Stroke((bar, *ends), ink.INK, 1.2),
        Label(words, (x - 10.0, top - long / 2.0), _PRINT_PT, align="right"),
    )
