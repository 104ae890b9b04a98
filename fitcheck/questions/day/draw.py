"""The picture of a day: a row for each tank and rail, a bar for each load while it is there."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, Stroke, fitted
from fitcheck.draw.paint import blank, checked_path, put, write
from fitcheck.draw.svg import svg as svg_of
from fitcheck.questions.day.answer import DayAnswer, Visit
from fitcheck.questions.day.say import clock_at, first_line, what_is_in
from fitcheck.things.shop import Shop
from fitcheck.words.units import read_time

NOTHING = "no picture was drawn: nothing goes through all the steps"
_EDGE_PT, _NAME_PT, _TIME_PT = 26.0, 110.0, 690.0
_ROW_PT, _TITLE_BAND_PT, _AXIS_PT, _LINE_PT = 38.0, 84.0, 30.0, 16.0
_TITLE_PT, _PRINT_PT, _SMALL_PT, _LEAST_PT = 21.0, 12.5, 11.0, 7.0
_WIDE_PT = 2.0 * _EDGE_PT + _NAME_PT + _TIME_PT
# Hours are marked so far apart that their figures do not touch.
_TICKS_S = tuple(
    read_time(step) for step in ("5 min", "10 min", "15 min", "30 min", "1 h", "2 h", "4 h", "8 h")
)
_TICK_PT = 48.0
# Of a row, what bars take up; of a bar, its number.
_BAR_SHARE, _PRINT_SHARE = 0.8, 0.8
# Touching bars differ in lightness, and every bar has its number.
_FILLS = (ink.LIQUID, ink.AIR, ink.BLOCK, ink.METAL)


def draw(answer: DayAnswer, shop: Shop, path: Path) -> tuple[str, ...]:
    """Draw the day to `path` (.png, .svg or .pdf); a note says where there is no load to draw.

    Raises `Refused` as every picture does.
    """
    target = checked_path(path)
    if not answer.loads:
        return (NOTHING,)
    marks, size = day_marks(answer, shop.name)
    paper = blank(size)
    put(marks, paper)
    write(paper, target)
    return ()


def svg(answer: DayAnswer, shop: Shop) -> str | None:
    """Return the day as SVG; None where there is no load to draw."""
    if not answer.loads:
        return None
    marks, size = day_marks(answer, shop.name)
    return svg_of(marks, size, first_line(answer))


def day_marks(answer: DayAnswer, shop_name: str = "") -> tuple[Marks, tuple[float, float]]:
    """Return the day and the size of its sheet, which grows with the tanks and the loads."""
    places = list(dict.fromkeys(p for step in _by_step(answer) for visit in step for p in visit.places))
    key = (len(answer.loads) + 1) * _LINE_PT + 14.0
    high = _TITLE_BAND_PT + len(places) * _ROW_PT + _AXIS_PT + key
    title = f"{shop_name}: the day, tank by tank" if shop_name else "The day, tank by tank"
    wide = _WIDE_PT - 2.0 * _EDGE_PT
    marks: list[Mark] = [
        fitted(Label(title, (_EDGE_PT, high - 34.0), _TITLE_PT, True, align="left"), wide),
        fitted(Label(first_line(answer), (_EDGE_PT, high - 60.0), _PRINT_PT, align="left"), wide),
    ]
    top, low = high - _TITLE_BAND_PT, key + _AXIS_PT
    marks += _hours(answer, low, top)
    for row, place in enumerate(places):
        middle = top - (row + 0.5) * _ROW_PT
        label = Label(place, (_EDGE_PT, middle), _PRINT_PT, True, align="left")
        marks.append(fitted(label, _NAME_PT - 10.0))
        there = [(v, k) for k, load in enumerate(answer.loads) for v in load.visits if place in v.places]
        for lanes, lane, visit, k in _in_lanes(there):
            tall = _BAR_SHARE * _ROW_PT / lanes
            foot = middle + 0.5 * _BAR_SHARE * _ROW_PT - (lane + 1) * tall
            marks += _bar(answer, (visit, k), foot, foot + tall)
    return (*marks, *_key(answer, key)), (_WIDE_PT, high)


def _by_step(answer: DayAnswer) -> list[list[Visit]]:
    """Return all visits, step by step, so that tanks come in the order of the work."""
    return [[load.visits[k] for load in answer.loads] for k in range(len(answer.loads[0].visits))]


def _at(answer: DayAnswer, at_s: float) -> float:
    return _EDGE_PT + _NAME_PT + at_s * _TIME_PT / answer.finish_s


def _hours(answer: DayAnswer, low: float, top: float) -> Marks:
    """Return upright lines at even times, with the clock under them."""
    step = next((s for s in _TICKS_S if s * _TIME_PT / answer.finish_s >= _TICK_PT), _TICKS_S[-1])
    first = math.ceil(answer.crew.start_s / step) * step - answer.crew.start_s
    marks: list[Mark] = []
    for at in np.arange(first, answer.finish_s + 1.0, step):
        x = _at(answer, float(at))
        marks.append(Stroke((np.array([[x, low], [x, top]]),), ink.WALL, 0.7))
        marks.append(Label(clock_at(answer.crew, float(at)), (x, low - 12.0), _SMALL_PT))
    return tuple(marks)


def _in_lanes(there: list[tuple[Visit, int]]) -> list[tuple[int, int, Visit, int]]:
    """Return how many lanes a place has, and in which each visit is drawn: side by side what is at once."""
    ends: list[int] = []
    rows = []
    for visit, k in sorted(there, key=lambda pair: pair[0].enter_s):
        lane = next((n for n, end in enumerate(ends) if end <= visit.enter_s), len(ends))
        ends[lane : lane + 1] = [visit.free_s]
        rows.append((lane, visit, k))
    return [(len(ends), *row) for row in rows]


def _bar(answer: DayAnswer, one: tuple[Visit, int], low: float, high: float) -> Marks:
    """Return the bar of one visit of a load: its dwell, and hollow behind it its drip."""
    visit, k = one
    left, out, free = (_at(answer, at) for at in (visit.enter_s, visit.out_s, visit.free_s))
    print_pt = min(_PRINT_PT, _PRINT_SHARE * (high - low))
    middle = (left + out) / 2.0, (low + high) / 2.0
    number = fitted(Label(str(k + 1), middle, print_pt, True), out - left, min(_LEAST_PT, print_pt))
    return (
        Area((Box(out, low, free, high).ring,), fill=ink.PAPER, line=ink.FAINT, width_pt=0.7)
        if free > out
        else Area(()),
        Area((Box(left, low, out, high).ring,), fill=_FILLS[k % len(_FILLS)], line=ink.INK, width_pt=0.9),
        number,
    )


def _key(answer: DayAnswer, top: float) -> Marks:
    """Return what is in each load, and what the hollow bars are."""
    wide = _WIDE_PT - 2.0 * _EDGE_PT
    words = [f"{k + 1}   {what_is_in(load)}" for k, load in enumerate(answer.loads)]
    words.append("A filled bar is a load in its place; hollow behind it, it drips over the tank.")
    return tuple(
        fitted(Label(line, (_EDGE_PT, top - 6.0 - k * _LINE_PT), _SMALL_PT, align="left"), wide, _LEAST_PT)
        for k, line in enumerate(words)
    )
