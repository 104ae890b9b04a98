"""Support function of points along directions, and its bounds over a cell: see `support_function.py`."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from fitcheck.geometry.kernels.jit import compiled
from fitcheck.things.solid import Floats, Indices

# From MANY points on LANES are taken at a time: quick where columns lie together. Measured, not derived.
MANY, LANES = 128, 32
# Cosines of swing, tilt and roll, then their sines.
Turn = tuple[float, float, float, float, float, float]


class Seen(NamedTuple):
    """Room to work in: directions (d, 3), their ends (d, 2), and the farthest point of each plane (m,)."""

    directions: Floats
    ends: Indices
    point_of: Indices


@compiled
def seen_for(axes: Floats, axis_of: Indices) -> Seen:
    """Return room for planes with these axes: once for many rotations."""
    ends, point_of = np.zeros((len(axes), 2), dtype=np.int64), np.empty(len(axis_of), dtype=np.int64)
    return Seen(np.empty(axes.shape), ends, point_of)


@compiled
def extremes(points: Floats, directions: Floats, ends: Indices) -> None:
    """Put into ends (k, 2) which of the points (n, 3) are highest and lowest along directions (k, 3)."""
    if len(points) >= MANY:
        _extremes_in_lanes(points, directions, ends)
        return
    for k in range(len(directions)):
        a, b, c = directions[k, 0], directions[k, 1], directions[k, 2]
        highest, lowest = -np.inf, np.inf
        for i in range(len(points)):
            dot = points[i, 0] * a + points[i, 1] * b + points[i, 2] * c
            if dot > highest:
                highest, ends[k, 0] = dot, i
            if dot < lowest:
                lowest, ends[k, 1] = dot, i


@compiled
def _extremes_in_lanes(points: Floats, directions: Floats, ends: Indices) -> None:
    """Do the same with every LANES-th point in one lane.

    No lane waits for another, so a processor takes several at once; only how far they reach is kept, and
    which point that was is searched afterwards in the one lane.
    """
    highest = np.full((len(directions), LANES), -np.inf)
    lowest = np.full((len(directions), LANES), np.inf)
    for start in range(0, len(points) // LANES * LANES, LANES):
        for k in range(len(directions)):
            a, b, c = directions[k, 0], directions[k, 1], directions[k, 2]
            for j in range(LANES):
                dot = points[start + j, 0] * a + points[start + j, 1] * b + points[start + j, 2] * c
                highest[k, j] = dot if dot > highest[k, j] else highest[k, j]
                lowest[k, j] = dot if dot < lowest[k, j] else lowest[k, j]
    rest = len(points) // LANES * LANES
    for k in range(len(directions)):
        for i in range(rest, len(points)):
            dot = along(points, i, directions[k])
            highest[k, i - rest] = max(dot, highest[k, i - rest])
            lowest[k, i - rest] = min(dot, lowest[k, i - rest])
        ends[k, 0] = _found_in_lane(points, directions[k], highest[k], highest[k].argmax())
        ends[k, 1] = _found_in_lane(points, directions[k], lowest[k], lowest[k].argmin())


@compiled
def along(points: Floats, i: int, direction: Floats) -> float:
    """Return how far point i reaches along a direction (3,)."""
    return float(points[i, 0] * direction[0] + points[i, 1] * direction[1] + points[i, 2] * direction[2])


@compiled
def _found_in_lane(points: Floats, direction: Floats, reach: Floats, lane: int) -> int:
    """Return the first point of a lane that reaches as far as the lane does, to the last digit."""
    for i in range(lane, len(points), LANES):
        if along(points, i, direction) == reach[lane]:
            return i
    return lane


@compiled
def outermost(points: Floats, directions: Floats) -> Indices:
    """Return which of the points (n, 3) are highest and lowest along directions (k, 3), in turn: (2 k,)."""
    ends = np.zeros((len(directions), 2), dtype=np.int64)
    extremes(points, directions, ends)
    return ends.ravel()


@compiled
def turn_of(angles: Floats) -> Turn:
    """Return the cosines of (swing, tilt, roll), then their sines."""
    cs, ct, cr = math.cos(angles[0]), math.cos(angles[1]), math.cos(angles[2])
    return cs, ct, cr, math.sin(angles[0]), math.sin(angles[1]), math.sin(angles[2])


@compiled
def seen_from_part(axis: Floats, turn: Turn, direction: Floats) -> None:
    """Put into direction (3,) a tank direction as the part sees it at a turn."""
    cs, ct, cr, ss, st, sr = turn
    ax = axis[0] * cs + axis[1] * ss
    ay = axis[1] * cs - axis[0] * ss
    lean = axis[2] * ct - ax * st
    direction[0] = ax * ct + axis[2] * st
    direction[1] = ay * cr + lean * sr
    direction[2] = lean * cr - ay * sr


@compiled
def farthest_at(
    points: Floats, axes: Floats, axis_of: Indices, sign_of: Floats, turn: Turn, seen: Seen
) -> None:
    """Put into seen.point_of which point reaches farthest along each plane's direction at one rotation."""
    for j in range(len(axes)):
        seen_from_part(axes[j], turn, seen.directions[j])
    extremes(points, seen.directions, seen.ends)
    for k in range(len(axis_of)):
        seen.point_of[k] = seen.ends[axis_of[k], 0 if sign_of[k] > 0.0 else 1]


