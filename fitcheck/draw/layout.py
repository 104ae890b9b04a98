"""Layout of the sheet of one dip: a landscape page, 11 x 8 1/2 in, which prints on A4 too.

A tank that is not too long has its side and end views at one scale, side by side, with the view in space
and the words below. A long one has the side view across the whole page, and the end view below it at its
own scale, which is stated.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.captions import STANDING_CAUTION, Fact
from fitcheck.draw.flat import WALL_PT, Frame
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, Stroke, fitted, text_size, wrapped
from fitcheck.draw.outline import END, PLAN, SIDE, View
from fitcheck.draw.scene import Scene
from fitcheck.things.solid import Floats

SHEET_PT = (792.0, 612.0)
_MARGIN = 26.0
_HEADER = 50.0
# Over a view: for its tag.
_ABOVE = 30.0
# Under two views in one row: at least this for the words and the view in space.
_UNDER = 150.0
# The long arrangement looks less usual, so it must make the smaller view this much larger.
_WORTH_IT = 1.3
_AIR = 14.0
_NAME_PT = 13.0
_NOTE_PT = 11.0
# Letters are set to whole dots, which makes a line up to 2 % longer than it is measured.
_PRINTED = 0.98
_SPACE_SHARE = 0.46
_WORDS_SHARE = 0.66
# A side view that leaves this much beside it has the view in space there.
_WIDE_ENOUGH = 180.0
# Print of the panel against its largest.
_COMFORTABLE = 0.85
# Where it is smaller than this and the panel so wide, it has two columns.
_CROWDED = 0.7
_TWO_COLUMNS = 300.0


@dataclass(frozen=True, slots=True)
class Beside:
    """How much the words take: left of the side view, between the two views, right of the end view, below."""

    left: float
    between: float
    right: float
    below: float

    @property
    def across(self) -> float:
        """All that stands beside two views in one row."""
        return self.left + self.between + self.right

    @property
    def around(self) -> float:
        """All that stands over and under a view."""
        return _ABOVE + self.below


@dataclass(frozen=True, slots=True)
class Plan:
    """Where the views and words go. end_times: how many times larger the end view is than the side view."""

    side: Frame
    end: Frame
    side_box: Box
    end_box: Box
    space_box: Box
    words_box: Box
    end_times: float


def planned(scene: Scene, beside: Beside, facts: tuple[Fact, ...], footer_pt: float) -> Plan:
    """Return the arrangement of a scene's sheet."""
    points = np.vstack([scene.tank.inside.vertices_mm, scene.part.vertices_mm])
    low, high = points.min(axis=0), points.max(axis=0)
    body = body_of_sheet(footer_pt)
    wide, across, tall = (float(v) for v in high - low)
    row = min((body.width - beside.across) / (wide + across), (body.height - _UNDER - beside.around) / tall)
    # The same words may stand at either end of the side view.
    long = min(
        (body.width - beside.left - beside.between / 2.0) / wide,
        (body.height / 2.0 - beside.around) / tall,
    )
    if long > _WORTH_IT * row:
        plan, rest = _long(body, beside, (low, high), long)
        side_end = plan.side.across(float(high[0])) + WALL_PT + beside.between / 2.0
        if body.right - side_end > _WIDE_ENOUGH:
            corner = Box(side_end, plan.end_box.high, body.right, body.high)
            side_box = replace(plan.side_box, right=side_end)
            return replace(plan, side_box=side_box, space_box=corner, words_box=rest)
        middle = rest.low + min(_WORDS_SHARE * rest.height, panel_height(facts, rest.width))
        return replace(plan, space_box=replace(rest, low=middle), words_box=replace(rest, high=middle - 4.0))
    plan, rest = _one_row(body, beside, (low, high), row)
    middle = rest.left + _SPACE_SHARE * rest.width
    return replace(
        plan, space_box=replace(rest, right=middle), words_box=replace(rest, left=middle + 2 * _AIR)
    )


def _one_row(body: Box, beside: Beside, span: tuple[Floats, Floats], scale: float) -> tuple[Plan, Box]:
    """Return the two views, and the box under them that is left."""
    wide, across, tall = (float(v) * scale for v in span[1] - span[0])
    idle = (body.width - beside.across - wide - across) / 2.0
    split = body.high - beside.around - tall
    left = body.left + beside.left + idle / 2.0
    end_left = left + wide + beside.between + idle
    middle = left + wide + (beside.between + idle) / 2.0
    under = Box(body.left, body.low, body.right, split)
    plan = Plan(
        _frame(SIDE, left, body.high, span, scale),
        _frame(END, end_left, body.high, span, scale),
        Box(body.left, split, middle, body.high),
        Box(middle, split, body.right, body.high),
        under,
        under,
        1.0,
    )
    return plan, under


