"""The views of a part as it hangs, with the space that its pockets fill, on the sheet of what it holds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.flat import Frame, part_marks, pocket_marks, roll_mark, tilt_mark
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, fitted
from fitcheck.draw.leaders import Said, hole_mark, said_below
from fitcheck.draw.outline import END, PLAN, SIDE, View
from fitcheck.draw.posed_part import Hung
from fitcheck.geometry.mesh.measure import measures
from fitcheck.questions.pocket import draw_words as pocket_words
from fitcheck.questions.pocket.answer import Hole
from fitcheck.questions.pocket.draw_plan import (
    LEADER_PT,
    NAME_PT,
    NAME_ROW,
    PATCH_PT,
    TAG_ROW,
    Half,
    end_name,
)
from fitcheck.things.pockets import Held, PocketKind
from fitcheck.things.shop import Show
from fitcheck.things.solid import Floats
from fitcheck.words.units import show_volume

_HEADING_PT = 22.0
_TAG_DOWN = 14.0
_TAG_AIR = 4.0
# Of two small views in a row none takes more than this.
_MOST_OF_ROW = 0.57


def headings(held: Held, kind: PocketKind | None, box: Box, show: Show, *, whole: bool) -> Marks:
    """Return what is held of a kind, over its half; over a whole sheet also what is not held."""
    y = box.high - 0.6 * _HEADING_PT
    kinds: tuple[PocketKind, ...] = ("air", "liquid")
    said = sorted(kinds, key=lambda each: each != kind) if whole else [each for each in kinds if each == kind]
    marks: list[Mark] = []
    left = box.left
    for each in said:
        colour = ink.POCKET_COLOURS[each][1] if each == kind else ink.FAINT
        words = pocket_words.heading(held, each, show)
        label = Label(words, (left, y), _HEADING_PT, each == kind, colour, "left")
        marks.append(fitted(label, box.right - left))
        left += ink.text_size(words, _HEADING_PT, bold=each == kind)[0] + 30.0
    return tuple(marks)


def half_views(here: Hung, plan: Half, holes: tuple[Hole, ...], show: Show) -> Marks:
    """Return side and end view with the pockets, their litres, the holes that help, and the angles."""
    kinds = {shape.pocket.kind for shape in here.pockets}
    mine = tuple(hole for hole in holes if hole.kind in kinds)
    under = "air" in kinds
    said = _said(here, plan.end if _apart_in_end(here, plan) else plan.side, mine, show)
    side_top, end_top = plan.side_box.high - _TAG_DOWN, plan.end_box.high - _TAG_DOWN
    return (
        *_view(here, plan.side, mine, under=under),
        *tilt_mark(here, plan.side, side_top, _within(plan.side_box)),
        *_view(here, plan.end, mine, under=under),
        *roll_mark(here, plan.end, end_top, _within(plan.end_box)),
        *said_below(said, plan.words_high - LEADER_PT, (plan.box.left, plan.box.right)),
        _name("Side view", plan.side, here, plan.names_y[0]),
        _name(end_name(plan.end_times), plan.end, here, plan.names_y[1]),
    )


def _within(box: Box) -> Box:
    """Return where a view's tag may stand, clear of the next one's."""
    return replace(box, left=box.left + _TAG_AIR, right=box.right - _TAG_AIR)


def _view(here: Hung, frame: Frame, holes: tuple[Hole, ...], *, under: bool) -> Marks:
    """Return the part with its pockets and holes; going in, liquid is all round it."""
    patch = (Area((_patch(here, frame).ring,), fill=ink.LIQUID),) if under else ()
    marks = (*patch, *part_marks(here, frame), *pocket_marks(here, frame))
    return (*marks, *(mark for hole in holes for mark in hole_mark(_on_sheet(here, frame, hole))))


def _patch(here: Hung, frame: Frame) -> Box:
    places = frame.place(here.part.vertices_mm)
    (left, low), (right, high) = places.min(axis=0), places.max(axis=0)
    return Box(left - PATCH_PT, low - PATCH_PT, right + PATCH_PT, high + PATCH_PT)


def _on_sheet(here: Hung, frame: Frame, hole: Hole) -> tuple[float, float]:
    x, y = frame.place(here.pose.apply(np.array([hole.at_mm])))[0].tolist()
    return x, y


def _said(here: Hung, frame: Frame, holes: tuple[Hole, ...], show: Show) -> list[Said]:
    """Return the litres of each pocket, largest first, and what the best hole leaves."""
    said = []
    for shape in here.pockets:
        kind, volume = shape.pocket.kind, show_volume(shape.pocket.volume_l, show)
        x, y = frame.place(measures(shape.solid).centre_mm)[0].tolist()
        said.append(Said(f"{kind} {volume}", (x, y), ink.POCKET_COLOURS[kind][1]))
    said += [
        Said(pocket_words.hole_words(hole, show), _on_sheet(here, frame, hole), must=True)
        for hole in holes[:1]
    ]
    return said


def _apart_in_end(here: Hung, plan: Half) -> bool:
    """Whether the pockets' middles lie farther apart in the end view than in the side view."""
    if not plan.in_a_row or len(here.pockets) < 2:
        return False
    middles = np.array([measures(shape.solid).centre_mm for shape in here.pockets])
    side, end = (float(np.ptp(frame.place(middles)[:, 0])) for frame in (plan.side, plan.end))
    return end > side


