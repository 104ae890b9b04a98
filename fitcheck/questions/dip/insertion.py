"""How a part is lowered to a pose: straight down at that tilt, or tilted in over a lip or under a strap."""

from __future__ import annotations

import functools
import itertools

import numpy as np

from fitcheck.geometry.convex.offset_bodies import hull_of
from fitcheck.geometry.poses.dip_problem import DipProblem
from fitcheck.geometry.poses.dip_with_obstacles import pose_of
from fitcheck.geometry.poses.insertion_path import Obstacles, Way
from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.envelope import faces_of
from fitcheck.geometry.rotations.rotation_search import FIT_MM
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.solid import Floats, Solid
from fitcheck.things.tank import Tank
from fitcheck.things.way_in import WayIn

# A lip is taken as a plate this thick, its top level with the rim: the shop measures how far it reaches in.
LIP_THICK_MM = 3.0
# What parts and tanks are made ready and kept: those that are turned by hand, a step at a time.
_KEPT_READY = 4
# Faces that look this little up are upright but for rounding.
UPRIGHT = 1e-9


def needs_a_way(tank: Tank) -> bool:
    """Tell whether a clear pose might not lift straight out: things stand in the tank, or it has a lip."""
    return bool(tank.standing) or tank.rim.lip_mm > 0.0


def way_in(case: DipProblem, *poses: Pose) -> tuple[Pose, WayIn] | None:
    """Return a pose and how the part gets to it, and out again; None where no way was found.

    The first of the poses to which it goes straight down, keeping clearances and tapes all the way; else the
    first, if it can be tilted in there: that keeps the tapes, so it never touches.
    """
    way = _ready(case.part, case.tank)
    wanted = case.tank.rules.side_clearance_mm + case.tape_mm
    for pose in poses:
        here = _six(case, pose)
        straight = way.straight_mm(here)
        if (
            straight >= wanted - FIT_MM
            and straight > 0.0
            and _leaning_mm(case, here) >= case.tape_mm - FIT_MM
        ):
            return pose, WayIn("straight down", straight, (pose_of(case, _over(case, here)), pose))
    path = way.out(_six(case, poses[0]), case.every_turn, case.tape_mm)
    if path is None:
        return None
    first = way.straight_mm(path[0])
    least = min([first, *(way.between_mm(a, b, case.tape_mm) for a, b in itertools.pairwise(path))])
    told = [pose_of(case, each) for each in (_over(case, path[0]), *path[:-1])]
    return poses[0], WayIn("tilted in", least, (*told, poses[0]))


def _six(case: DipProblem, pose: Pose) -> Floats:
    angles = pose.angles
    turns = [angles.swing_rad, angles.tilt_rad, angles.roll_rad]
    return np.concatenate([turns, pose.rotation @ case.points.middle_mm + pose.shift_mm])


def _over(case: DipProblem, pose: Floats) -> Floats:
    """Return the pose straight over one at which all of the part is over the rim."""
    placed = pose_of(case, pose).apply(case.part.solid.vertices_mm)
    up = max(case.tank.depth_mm - float(placed[:, 2].min()), 0.0)
    return np.asarray(pose + np.array([0.0, 0.0, 0.0, 0.0, 0.0, up]))


def _leaning_mm(case: DipProblem, pose: Floats) -> float:
    """Return the room at the rim, over the clearance, to walls that lean in, for a straight lift."""
    normals, offsets = faces_of(case.tank.inside)
    leans = (normals[:, 2] > UPRIGHT) & (normals[:, 2] < 1.0 - UPRIGHT)
    if not leans.any():
        return np.inf
    placed = pose_of(case, pose).apply(case.part.solid.vertices_mm)
    placed[:, 2] = case.tank.depth_mm
    left = offsets[leans] - (placed @ normals[leans].T).max(axis=0)
    return float(left.min()) - case.tank.rules.side_clearance_mm


@functools.lru_cache(_KEPT_READY)
def _ready(part: Part, tank: Tank) -> Way:
    """Make a part and what it must stay clear of ready: neither changes, whatever pose is asked for."""
    points = ActivePoints(part.solid.vertices_mm)
    return Way(part.solid, points, _obstacles(tank, float(points.levers_mm[0])))


def _obstacles(tank: Tank, reach_mm: float) -> Obstacles:
    things = [thing.solid for thing in tank.standing]
    length, width, depth = tank.size_mm
    lip = tank.rim.lip_mm
    if lip > 0.0:
        low = depth - LIP_THICK_MM
        for x0, x1, y0, y1 in (
            (0.0, lip, 0.0, width),
            (length - lip, length, 0.0, width),
            (0.0, length, 0.0, lip),
            (0.0, length, width - lip, width),
        ):
            things.append(_box((x0, y0, low), (x1, y1, depth), "lip"))
    return Obstacles(tuple(things), _walls(tank, reach_mm), depth, _far_mm(tank, reach_mm))


def _walls(tank: Tank, reach_mm: float) -> tuple[Solid, ...]:
    """Return the walls and floor of a tank as solid blocks up to its rim."""
    from scipy.spatial import HalfspaceIntersection

    normals, offsets = faces_of(tank.inside)
    far = _far_mm(tank, reach_mm)
    walls = []
    for normal, offset in zip(normals, offsets, strict=True):
        if normal[2] > 1.0 - UPRIGHT:
            continue
        sides = np.vstack([-normal, np.eye(3), -np.eye(3)])
        length, width, depth = tank.size_mm
        limits = np.array([-offset, length + far, width + far, depth, far, far, far])
        ball = _inner_point(sides, limits)
        corners = HalfspaceIntersection(np.column_stack([sides, -limits]), ball).intersections
        walls.append(hull_of(np.unique(corners.round(6), axis=0), "wall"))
    return tuple(walls)


def _far_mm(tank: Tank, reach_mm: float) -> float:
    """Return how thick walls are taken: more than a part in the tank could reach through."""
    return 2.0 * (reach_mm + max(tank.size_mm))


def _inner_point(normals: Floats, offsets: Floats) -> Floats:
    from scipy.optimize import linprog

    system = np.column_stack([normals, np.ones(len(normals))])
    return np.asarray(linprog([0.0, 0.0, 0.0, -1.0], system, offsets, bounds=(None, None)).x[:3])


def _box(low: tuple[float, float, float], high: tuple[float, float, float], name: str) -> Solid:
    ends = np.array([low, high])
    corners = np.array([[ends[i, 0], ends[j, 1], ends[k, 2]] for i in (0, 1) for j in (0, 1) for k in (0, 1)])
    return hull_of(corners, name)
