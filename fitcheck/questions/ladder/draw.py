"""The picture of a fill ladder: a bar for what is in the tank at each load, and what is added for it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, Stroke, fitted
from fitcheck.draw.paint import blank, checked_path, put, write
from fitcheck.draw.svg import svg as svg_of
from fitcheck.questions.ladder.answer import LadderAnswer, LadderStep
from fitcheck.questions.ladder.say import bath_words, first_line
from fitcheck.questions.lot.say import contents
from fitcheck.things.shop import Shop, Show
from fitcheck.words.units import show_length, show_volume

_VALUE_PT, _KEY_PT = 84.0, 66.0
NOTHING = "no picture was drawn: nothing goes in"
_TITLE_PT, _PRINT_PT, _SMALL_PT = 21.0, 12.5, 11.0


@dataclass(frozen=True, slots=True)
class Look:
    """How a ladder is laid out, in points: a picture of its own, or a part of a page.

    contents: each load says what is in it. title_pt: the band for the title, 0 without one.
    """

    edge_pt: float
    name_pt: float
    bar_pt: float
    row_pt: float
    head_pt: float
    title_pt: float
    contents: bool

    @property
    def wide_pt(self) -> float:
        """The width of all of it."""
        return 2.0 * self.edge_pt + self.name_pt + self.bar_pt + _VALUE_PT

    @property
    def bar_from_pt(self) -> float:
        """Where bars begin."""
        return self.edge_pt + self.name_pt


ALONE = Look(26.0, 300.0, 430.0, 27.0, 46.0, 62.0, contents=True)
# Beside a table of the loads, in print that a page need not shrink much.
ON_A_PAGE = Look(4.0, 170.0, 300.0, 20.0, 34.0, 0.0, contents=False)


def draw(answer: LadderAnswer, shop: Shop, path: Path) -> tuple[str, ...]:
    """Draw the ladder to `path` (.png, .svg or .pdf); a note says where there is no load to draw.

    Raises `Refused` as every picture does.
    """
    target = checked_path(path)
    if not answer.steps:
        return (NOTHING,)
    marks, size = ladder_marks(answer, shop.show, shop.name)
    paper = blank(size)
    put(marks, paper)
    write(paper, target)
    return ()


def svg(answer: LadderAnswer, shop: Shop) -> str | None:
    """Return the ladder as SVG; None where there is no load to draw."""
    if not answer.steps:
        return None
    marks, size = ladder_marks(answer, shop.show, shop.name)
    return svg_of(marks, size, first_line(answer, shop.show))


def ladder_marks(
    answer: LadderAnswer, show: Show, shop_name: str = "", look: Look = ALONE
) -> tuple[Marks, tuple[float, float]]:
    """Return the ladder and the size of its sheet, which grows with the loads."""
    rows = len(answer.steps) * look.row_pt + len(answer.baths) * look.head_pt
    high = look.title_pt + rows + _KEY_PT + 8.0
    most = max(max(step.liquid_l, step.without_l) for step in answer.steps)
    title = f"{shop_name}: what is added, load by load" if shop_name else "What is added, load by load"
    room = look.wide_pt - 2.0 * look.edge_pt
    marks: list[Mark] = []
    if look.title_pt:
        label = Label(title, (look.edge_pt, high - 36.0), _TITLE_PT, True, align="left")
        marks.append(fitted(label, room))
    top = high - look.title_pt
    numbers = {id(step): k + 1 for k, step in enumerate(answer.steps)}
    for bath in answer.baths:
        words = f"{bath.work}, {bath_words(bath, show)}"
        at = (look.edge_pt, top - 0.6 * look.head_pt)
        marks.append(fitted(Label(words, at, _PRINT_PT, True, align="left"), room))
        top -= look.head_pt
        steps = [step for step in answer.steps if step.work == bath.work]
        # Where a work has several tanks the bound is of all of them together.
        x = look.bar_from_pt + bath.bound_l * look.bar_pt / most if len(bath.tanks) == 1 else -1.0
        for step in steps:
            marks += _row(step, numbers[id(step)], (top, look.bar_pt / most, x), show, look)
            top -= look.row_pt
        if x > 0.0:
            line = np.array([[x, top + 1.0], [x, top + len(steps) * look.row_pt + 3.0]])
            marks.append(Stroke((line,), ink.WARNING, 1.3, dashed=True))
    return (*marks, *_key(answer, look)), (look.wide_pt, high)


def _row(step: LadderStep, number: int, place: tuple[float, float, float], show: Show, look: Look) -> Marks:
    """Return one load; place: the top of its row, points to the litre, and where the bound's line goes."""
    top, scale, line = place
    low, high = top - look.row_pt + 5.0, top - 4.0
    middle, left = (low + high) / 2.0, look.bar_from_pt
    before = step.liquid_l - step.add_l
    had, has, bare = (left + litres * scale for litres in (before, step.liquid_l, step.without_l))
    blocks = (
        "no blocks" if not step.blocks else f"{len(step.blocks)} block{'s' if len(step.blocks) > 1 else ''}"
    )
    words = f"{number}  {step.tank}, {show_length(step.level_mm, show)}, {blocks}"
    if look.contents:
        words = f"{words}: {contents(step.lot)}"
    colour = ink.UNKNOWN if step.can_do is False else ink.INK
    marks: list[Mark] = [
        fitted(
            Label(words, (look.edge_pt, middle), _SMALL_PT, False, colour, "left"), look.name_pt - 12.0, 8.0
        ),
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


def _key(answer: LadderAnswer, look: Look) -> Marks:
    """Return what the colours mean."""
    entries = [
        (ink.LIQUID, "in the tank before"),
        (ink.SURFACE, "added for this load"),
        (ink.BLOCK, "what the blocks save"),
    ]
    marks: list[Mark] = []
    x = look.edge_pt
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
