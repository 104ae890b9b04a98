"""Check of an insertion path from its poses alone.

Straight up from a pose, a convex thing is as near as the hull of itself and of itself far down is there.
Between two poses the middle of the part's box goes straight and the angles change evenly, so no point moves
by more than that shift and each turn times its distance; where the gaps at both ends together are more,
nothing is met between. Else the step is halved.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np

from fitcheck.geometry.convex.offset_bodies import hull_of, swept_down
from fitcheck.geometry.mesh.distance import Surface, gap_mm
from fitcheck.proving.exact_gaps import recheck_pass
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Standing, Tank
from fitcheck.things.way_in import WayIn

# A lip is a plate so thick.
LIP_THICK_MM = 3.0
# Halvings of one step of a way at most, and what rounding may make of a gap.
MOST_HALVINGS, ROUNDING_MM = 10, 1e-6


def way_is_clear(part: Part, tank: Tank, way: WayIn, hangs: Pose) -> bool:
    """Tell whether a way ends where the part hangs, starts over the rim, and is clear all along.

    The first leg is straight down: the things are checked exactly, and walls where they are upright need
    no check, as it is clear of them where it ends. The other legs are clear of all by small steps.
    """
    first, *others = way.poses
    tank = _with_lip(tank)
    ends = np.abs(way.poses[-1].matrix - hangs.matrix).max() <= ROUNDING_MM
    over = float(first.apply(part.solid.vertices_mm)[:, 2].min()) >= tank.depth_mm - ROUNDING_MM
    upright = np.abs(first.rotation - others[0].rotation).max() <= ROUNDING_MM
    upright &= np.abs((first.shift_mm - others[0].shift_mm)[:2]).max() <= ROUNDING_MM
    if not (ends and over and upright and len(others) == (1 if way.kind == "straight down" else len(others))):
        return False
    surface = Surface.of(part.solid.vertices_mm, part.solid.triangles)
    far = 2.0 * (tank.depth_mm + float(np.ptp(part.solid.vertices_mm, axis=0).max()))
    for thing in tank.standing:
        drawn = swept_down(thing.solid, far)
        gap = gap_mm(surface, Surface.of(drawn.vertices_mm, drawn.triangles), others[0])
        if gap < way.gap_mm - ROUNDING_MM or gap <= 0.0:
            return False
    return all(_leg_is_clear(part, tank, one, other) for one, other in itertools.pairwise(others))


def _with_lip(tank: Tank) -> Tank:
    """Return a tank whose lip stands in it as four thin plates under the level of the rim."""
    lip = tank.rim.lip_mm
    if lip <= 0.0:
        return tank
    length, width, depth = tank.size_mm
    plates = []
    for x0, y0, x1, y1 in (
        (0.0, 0.0, lip, width),
        (length - lip, 0.0, length, width),
        (0.0, 0.0, length, lip),
        (0.0, width - lip, length, width),
    ):
        corners = itertools.product((x0, x1), (y0, y1), (depth - LIP_THICK_MM, depth))
        plates.append(Standing("lip", hull_of(np.array(list(corners)), "lip")))
    return replace(tank, fittings=(*tank.fittings, *plates))


def _leg_is_clear(part: Part, tank: Tank, one: Pose, other: Pose) -> bool:
    vertices = part.solid.vertices_mm
    middle = (vertices.min(axis=0) + vertices.max(axis=0)) / 2.0
    far, short = np.linalg.norm(vertices - middle, axis=1).max(), np.hypot(*(vertices - middle).T[1:]).max()
    ends = [_six(pose, middle) for pose in (one, other)]

    def gap(six: Floats) -> float:
        turn = rotation_from(Angles(six[1], six[2], six[0]))
        pose = Pose(one.to_frame, one.from_frame, turn, six[3:] - turn @ middle)
        return min(each.gap_mm for each in recheck_pass(part, tank, pose).gaps)

    def is_clear(a: Floats, b: Floats, gaps: tuple[float, float], halvings: int) -> bool:
        by = np.abs(b - a)
        moves = float(np.linalg.norm(by[3:]) + by[:3] @ [far, far, short])
        if min(gaps) <= 0.0:
            return False
        if moves < sum(gaps):
            return True
        if halvings == 0:
            return False
        half = (a + b) / 2.0
        between = gap(half)
        return is_clear(a, half, (gaps[0], between), halvings - 1) and is_clear(
            half, b, (between, gaps[1]), halvings - 1
        )

    return is_clear(ends[0], ends[1], (gap(ends[0]), gap(ends[1])), MOST_HALVINGS)


def _six(pose: Pose, middle: Floats) -> Floats:
    angles = pose.angles
    place = pose.rotation @ middle + pose.shift_mm
    return np.concatenate([[angles.swing_rad, angles.tilt_rad, angles.roll_rad], place])
