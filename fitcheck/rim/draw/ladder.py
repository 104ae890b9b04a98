"""The picture of a fill ladder: a bar for what is in the tank at each load, and what is added for it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

from fitcheck.rim.cli.ladder_text import bath_words
from fitcheck.rim.cli.lot_text import contents
from fitcheck.rim.draw import ink
from fitcheck.rim.draw.ink import Area, Box, Label, Mark, Marks, Stroke, fitted
from fitcheck.rim.draw.paint import blank, checked_path, put, write
from fitcheck.things.lots import LadderAnswer, LadderStep
from fitcheck.things.shop import Show
from fitcheck.words.units import show_length, show_volume

_EDGE_PT, _NAME_PT, _BAR_PT, _VALUE_PT = 26.0, 300.0, 430.0, 84.0
_ROW_PT, _HEAD_PT, _TITLE_BAND_PT, _KEY_PT = 27.0, 46.0, 62.0, 66.0
_TITLE_PT, _PRINT_PT, _SMALL_PT = 21.0, 12.5, 11.0
_WIDE_PT = 2.0 * _EDGE_PT + _NAME_PT + _BAR_PT + _VALUE_PT


def draw_ladder(answer: LadderAnswer, show: Show, path: Path | str, shop_name: str = "") -> None:
    """Draw the ladder to `path` (.png, .svg or .pdf); raises `Refused` as every picture does."""
    target = checked_path(Path(path))
    marks, size = ladder_marks(answer, show, shop_name)
    paper = blank(size)
    put(marks, paper)
    write(paper, target)


def ladder_marks(answer: LadderAnswer, show: Show, shop_name: str = "") -> tuple[Marks, tuple[float, float]]:
    """Return the ladder and the size of its sheet, which grows with the loads."""
    rows = len(answer.steps) * _ROW_PT + len(answer.baths) * _HEAD_PT
    high = _TITLE_BAND_PT + rows + _KEY_PT + 8.0
    most = max(max(step.liquid_l, step.without_l) for step in answer.steps)
    title = f"{shop_name}: what is added, load by load" if shop_name else "What is added, load by load"
    marks: list[Mark] = [
        fitted(Label(title, (_EDGE_PT, high - 36.0), _TITLE_PT, True, align="left"), _WIDE_PT - 2 * _EDGE_PT)
    ]
    top = high - _TITLE_BAND_PT
    numbers = {id(step): k + 1 for k, step in enumerate(answer.steps)}
    for bath in answer.baths:
        words = f"{bath.work}, {bath_words(bath, show)}"
        at = (_EDGE_PT, top - _HEAD_PT + 18.0)
        marks.append(fitted(Label(words, at, _PRINT_PT, True, align="left"), _WIDE_PT - 2.0 * _EDGE_PT))
        top -= _HEAD_PT
        steps = [step for step in answer.steps if step.work == bath.work]
        # Where a work has several tanks the bound is of all of them together.
        x = _bar_from() + bath.bound_l * _BAR_PT / most if len(bath.tanks) == 1 else -1.0
        for step in steps:
            marks += _row(step, numbers[id(step)], (top, _BAR_PT / most, x), show)
            top -= _ROW_PT
        if x > 0.0:
            line = np.array([[x, top + 1.0], [x, top + len(steps) * _ROW_PT + 3.0]])
            marks.append(Stroke((line,), ink.WARNING, 1.3, dashed=True))
    return (*marks, *_key(answer)), (_WIDE_PT, high)


def _bar_from() -> float:
    return _EDGE_PT + _NAME_PT


def _row(step: LadderStep, number: int, place: tuple[float, float, float], show: Show) -> Marks:
    """Return one load; place: the top of its row, points to the litre, and where the bound's line goes."""
    top, scale, line = place
    low, high = top - _ROW_PT + 5.0, top - 4.0
    middle, left = (low + high) / 2.0, _bar_from()
    before = step.liquid_l - step.add_l
    had, has, bare = (left + litres * scale for litres in (before, step.liquid_l, step.without_l))
    blocks = (
        "no blocks" if not step.blocks else f"{len(step.blocks)} block{'s' if len(step.blocks) > 1 else ''}"
    )
    words = f"{number}  {step.tank}, {show_length(step.level_mm, show)}, {blocks}: {contents(step.lot)}"
    colour = ink.UNKNOWN if step.can_do is False else ink.INK
    marks: list[Mark] = [
        fitted(Label(words, (_EDGE_PT, middle), _SMALL_PT, False, colour, "left"), _NAME_PT - 12.0, 8.0),
        Area((Box(left, low, had, high).ring,), fill=ink.LIQUID) if before > 0.0 else Area(()),
        Area((Box(had, low, has, high).ring,), fill=ink.SURFACE),
        Area((Box(left, low, has, high).ring,), line=ink.INK, width_pt=0.8),
    ]
    if step.blocks:
        marks.append(Area((Box(has, low, bare, high).ring,), fill=ink.BLOCK, line=ink.FAINT, width_pt=0.6))
    end = max(has, bare) + 8.0
    value = f"{show_volume(step.liquid_l, show)}" + (", no" if step.can_do is False else "")
    label = fitted(Label(value, (end, middle), _PRINT_PT, True, colour, "left"), _VALUE_PT - 8.0)
    beside = ink.box_of(label)
    if beside.left - 4.0 < line < beside.right + 4.0:
        label = replace(label, at=(line + 8.0, middle))
    marks.append(label)
    return tuple(marks)


def _key(answer: LadderAnswer) -> Marks:
    """Return what the colours mean."""
    entries = [
        (ink.LIQUID, "in the tank before"),
        (ink.SURFACE, "added for this load"),
        (ink.BLOCK, "what the blocks save"),
    ]
    marks: list[Mark] = []
    x = _EDGE_PT
    for fill, words in entries:
        marks.append(Area((Box(x, 30.0, x + 24.0, 43.0).ring,), fill=fill, line=ink.FAINT, width_pt=0.7))
        label = Label(words, (x + 31.0, 36.5), _SMALL_PT, align="left")
        marks.append(label)
        x = ink.box_of(label).right + 24.0
    if any(len(bath.tanks) == 1 for bath in answer.baths):
        line = np.array([[x + 6.0, 28.0], [x + 6.0, 45.0]])
        marks.append(Stroke((line,), ink.WARNING, 1.3, dashed=True))
        marks.append(Label("proven: no less for all of them", (x + 15.0, 36.5), _SMALL_PT, align="left"))
    return tuple(marks)
