"""The pictures of one lift for a shop sheet: side and end view, in space, in the slings; made to a given box.

They are laid out on a larger box in the print of the big pictures, and shrunk to the one given.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.rim.draw import ink, layout
from fitcheck.rim.draw.dimension import Span, chain_below, chain_beside
from fitcheck.rim.draw.dip import end_view, side_view
from fitcheck.rim.draw.dip_dimensions import Measured, beside, measured
from fitcheck.rim.draw.flat import WALL_PT, Frame, flat_view, part_marks, pocket_marks, tilt_mark
from fitcheck.rim.draw.hang_marks import room_marks, sling_marks
from fitcheck.rim.draw.hang_scene import Lift
from fitcheck.rim.draw.ink import Area, Box, Label, Mark, Marks, box_of, shrunk
from fitcheck.rim.draw.outline import SIDE
from fitcheck.rim.draw.scene import Scene, cut_shell
from fitcheck.rim.draw.space_lines import space_lines
from fitcheck.rim.draw.space_photo import space_scene, stretch_of
from fitcheck.things.hanging import HangAnswer
from fitcheck.things.shop import Show
from fitcheck.things.solid import Solid
from fitcheck.words.units import show_length

# The pictures' print is 14 and 17 pt; on a sheet it is this much of that.
PRINT = 0.7
# Kept at least under two views in one row, for the view in space and the slings.
_UNDER_PT = 190.0
_AIR_PT = 14.0
# The slings' picture is broad: it gets the larger part of what it shares with the view in space.
_SPACE_SHARE = 0.45
# A box less broad than this has them one over the other.
_BROAD = 1.5
# From a pick to its number.
_NUMBER_PT = 12.0


@dataclass(frozen=True, slots=True, eq=False)
class LiftSketch:
    """One part as it goes under, to scale, and in its slings where that is known."""

    scene: Scene
    show: Show
    slung: tuple[HangAnswer, Lift] | None = None

    def marks(self, width_pt: float, height_pt: float) -> Marks:
        """Return the pictures in a box of that size."""
        body = Box(0.0, 0.0, width_pt / PRINT, height_pt / PRINT)
        sizes = measured(self.scene, self.show)
        plan = layout.planned(self.scene, beside(sizes), (), body, _UNDER_PT)
        rest = self._rest(plan, body)
        space, slings = self._halves(rest) if plan.space_box.low < plan.side_box.low else (plan.space_box, rest)
        marks = (
            *side_view(self.scene, sizes, plan),
            *end_view(self.scene, sizes, plan),
            *_in_space(self.scene, space),
            *(sling_view(*self.slung, slings) if self.slung else ()),
        )
        return shrunk(marks, PRINT)

    def _rest(self, plan: layout.Plan, body: Box) -> Box:
        """Return what the two views leave of the box."""
        if plan.end_times != 1.0 or plan.end_box.high <= plan.side_box.low:
            return Box(plan.end_box.right + _AIR_PT, body.low, body.right, plan.side_box.low - 4.0)
        return Box(body.left, body.low, body.right, plan.side_box.low)

    def _halves(self, rest: Box) -> tuple[Box, Box]:
        """Return the boxes of the view in space and of the slings."""
        if self.slung is None:
            return rest, rest
        if rest.width < _BROAD * rest.height:
            split = rest.low + (1.0 - _SPACE_SHARE) * rest.height
            return replace(rest, low=split), replace(rest, high=split - _AIR_PT)
        middle = rest.left + _SPACE_SHARE * rest.width
        return replace(rest, right=middle - _AIR_PT / 2.0), replace(rest, left=middle + _AIR_PT / 2.0)


def _in_space(scene: Scene, box: Box) -> Marks:
    in_space = space_scene(scene, box.width / box.height)
    words = "In space, tank cut short" if in_space.cut_short else "In space"
    name = layout.third_name(words, box)
    return (*space_lines(in_space, replace(box, low=box.low + 22.0)), name)


def sling_view(answer: HangAnswer, lift: Lift, box: Box) -> Marks:
    """Return the part in its slings over the tank, each leg with its number: their sizes stand in a table.

    Of a tank much longer than the part only a stretch is shown.
    """
    lift, cut_short = _cut_short(lift)
    low, high = lift.low_mm, lift.high_mm
    wide, tall = float(high[0] - low[0]), float(high[2] - low[2])
    inner = Box(box.left + WALL_PT, box.low + 30.0, box.right - WALL_PT, box.high - 14.0)
    scale = min(inner.width / wide, inner.height / tall)
    left = (inner.left + inner.right - scale * wide) / 2.0 - scale * float(low[0])
    frame = Frame(SIDE, left, inner.low - scale * float(low[2]), scale)
    hook = frame.place(lift.hook_mm)[0]
    numbers: list[Mark] = []
    for k, pick in enumerate(frame.place(lift.picks_mm)):
        aside = math.copysign(_NUMBER_PT, pick[0] - hook[0] or (-1.0) ** (k + 1))
        at = (float(pick[0]) + aside, float(pick[1]) + _NUMBER_PT)
        label = Label(str(k + 1), at, 15.0, True, ink.SURFACE)
        numbers += [Area((box_of(label).ring,), fill=ink.PAPER), label]
    return (
        *room_marks(lift, frame, box),
        *part_marks(lift.here, frame),
        *pocket_marks(lift.here, frame),
        *sling_marks(answer, lift, frame),
        *numbers,
        layout.third_name("In the slings, tank cut short" if cut_short else "In the slings", box),
    )


def _cut_short(lift: Lift) -> tuple[Lift, bool]:
    """Return the lift with only the stretch of the tank around the part, and whether that is less than all."""
    stretch, less = stretch_of(lift.here.part, lift.tank)
    shell = cut_shell(lift.tank.inside, stretch) if less else None
    if shell is None:
        return lift, False
    inside = Solid(shell.vertices_mm, shell.triangles, lift.tank.name)
    low, high = lift.low_mm.copy(), lift.high_mm.copy()
    ends = [*stretch, *lift.here.part.vertices_mm[:, 0].tolist(), float(lift.hook_mm[0])]
    low[0], high[0] = min(ends), max(ends)
    return replace(lift, tank=replace(lift.tank, inside=inside), low_mm=low, high_mm=high), True


@dataclass(frozen=True, slots=True, eq=False)
class PassSketch:
    """One pass of several: the part standing out of the bath, from the side, with the line it is wet to."""

    scene: Scene
    show: Show

    def marks(self, width_pt: float, height_pt: float) -> Marks:
        """Return the picture in a box of that size."""
        body = Box(0.0, 0.0, width_pt / PRINT, height_pt / PRINT)
        frame = self._frame(body)
        tank, fill = self.scene.tank, self.scene.fill
        wall = frame.across(0.0) - WALL_PT
        spans = [Span(frame.height(0.0), frame.height(tank.depth_mm), wall, wall, f"{show_length(tank.depth_mm, self.show)}\ndeep")]
        right = frame.across(tank.size_mm[0]) + WALL_PT
        lines: Marks = ()
        if fill is not None:
            words = f"FILL LINE\n{show_length(fill.from_rim_mm, self.show)}"
            line = Span(
                frame.height(fill.level_mm), frame.height(tank.depth_mm), right, right, words, 17.0, True, ink.SURFACE
            )
            lines = chain_beside([line], right + 12.0, body.low, body.high)
        inside = Span(
            frame.across(0.0), frame.across(tank.size_mm[0]), frame.floor - WALL_PT, frame.floor - WALL_PT,
            f"{show_length(tank.size_mm[0], self.show)} inside",
        )
        below, low = chain_below([inside], frame.floor - WALL_PT - 14.0, body.left, body.right)
        marks = (
            *flat_view(self.scene, frame),
            *tilt_mark(self.scene, frame, body.high - 14.0, body),
            *chain_beside(spans, wall - 12.0, body.low, body.high, right=False),
            *lines,
            *below,
            layout.view_name("Side view", frame, low),
        )
        return shrunk(marks, PRINT)

    def _frame(self, body: Box) -> Frame:
        """Return the frame in which the part and the tank fill the box, less the words around them."""
        points = np.vstack([self.scene.tank.inside.vertices_mm, self.scene.part.vertices_mm])
        low, high = points.min(axis=0), points.max(axis=0)
        left, right, over, under = 110.0, 120.0, 34.0, 72.0
        wide, tall = float(high[0] - low[0]), float(high[2] - low[2])
        scale = min((body.width - left - right) / wide, (body.height - over - under) / tall)
        idle = body.width - left - right - scale * wide
        return Frame(
            SIDE,
            body.left + left + idle / 2.0 - scale * float(low[0]),
            body.high - over - scale * float(high[2]),
            scale,
        )