def _long(body: Box, beside: Beside, span: tuple[Floats, Floats], scale: float) -> tuple[Plan, Box]:
    """Return the two views, and the box right of the end view that is left."""
    _, across, tall = (float(v) for v in span[1] - span[0])
    split = body.high - beside.around - scale * tall
    room = (split - body.low - beside.around, 0.56 * body.width - beside.between - beside.right)
    times = max(1.0, math.floor(2.0 * min(room[0] / tall, room[1] / across) / scale) / 2.0)
    left = body.left + beside.between
    name = text_size(end_view_name(times), _NAME_PT)[0] - WALL_PT
    right = left + max(times * scale * across + beside.right, name)
    rest = Box(right + _AIR, body.low, body.right, split - 4.0)
    plan = Plan(
        _frame(SIDE, body.left + beside.left, body.high, span, scale),
        _frame(END, left, split, span, times * scale),
        Box(body.left, split, body.right, body.high),
        Box(body.left, body.low, right, split),
        rest,
        rest,
        times,
    )
    return plan, rest


def _frame(view: View, left: float, high: float, span: tuple[Floats, Floats], scale: float) -> Frame:
    """Return the frame of a view whose things begin at `left` and whose words over it end at `high`."""
    low, top = span
    return Frame(view, left - float(low[view.across]) * scale, high - _ABOVE - float(top[2]) * scale, scale)


def body_of_sheet(footer_pt: float) -> Box:
    """Return what is left of the sheet between its top band and its bottom band, which reaches so high."""
    return Box(_MARGIN, footer_pt, SHEET_PT[0] - _MARGIN, SHEET_PT[1] - _MARGIN - _HEADER)


def frame_of_sheet() -> Marks:
    """Return the paper's edge line."""
    inset = 12.0
    ring = Box(inset, inset, SHEET_PT[0] - inset, SHEET_PT[1] - inset).ring
    return (Area((ring,), line=ink.INK, width_pt=1.6),)


def header(verdict: str, colour: str, title: str, shop_name: str) -> Marks:
    """Return the top band: the verdict in a box, what is in what, and the shop's name."""
    top = SHEET_PT[1] - _MARGIN
    width, _ = text_size(verdict.upper(), 27.0, bold=True)
    box = Box(_MARGIN, top - 40.0, _MARGIN + width + 28.0, top)
    left = box.right + 16.0
    room = _PRINTED * (SHEET_PT[0] - _MARGIN - left)
    y = top - (11.5 if shop_name else 20.0)
    marks: list[Mark] = [
        Area((box.ring,), fill=colour),
        Label(verdict.upper(), ((box.left + box.right) / 2.0, top - 20.0), 27.0, True, "#ffffff"),
        fitted(Label(title, (left, y), 23.0, True, align="left"), room, 12.0),
    ]
    if shop_name:
        shop = Label(shop_name, (left, top - 34.5), 12.0, colour=ink.FAINT, align="left")
        marks.append(fitted(shop, room))
    return tuple(marks)


def footer(notes: tuple[str, ...], standing_caution: str = STANDING_CAUTION) -> tuple[Marks, float]:
    """Return the bottom band, notes in small print over the standing caution, and how high it reaches."""
    width = SHEET_PT[0] - 2.0 * _MARGIN
    low = 30.0
    standing = fitted(Label(standing_caution, (_MARGIN, low), 14.0, True, align="left"), width)
    marks: list[Mark] = [standing]
    high = low + 11.0
    if notes:
        words = "\n".join(wrapped(note, _PRINTED * width, _NOTE_PT) for note in notes)
        height = text_size(words, _NOTE_PT)[1]
        marks.append(Label(words, (_MARGIN, high + height / 2.0), _NOTE_PT, colour=ink.WARNING, align="left"))
        high += height + 2.0
    line = np.array([[_MARGIN, high], [SHEET_PT[0] - _MARGIN, high]])
    return (*marks, Stroke((line,), ink.INK, 0.8)), high + 4.0