@compiled
def farthest(
    points: Floats, axes: Floats, axis_of: Indices, sign_of: Floats, angles: Floats
) -> tuple[Indices, Floats]:
    """Return which point reaches farthest along each plane's direction, and how far, for rotations (B, 3)."""
    index = np.empty((len(angles), len(axis_of)), dtype=np.int64)
    value = np.empty((len(angles), len(axis_of)))
    seen = seen_for(axes, axis_of)
    for b in range(len(angles)):
        farthest_at(points, axes, axis_of, sign_of, turn_of(angles[b]), seen)
        for k in range(len(axis_of)):
            index[b, k] = seen.point_of[k]
            value[b, k] = sign_of[k] * along(points, seen.point_of[k], seen.directions[axis_of[k]])
    return index, value


@compiled
def taylor_at(p: Floats, n: Floats, turn: Turn, half: Floats, gradient: Floats) -> tuple[float, float]:
    """Return value and drop of n . R p over one cell, and put its gradient (3,) into `gradient`."""
    cs, ct, cr, ss, st, sr = turn
    swing, tilt, roll = half[0], half[1], half[2]
    # a: the direction before the swing; b: the point after the roll; u, w: b after the tilt.
    ax, ay, az = n[0] * cs + n[1] * ss, n[1] * cs - n[0] * ss, n[2]
    bx, by, bz = p[0], p[1] * cr - p[2] * sr, p[1] * sr + p[2] * cr
    u, w = ct * bx - st * bz, st * bx + ct * bz
    lean = az * ct - ax * st
    gradient[0] = ay * u - ax * by
    gradient[1] = az * u - ax * w
    gradient[2] = lean * by - ay * bz
    # Second derivatives: where F curves down it may fall below its tangent, by half of it.
    bend = 0.5 * max(ax * u + ay * by, 0.0) * swing * swing
    bend += 0.5 * max(ax * u + az * w, 0.0) * tilt * tilt
    bend += 0.5 * max(lean * bz + ay * by, 0.0) * roll * roll
    bend += abs(ay * w) * swing * tilt
    bend += abs(ax * bz - ay * st * by) * swing * roll
    bend += abs((ax * ct + az * st) * by) * tilt * roll
    long = math.sqrt(p[0] * p[0] + p[1] * p[1] + p[2] * p[2])
    short = math.sqrt(p[1] * p[1] + p[2] * p[2])
    both, every = swing + tilt, swing + tilt + roll
    second = 0.5 * (both**2 * long + (every**2 - both**2) * short)
    third = bend + (both**3 * long + (every**3 - both**3) * short) / 6.0
    return ax * u + ay * by + az * w, min(second, third)


@compiled
def taylor(
    points: Floats, index: Indices, normals: Floats, middle: Floats, half: Floats
) -> tuple[Floats, Floats, Floats]:
    """Return value (B, m), gradient (B, m, 3) and drop (B, m) of n . R p over cells."""
    count, planes = index.shape
    value = np.empty((count, planes))
    gradient = np.empty((count, planes, 3))
    drop = np.empty((count, planes))
    for b in range(count):
        turn = turn_of(middle[b])
        for k in range(planes):
            value[b, k], drop[b, k] = taylor_at(
                points[index[b, k]], normals[k], turn, half[b], gradient[b, k]
            )
    return value, gradient, drop
