"""How far points reach along directions, and how that changes in a cell of rotations: see `support.py`."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.geometry.compiled.kept import compiled
from fitcheck.things.solid import Floats, Indices

# Cosines of swing, tilt and roll, then their sines.
Turn = tuple[float, float, float, float, float, float]


@compiled
def extremes(points: Floats, direction: Floats) -> tuple[int, int]:
    """Return which of the points (n, 3) are highest and lowest along a direction (3,)."""
    top, bottom = 0, 0
    highest, lowest = -np.inf, np.inf
    for i in range(points.shape[0]):
        dot = points[i, 0] * direction[0] + points[i, 1] * direction[1] + points[i, 2] * direction[2]
        if dot > highest:
            highest, top = dot, i
        if dot < lowest:
            lowest, bottom = dot, i
    return top, bottom


@compiled
def outermost(points: Floats, directions: Floats) -> Indices:
    """Return which of the points (n, 3) are highest and lowest along directions (k, 3), in turn: (2 k,)."""
    found = np.empty(2 * len(directions), dtype=np.int64)
    for k in range(len(directions)):
        found[2 * k], found[2 * k + 1] = extremes(points, directions[k])
    return found


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
    points: Floats, axes: Floats, axis_of: Indices, sign_of: Floats, turn: Turn, index: Indices
) -> None:
    """Put into index (m,) which point reaches farthest along each plane's direction at one rotation."""
    direction, ends = np.empty(3), np.empty((len(axes), 2), dtype=np.int64)
    for j in range(len(axes)):
        seen_from_part(axes[j], turn, direction)
        ends[j] = extremes(points, direction)
    for k in range(len(axis_of)):
        index[k] = ends[axis_of[k], 0 if sign_of[k] > 0.0 else 1]


@compiled
def farthest(
    points: Floats, axes: Floats, axis_of: Indices, sign_of: Floats, angles: Floats
) -> tuple[Indices, Floats]:
    """Return which point reaches farthest along each plane's direction, and how far, for rotations (B, 3)."""
    index = np.empty((len(angles), len(axis_of)), dtype=np.int64)
    value = np.empty((len(angles), len(axis_of)))
    direction = np.empty(3)
    for b in range(len(angles)):
        turn = turn_of(angles[b])
        farthest_at(points, axes, axis_of, sign_of, turn, index[b])
        for k in range(len(axis_of)):
            seen_from_part(axes[axis_of[k]], turn, direction)
            p = points[index[b, k]]
            along = p[0] * direction[0] + p[1] * direction[1] + p[2] * direction[2]
            value[b, k] = sign_of[k] * along
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