def panel(facts: tuple[Fact, ...], box: Box) -> Marks:
    """Return the facts from the top of the box downwards, in the largest print in which all find room.

    Where that is small they stand in two columns, if it is larger so.
    """
    share = _share(facts, box)
    if share < _CROWDED and box.width >= _TWO_COLUMNS:
        middle = (box.left + box.right) / 2.0
        half = (len(facts) + 1) // 2
        columns = (
            (facts[:half], replace(box, right=middle - _AIR / 2.0)),
            (facts[half:], replace(box, left=middle + _AIR / 2.0)),
        )
        shared = min(_share(*column) for column in columns)
        if shared > share:
            return tuple(mark for column in columns for mark in _panel(*column, shared)[0])
    return _panel(facts, box, share)[0]


def _share(facts: tuple[Fact, ...], box: Box) -> float:
    """Return the print, against its largest, in which all facts find room one under the other."""
    shares = [float(share) for share in np.linspace(1.0, 0.5, 11)]
    return next((share for share in shares if _panel(facts, box, share)[1] >= box.low), shares[-1])


def strip(facts: tuple[Fact, ...], box: Box) -> Marks:
    """Return the facts side by side in columns that share the box, each in as large a print as fits."""
    width = box.width / max(1, len(facts))
    marks: list[Mark] = []
    for k, fact in enumerate(facts):
        column = Box(box.left + k * width, box.low, box.left + (k + 1) * width - _AIR, box.high)
        marks += panel((fact,), column)
    return tuple(marks)


def panel_height(facts: tuple[Fact, ...], width: float) -> float:
    """Return the height that the facts take in comfortable print."""
    box = Box(0.0, 0.0, width, 0.0)
    return -_panel(facts, box, _COMFORTABLE)[1]


def _panel(facts: tuple[Fact, ...], box: Box, share: float) -> tuple[Marks, float]:
    marks: list[Mark] = []
    y = box.high
    small = 12.0 * max(share, 0.8)
    for fact in facts:
        marks.append(Label(fact.name, (box.left, y - 0.7 * small), small, colour=ink.FAINT, align="left"))
        y -= 1.35 * small
        value = _value(fact, (25.0 if fact.leading else 19.0) * share, box)
        height = text_size(value.words, value.size_pt, bold=value.bold)[1]
        marks.append(replace(value, at=(box.left, y - height / 2.0)))
        y -= height + 5.0 * share
    return tuple(marks), y


def _value(fact: Fact, size_pt: float, box: Box) -> Label:
    """Return a fact's value on one line, in print a little smaller if need be; else on several lines."""
    one_line = Label(fact.words, (box.left, box.high), size_pt, fact.leading, fact.colour, "left")
    smaller = fitted(one_line, _PRINTED * box.width, least_pt=0.7 * size_pt)
    if smaller.words == fact.words:
        return smaller
    return replace(one_line, words=wrapped(fact.words, _PRINTED * box.width, size_pt, bold=fact.leading))


def end_view_name(times: float) -> str:
    """Return the name of an end view drawn a number of times larger than the side view."""
    return "End view from the right" + (f", {times:g} x larger" if times != 1.0 else "")


def view_name(words: str, frame: Frame, low: float) -> Label:
    """Return the name of a view, under its dimensions."""
    return Label(words, (frame.left - WALL_PT, low - 9.0), _NAME_PT, colour=ink.FAINT, align="left")


def third_name(words: str, box: Box) -> Label:
    """Return the name of the third view, in the lower left corner of its box."""
    label = Label(words, (box.left, box.low), _NAME_PT, colour=ink.FAINT, align="left")
    return replace(label, at=(box.left, box.low + text_size(words, _NAME_PT)[1] / 2.0))


def plan_frame(scene: Scene, box: Box) -> Frame:
    """Return the frame of a view from above that fills a box, over its name."""
    points = np.vstack([scene.tank.inside.vertices_mm, scene.part.vertices_mm])
    low, high = points.min(axis=0), points.max(axis=0)
    wide, across = (float(v) for v in (high - low)[:2])
    air = 2.0 * WALL_PT
    room = (box.width - 2.0 * air, box.height - 2.0 * air - 1.5 * _NAME_PT)
    scale = min(room[0] / wide, room[1] / across)
    left = (box.left + box.right) / 2.0 - scale * float(low[0] + high[0]) / 2.0
    middle = (box.high - air - room[1] / 2.0) - scale * float(low[1] + high[1]) / 2.0
    return Frame(PLAN, left, middle, scale)
