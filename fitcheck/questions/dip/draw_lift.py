"""The pictures of one lift for a shop sheet: side and end view, in space, in the slings; made to a given box.

They are laid out on a larger box in the print of the big pictures, and shrunk to the one given.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.draw import ink, layout
from fitcheck.draw.captions import LEAST_RAD
from fitcheck.draw.flat import WALL_PT, Frame, flat_view, part_marks, pocket_marks, roll_mark, tilt_mark
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, box_of, shrunk, text_size
from fitcheck.draw.outline import END, SIDE, View
from fitcheck.draw.scene import Scene, cut_shell
from fitcheck.draw.space_lines import space_lines
from fitcheck.draw.space_photo import space_scene, stretch_of
from fitcheck.questions.dip.draw import swung_across
from fitcheck.questions.dip.draw_dimensions import Measured, beside, end_dimensions, measured, side_dimensions
from fitcheck.questions.dip.draw_tightest import TightestSketch
from fitcheck.questions.hang.answer import HangAnswer
from fitcheck.questions.hang.draw_marks import room_marks, sling_marks
from fitcheck.questions.hang.draw_scene import Lift
from fitcheck.things.shop import Show
from fitcheck.things.solid import Floats, Solid
from fitcheck.words.units import show_length

# The pictures' print is 14 and 17 pt; on a sheet it is this much of that.
PRINT = 0.72
# Over a view with a tag: its middle, and twice that in all; without one.
_TAG_PT, _BARE_PT = 13.0, 8.0
_NAME_PT = 13.0
# Under the other two, for names of two lines.
_NAMED_PT = 34.0
# The end view takes no more of the width than this, and a column beside both views has at least so much.
_END_SHARE = 0.55
_COLUMN_PT = 200.0
_AIR_PT = 14.0
# The slings' picture is broad: it gets the larger part of what it shares with the view in space.
_SPACE_SHARE = 0.45
# A box less broad than this has them one over the other.
_BROAD = 1.25
# From a pick to its number.
_NUMBER_PT = 12.0


@dataclass(frozen=True, slots=True)
class _Plan:
    """Where the side view, the end view so many times larger, the view in space and the slings go."""

    side: Frame
    end: Frame
    side_box: Box
    end_box: Box
    times: float
    space: Box
    slings: Box


@dataclass(frozen=True, slots=True, eq=False)
class LiftSketch:
    """One part as it goes under, to scale, and in its slings where that is known.

    tight: a section through the tightest spot takes the place of the view in space.
    """

    scene: Scene
    show: Show
    slung: tuple[HangAnswer, Lift] | None = None
    tight: bool = False

    def marks(self, width_pt: float, height_pt: float) -> Marks:
        """Return the pictures in a box of that size."""
        sizes = replace(measured(self.scene, self.show), whole=False)
        plan = self._planned(sizes, Box(0.0, 0.0, width_pt / PRINT, height_pt / PRINT))
        marks = (
            *self._view(sizes, plan.side, plan.side_box),
            *self._view(sizes, plan.end, plan.end_box, plan.times),
            *(self._tightest(plan.space) if self.tight else _in_space(self.scene, plan.space)),
            *(sling_view(*self.slung, plan.slings) if self.slung else ()),
        )
        return shrunk(marks, PRINT)

    def _tightest(self, box: Box) -> Marks:
        section = TightestSketch(self.scene, self.show).marks(box.width, box.height)
        return shrunk(section, 1.0, (box.left, box.low))

    def _view(self, sizes: Measured, frame: Frame, box: Box, times: float = 1.0) -> Marks:
        """Return one flat view with its dimensions, and a name that says how long or wide the tank is."""
        scene, is_side = self.scene, frame.view is SIDE
        size = show_length(scene.tank.size_mm[frame.view.across], self.show)
        name = "Side view" if is_side else _end_name(times)
        dimensions, low = (side_dimensions if is_side else end_dimensions)(scene, sizes, frame, box)
        turn = tilt_mark if is_side != swung_across(scene) else roll_mark
        return (
            *flat_view(scene, frame),
            *turn(scene, frame, box.high - _TAG_PT, box),
            *dimensions,
            layout.view_name(f"{name}; {size} inside", frame, low),
        )

    def _planned(self, sizes: Measured, body: Box) -> _Plan:
        """Return the side view over the end view, and the other two where these leave most room."""
        aside = beside(sizes)
        points = np.vstack([self.scene.tank.inside.vertices_mm, self.scene.part.vertices_mm])
        span = points.min(axis=0), points.max(axis=0)
        wide, across, tall = (float(v) for v in span[1] - span[0])
        over = self._over(True), self._over(False)
        room = body.height - sum(over) - 2.0 * aside.below
        margin = aside.left + aside.between / 2.0
        scale = min((body.width - margin) / wide, room / (2.0 * tall))
        most = min(
            (room - scale * tall) / tall, (_END_SHARE * body.width - aside.between - aside.right) / across
        )
        times = max(1.0, math.floor(2.0 * most / scale) / 2.0)
        split = body.high - over[0] - scale * tall - aside.below
        side = _frame(SIDE, body.left + aside.left, body.high - over[0], span, scale)
        end = _frame(END, body.left + aside.between, split - over[1], span, times * scale)
        name = text_size(f"{_end_name(times)}; {show_length(across, self.show)} inside", _NAME_PT)[0]
        end_right = body.left + aside.between + max(times * scale * across + aside.right, name)
        side_right = body.left + margin + scale * wide
        end_box = Box(body.left, body.low, end_right, split)
        column = max(side_right, end_right) + _AIR_PT
        if body.right - column >= _COLUMN_PT:
            space, slings = self._halves(Box(column, body.low, body.right, body.high))
            return _Plan(side, end, Box(body.left, split, column, body.high), end_box, times, space, slings)
        space, slings = self._halves(Box(end_right + _AIR_PT, body.low, body.right, split))
        return _Plan(side, end, Box(body.left, split, body.right, body.high), end_box, times, space, slings)

    def _over(self, is_side: bool) -> float:
        """Return what stands over a view: its tag, where it has one."""
        angles = self.scene.pose.angles
        turned = angles.tilt_rad if is_side != swung_across(self.scene) else angles.roll_rad
        return 2.0 * _TAG_PT if abs(turned) >= LEAST_RAD else _BARE_PT

    def _halves(self, rest: Box) -> tuple[Box, Box]:
        """Return the boxes of the view in space and of the slings."""
        if self.slung is None:
            return rest, rest
        if rest.width < _BROAD * rest.height:
            split = rest.low + (1.0 - _SPACE_SHARE) * rest.height
            return replace(rest, low=split), replace(rest, high=split - _AIR_PT)
        middle = rest.left + _SPACE_SHARE * rest.width
        return replace(rest, right=middle - _AIR_PT / 2.0), replace(rest, left=middle + _AIR_PT / 2.0)


def _end_name(times: float) -> str:
    return "From the right" + (f", {times:g} x larger" if times != 1.0 else "")


def _frame(view: View, left: float, high: float, span: tuple[Floats, Floats], scale: float) -> Frame:
    """Return the frame of a view whose things begin at `left` and reach up to `high`."""
    low, top = span
    return Frame(view, left - float(low[view.across]) * scale, high - float(top[2]) * scale, scale)


def _in_space(scene: Scene, box: Box) -> Marks:
    in_space = space_scene(scene, box.width / box.height)
    words = "In space,\ntank cut short" if in_space.cut_short else "In space"
    name = layout.third_name(words, box)
    return (*space_lines(in_space, replace(box, low=box.low + _NAMED_PT)), name)


def sling_view(answer: HangAnswer, lift: Lift, box: Box) -> Marks:
    """Return the part in its slings over the tank, each leg with its number: their sizes stand in a table.

    Of a tank much longer than the part only a stretch is shown.
    """
    lift, cut_short = _cut_short(lift)
    low, high = lift.low_mm, lift.high_mm
    wide, tall = float(high[0] - low[0]), float(high[2] - low[2])
    inner = Box(box.left + WALL_PT, box.low + _NAMED_PT + 8.0, box.right - WALL_PT, box.high - 14.0)
    scale = min(inner.width / wide, inner.height / tall)
    left = (inner.left + inner.right - scale * wide) / 2.0 - scale * float(low[0])
    frame = Frame(SIDE, left, inner.low - scale * float(low[2]), scale)
    hook = frame.place(lift.hook_mm)[0]
    numbers: list[Mark] = []
    for words, pick in _numbered(frame.place(lift.picks_mm)):
        aside = math.copysign(_NUMBER_PT, pick[0] - hook[0] or 1.0)
        at = (float(pick[0]) + aside, float(pick[1]) + _NUMBER_PT)
        label = Label(words, at, 15.0, True, ink.SURFACE, "left" if aside > 0.0 else "right")
        numbers += [Area((box_of(label).ring,), fill=ink.PAPER), label]
    return (
        *room_marks(lift, frame, box),
        *part_marks(lift.here, frame),
        *pocket_marks(lift.here, frame),
        *sling_marks(answer, lift, frame),
        *numbers,
        layout.third_name("In the slings,\ntank cut short" if cut_short else "In the slings", box),
    )


def _numbered(picks: Floats) -> list[tuple[str, Floats]]:
    """Return the numbers of the legs and where they go; legs from one place of the view share it."""
    groups: list[tuple[list[int], Floats]] = []
    for k, pick in enumerate(picks):
        near = next((group for group in groups if np.abs(group[1] - pick).max() < _NUMBER_PT), None)
        if near is None:
            groups.append(([k + 1], pick))
        else:
            near[0].append(k + 1)
    return [(", ".join(map(str, numbers)), pick) for numbers, pick in groups]


def _cut_short(lift: Lift) -> tuple[Lift, bool]:
    """Return the lift with the stretch of the tank around the part, and whether that is less than all."""
    stretch, less = stretch_of(lift.here.part, lift.tank)
    shell = cut_shell(lift.tank.inside, stretch) if less else None
    if shell is None:
        return lift, False
    inside = Solid(shell.vertices_mm, shell.triangles, lift.tank.name)
    low, high = lift.low_mm.copy(), lift.high_mm.copy()
    ends = [*stretch, *lift.here.part.vertices_mm[:, 0].tolist(), float(lift.hook_mm[0])]
    low[0], high[0] = min(ends), max(ends)
    return replace(lift, tank=replace(lift.tank, inside=inside), low_mm=low, high_mm=high), True
