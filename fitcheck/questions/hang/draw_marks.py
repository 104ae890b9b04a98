"""Slings, hook, tank and floor of the picture of a lift."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.dimension import arc
from fitcheck.draw.flat import WALL_PT, Frame
from fitcheck.draw.ink import Area, Box, Mark, Marks, Stroke
from fitcheck.draw.outline import below, hatched, rings_of, silhouette
from fitcheck.questions.hang.answer import HangAnswer
from fitcheck.questions.hang.draw_scene import Lift
from fitcheck.things.solid import Floats

SLING_PT = 2.2
_HOOK_PT, _PICK_PT, _CENTRE_PT = 5.0, 3.2, 6.0
_FLOOR_PT, _HATCH_PT = 7.0, 5.0
# An arc shows a leg's angle where the view shows that angle: the leg leans so little out of it (radians).
_IN_VIEW = 0.02
_ARC_PT = 24.0


def room_marks(lift: Lift, frame: Frame, box: Box) -> Marks:
    """Return the tank, what it stands on, the shop floor, and the line that the hook goes to."""
    marks: list[Mark] = []
    if lift.floor_mm is not None:
        marks += _stand(lift, frame)
        marks += _floor(lift.floor_mm, frame, box)
    marks += _tank(lift, frame)
    if lift.highest_mm is not None:
        marks += _highest(lift, lift.highest_mm, frame)
    return tuple(marks)


def _tank(lift: Lift, frame: Frame) -> Marks:
    """Return the walls and floor of the tank, cut through."""
    from manifold3d import JoinType

    inside = silhouette(lift.tank.inside, frame.view)
    outer = inside.offset(WALL_PT / frame.scale, JoinType.Miter, 4.0)
    walls = below(outer, lift.tank.depth_mm) - inside
    rings = tuple(frame.flat(ring) for ring in rings_of(walls))
    return (Area(rings, fill=ink.WALL, line=ink.INK, width_pt=1.1),)


def _stand(lift: Lift, frame: Frame) -> Marks:
    """Return what the tank stands on, where its floor is over the shop's: only that something is there."""
    ends = lift.tank.inside.vertices_mm[:, 0]
    left, right = frame.across(float(ends.min())) - WALL_PT, frame.across(float(ends.max())) + WALL_PT
    low, high = frame.height(lift.floor_mm or 0.0), frame.height(0.0) - WALL_PT
    if high - low < 1.0:
        return ()
    ring = Box(left, low, right, high).ring
    return (
        Area((ring,), fill=ink.BLOCK, line=ink.FAINT, width_pt=0.7),
        Stroke(hatched((ring,), 2.0 * _HATCH_PT), ink.FAINT, 0.4),
    )


def _floor(floor_mm: float, frame: Frame, box: Box) -> Marks:
    y = frame.height(floor_mm)
    ring = Box(box.left, y - _FLOOR_PT, box.right, y).ring
    return (
        Stroke(hatched((ring,), _HATCH_PT), ink.FAINT, 0.7),
        Stroke((np.array([[box.left, y], [box.right, y]]),), ink.INK, 1.8),
    )


def _highest(lift: Lift, highest_mm: float, frame: Frame) -> Marks:
    """Return the line that the hook goes to."""
    left, right = frame.across(float(lift.low_mm[0])), frame.across(float(lift.high_mm[0]))
    y = frame.height(highest_mm)
    return (Stroke((np.array([[left, y], [right, y]]),), ink.FAINT, 1.1, dashed=True),)


def sling_marks(answer: HangAnswer, lift: Lift, frame: Frame) -> Marks:
    """Return the legs, the hook on its chain, the picks, and the centre of mass plumb under the hook."""
    hook = frame.place(lift.hook_mm)[0]
    picks = frame.place(lift.picks_mm)
    centre = frame.place(lift.centre_mm)[0]
    top = np.array([hook[0], frame.height(float(lift.high_mm[2])) + 10.0])
    legs = tuple(np.array([pick, hook]) for pick in picks)
    marks: list[Mark] = [
        Stroke((np.array([hook, centre]),), ink.FAINT, 0.9, dashed=True),
        Stroke((np.array([hook, top]),), ink.FAINT, 3.0),
        Stroke(legs, ink.SURFACE, SLING_PT),
        *_angle_arcs(answer, lift, frame),
    ]
    marks += [Area((_disc(pick, _PICK_PT),), fill=ink.SURFACE) for pick in picks]
    marks.append(Area((_disc(hook, _HOOK_PT),), fill=ink.PAPER, line=ink.INK, width_pt=1.8))
    return (*marks, *_centre_mark(centre))


def _disc(at: Floats, radius: float) -> Floats:
    turn = np.linspace(0.0, 2.0 * math.pi, 33)[:-1]
    ring: Floats = at + radius * np.column_stack([np.cos(turn), np.sin(turn)])
    return ring


def _centre_mark(at: Floats) -> Marks:
    """Return the drawing mark of a centre of mass: a disc with two quarters dark."""
    marks: list[Mark] = [Area((_disc(at, _CENTRE_PT),), fill=ink.PAPER, line=ink.INK, width_pt=1.0)]
    for start in (0.0, math.pi):
        turn = start + np.linspace(0.0, math.pi / 2.0, 9)
        edge = at + _CENTRE_PT * np.column_stack([np.cos(turn), np.sin(turn)])
        marks.append(Area((np.vstack([at, edge]),), fill=ink.INK))
    return tuple(marks)


def _angle_arcs(answer: HangAnswer, lift: Lift, frame: Frame) -> Marks:
    """Return the arc from level to each leg whose angle the view shows."""
    hook = frame.place(lift.hook_mm)[0]
    marks: list[Mark] = []
    for leg, pick in zip(answer.legs, frame.place(lift.picks_mm), strict=True):
        step = hook - pick
        seen = math.atan2(step[1], abs(step[0]))
        if abs(seen - leg.angle_rad) > _IN_VIEW or abs(step[0]) < _ARC_PT:
            continue
        start = 0.0 if step[0] > 0.0 else math.pi
        toward = math.copysign(1.0, step[0])
        level = np.array([pick, pick + np.array([1.4 * toward * _ARC_PT, 0.0])])
        marks.append(Stroke((level,), ink.INK, 0.7))
        marks += arc(pick, _ARC_PT, start, math.atan2(step[1], step[0]))
    return tuple(marks)
