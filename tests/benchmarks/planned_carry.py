"""Carrying round a corner by a general planner: OMPL's RRTConnect in the plane, boxes held apart by python-fcl.

The planner looks for a way until its time is over; that it found none says nothing.
"""

from __future__ import annotations

import math
import time

import fcl
import numpy as np

from fitcheck.things.route import Route, Stand

WALL_MM = 100.0
TALL_MM = 10.0


def corner(wide_mm: float, length_mm: float) -> Route:
    """Return a right-angle corner of two corridors as wide, with room for the part at both ends."""
    far = 1.3 * length_mm + 1500.0
    floor = ((0, 0), (far, 0), (far, wide_mm), (wide_mm, wide_mm), (wide_mm, far), (0, far))
    start = Stand((wide_mm / 2.0, far - length_mm / 2.0 - 25.0), math.pi / 2.0)
    goal = Stand((far - length_mm / 2.0 - 25.0, wide_mm / 2.0), math.pi)
    return Route("corner", tuple((float(x), float(y)) for x, y in floor), start, goal)


def longest_mm(wide_mm: float, width_mm: float) -> float:
    """Return the longest rectangle that goes round: C. Moretti, College Math. J. 33 (2002) 196-200."""
    angle = np.linspace(1e-3, math.pi / 2.0 - 1e-3, 400_001)
    sines, cosines = np.sin(angle), np.cos(angle)
    return float(((wide_mm * (sines + cosines) - width_mm) / (sines * cosines)).min())


def _walls(route: Route, wide_mm: float) -> list[fcl.CollisionObject]:
    far = max(x for x, _ in route.floor)
    boxes = (
        (-WALL_MM, -WALL_MM, 0.0, far),
        (-WALL_MM, -WALL_MM, far, 0.0),
        (far, -WALL_MM, far + WALL_MM, wide_mm),
        (-WALL_MM, far, wide_mm, far + WALL_MM),
        (wide_mm, wide_mm, far + WALL_MM, far + WALL_MM),
    )
    walls = []
    for x0, y0, x1, y1 in boxes:
        middle = np.array([(x0 + x1) / 2.0, (y0 + y1) / 2.0, 0.0])
        walls.append(
            fcl.CollisionObject(fcl.Box(x1 - x0, y1 - y0, TALL_MM), fcl.Transform(np.eye(3), middle))
        )
    return walls


def planned_s(
    route: Route, wide_mm: float, size_mm: tuple[float, float], limit_s: float, seed: int
) -> float | None:
    """Return the CPU seconds until a way is found; None where none is in the time given."""
    from ompl import base, geometric, util

    util.setLogLevel(util.LOG_NONE)
    util.RNG.setSeed(seed)
    walls = _walls(route, wide_mm)
    part = fcl.CollisionObject(fcl.Box(*size_mm, TALL_MM), fcl.Transform())
    length = size_mm[0] / 2.0
    request, far = fcl.CollisionRequest(), max(x for x, _ in route.floor)

    def is_clear(state: base.State) -> bool:
        swing = state[2] / length
        cosine, sine = math.cos(swing), math.sin(swing)
        turn = np.array([[cosine, -sine, 0.0], [sine, cosine, 0.0], [0.0, 0.0, 1.0]])
        part.setTransform(fcl.Transform(turn, np.array([state[0], state[1], 0.0])))
        return not any(fcl.collide(part, wall, request, fcl.CollisionResult()) for wall in walls)

    # Swings count as lengths, so that a step of either moves the part by as much.
    space, bounds = base.RealVectorStateSpace(3), base.RealVectorBounds(3)
    for k, (low, high) in enumerate(((0.0, far), (0.0, far), (0.0, length * math.pi * 1.5))):
        bounds.setLow(k, low)
        bounds.setHigh(k, high)
    space.setBounds(bounds)
    setup = geometric.SimpleSetup(space)
    setup.setStateValidityChecker(is_clear)
    ends = []
    for stand in (route.start, route.goal):
        state = space.allocState()
        state[0], state[1] = stand.at_mm
        state[2] = stand.swing_rad * length
        ends.append(state)
    setup.setStartAndGoalStates(*ends)
    setup.setPlanner(geometric.RRTConnect(setup.getSpaceInformation()))
    began = time.process_time()
    setup.solve(limit_s)
    return time.process_time() - began if setup.haveExactSolutionPath() else None
