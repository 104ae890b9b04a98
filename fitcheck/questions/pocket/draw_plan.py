"""Where everything goes on the sheet of what a part holds: one half for going in, one for coming out.

Where it holds only one of the two, that has the whole sheet. Side and end view stand in a row at one scale;
a long part has its side view across, and its end view under that at a scale of its own.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from fitcheck.draw.flat import Frame
from fitcheck.draw.ink import Box, text_size
from fitcheck.draw.outline import END, SIDE, View
from fitcheck.things.solid import Floats

HEADING_PT = 30.0
NAME_PT = 13.0
# Round a part that is under: so much liquid.
PATCH_PT = 12.0
# Over a view, for its tag; under it, for words with their leaders, and for its name.
TAG_ROW = 32.0
LEADER_PT = 15.0
_WORDS_ROW = LEADER_PT + 36.0
NAME_ROW = 20.0
_VIEW_ROWS = TAG_ROW + 2.0 * PATCH_PT + NAME_ROW
_GAP = 26.0
BETWEEN_HALVES = 24.0
# Under the views at least this for the view in space.
_BAND = 130.0
# The long arrangement looks less usual, so it must make the side view this much larger.
_WORTH_IT = 1.3
# A long part's end view takes at most this much of the band's width.
_END_SHARE = 0.3


@dataclass(frozen=True, slots=True)
class Half:
    """Where one half's views go: each in its box, the part's frame in it, and its own scale.

    words_high: where the room for words with their leaders begins under the views, from there down.
    names_y: the heights of the views' names. end_times: how many times larger the end view is than the side
    view. rest: what is left under them.
    """

    box: Box
    side: Frame
    end: Frame
    side_box: Box
    end_box: Box
    words_high: float
    names_y: tuple[float, float]
    end_times: float
    rest: Box

    @property
    def in_a_row(self) -> bool:
        """Whether the two views stand beside each other."""
        return self.side_box.high == self.end_box.high


def half_planned(box: Box, span_mm: tuple[Floats, Floats]) -> Half:
    """Return the arrangement in a box of a part that reaches from low to high (3,)."""
    wide, across, tall = (float(v) for v in span_mm[1] - span_mm[0])
    views = HEADING_PT + _VIEW_ROWS + _WORDS_ROW
    upright = (box.height - _BAND - views) / tall
    row = min(_row_scale(box.width, wide, across), upright)
    # Its end view stands under its side view, no smaller, and beside the view in space.
    both = (box.height - views - _VIEW_ROWS) / (2.0 * tall)
    beside = (_END_SHARE * box.width - 2.0 * PATCH_PT) / across
    long = min((box.width - 2.0 * PATCH_PT) / wide, upright, both, beside)
    return _long(box, span_mm, long) if long > _WORTH_IT * row else _one_row(box, span_mm, row)


def end_name(times: float) -> str:
    """Return the name of an end view drawn so many times larger than the side view."""
    return "End view from the right" if times == 1.0 else f"End view, {times:g} x larger"


def _row_scale(width: float, wide: float, across: float) -> float:
    """Return the scale at which both views stand in a row; the end view is no narrower than its name."""
    scale = (width - _GAP - 4.0 * PATCH_PT) / (wide + across)
    name = text_size(end_name(1.0), NAME_PT)[0]
    if scale * across + 2.0 * PATCH_PT >= name:
        return scale
    return (width - _GAP - 2.0 * PATCH_PT - name) / wide


def _one_row(box: Box, span: tuple[Floats, Floats], scale: float) -> Half:
    wide, across, tall = (float(v) * scale for v in span[1] - span[0])
    name = text_size(end_name(1.0), NAME_PT)[0]
    end_wide = max(across + 2.0 * PATCH_PT, name)
    idle = (box.width - wide - 2.0 * PATCH_PT - _GAP - end_wide) / 3.0
    side_left = box.left + idle
    end_left = box.right - idle - end_wide
    top = box.high - HEADING_PT
    words = top - TAG_ROW - tall - 2.0 * PATCH_PT
    low = words - _WORDS_ROW - NAME_ROW
    middle = (side_left + wide + 2.0 * PATCH_PT + end_left) / 2.0
    return Half(
        box,
        _frame(SIDE, side_left, top, span, scale),
        _frame(END, end_left, top, span, scale),
        Box(box.left, low, middle, top),
        Box(middle, low, box.right, top),
        words,
        (low + NAME_ROW / 2.0, low + NAME_ROW / 2.0),
        1.0,
        Box(box.left, box.low, box.right, low),
    )


def _long(box: Box, span: tuple[Floats, Floats], scale: float) -> Half:
    wide, across, tall = (float(v) for v in span[1] - span[0])
    top = box.high - HEADING_PT
    words = top - TAG_ROW - scale * tall - 2.0 * PATCH_PT
    split = words - _WORDS_ROW - NAME_ROW
    room = _END_SHARE * box.width - 2.0 * PATCH_PT, split - box.low - _VIEW_ROWS
    times = max(1.0, math.floor(2.0 * min(room[0] / across, room[1] / tall) / scale) / 2.0)
    name = text_size(end_name(times), NAME_PT)[0]
    right = box.left + max(times * scale * across + 2.0 * PATCH_PT, name)
    idle = (box.width - 2.0 * PATCH_PT - scale * wide) / 2.0
    return Half(
        box,
        _frame(SIDE, box.left + idle, top, span, scale),
        _frame(END, box.left, split, span, times * scale),
        Box(box.left, split, box.right, top),
        Box(box.left, box.low, right, split),
        words,
        (split + NAME_ROW / 2.0, split - TAG_ROW - times * scale * tall - 2.0 * PATCH_PT - NAME_ROW / 2.0),
        times,
        Box(right + _GAP / 2.0, box.low, box.right, split),
    )


def _frame(view: View, left: float, top: float, span: tuple[Floats, Floats], scale: float) -> Frame:
    """Return the frame of a view whose liquid begins at `left` and whose tag ends at `top`."""
    low, high = span
    return Frame(
        view,
        left + PATCH_PT - scale * float(low[view.across]),
        top - TAG_ROW - PATCH_PT - scale * float(high[view.up]),
        scale,
    )