def _name(words: str, frame: Frame, here: Hung, y: float) -> Label:
    return Label(words, (_patch(here, frame).left, y), NAME_PT, colour=ink.FAINT, align="left")


def from_above(here: Hung, box: Box) -> Marks:
    """Return the view from above that takes the place of the view in space."""
    places = PLAN.seen(here.part.vertices_mm)[:, :2]
    low, high = places.min(axis=0), places.max(axis=0)
    room = np.array([box.width - 2.0 * PATCH_PT, box.height - 2.0 * PATCH_PT - 1.5 * NAME_PT])
    scale = float((room / (high - low)).min())
    middle = np.array([(box.left + box.right) / 2.0, box.high - PATCH_PT - room[1] / 2.0])
    left, floor = (middle - scale * (low + high) / 2.0).tolist()
    frame = Frame(PLAN, left, floor, scale)
    return (*part_marks(here, frame), *pocket_marks(here, frame))


def small_views(here: Hung, box: Box, words: str) -> Marks:
    """Return side and end view in a row in a small box, each with its angle and `words` in its name."""
    span = here.part.vertices_mm.min(axis=0), here.part.vertices_mm.max(axis=0)
    wide, across, tall = (float(v) for v in span[1] - span[0])
    # Each has room for its tag.
    share = min(max(wide / (wide + across), 1.0 - _MOST_OF_ROW), _MOST_OF_ROW)
    middle = box.left + share * box.width
    side, end = replace(box, right=middle), replace(box, left=middle)
    level = (side.width - 2.0 * PATCH_PT) / wide, (end.width - 2.0 * PATCH_PT) / across
    scale = min(*level, (box.height - TAG_ROW - NAME_ROW) / tall)
    top = box.high - _TAG_DOWN
    frames = _centred(SIDE, side, span, scale), _centred(END, end, span, scale)
    names = (f"Side view, {words}", side), (f"End view, {words}", end)
    return (
        *(mark for frame in frames for mark in (*part_marks(here, frame), *pocket_marks(here, frame))),
        *tilt_mark(here, frames[0], top, _within(side)),
        *roll_mark(here, frames[1], top, _within(end)),
        *(_under(name, mine, box.high - TAG_ROW - scale * tall) for name, mine in names),
    )


def _centred(view: View, box: Box, span: tuple[Floats, Floats], scale: float) -> Frame:
    low, high = span
    left = (box.left + box.right - scale * float(low[view.across] + high[view.across])) / 2.0
    return Frame(view, left, box.high - TAG_ROW - scale * float(high[view.up]), scale)


def _under(words: str, box: Box, high: float) -> Label:
    at = ((box.left + box.right) / 2.0, high - NAME_ROW / 2.0)
    return fitted(Label(words, at, NAME_PT, colour=ink.FAINT), box.width - 2.0 * _TAG_AIR)
