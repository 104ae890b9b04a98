"""Vertical ray casting: the triangle straight over a place, by a grid over the plan."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.geometry.kernels.jit import compiled
from fitcheck.things.solid import Floats, Indices
from fitcheck.things.solid import Mask as Flags

# What a ray meets that meets no triangle, or comes from inside the metal.
SKY, METAL = -1, -2


@compiled
def side_of(ax: float, ay: float, bx: float, by: float, px: float, py: float) -> int:
    """Tell on which side of the line a-b the point p lies: never 0, and the same seen from both triangles.

    A point on the line counts as moved by an endless small step along x, then along y (H. Edelsbrunner and
    E. P. Muecke, Simulation of simplicity, ACM Trans. Graphics 9 (1990) 66-104).
    """
    flip = 1
    if ax > bx or (ax == bx and ay > by):
        ax, ay, bx, by, flip = bx, by, ax, ay, -1
    area = (bx - ax) * (py - ay) - (by - ay) * (px - ax)
    if area == 0.0:
        area = -(by - ay)
    if area == 0.0:
        area = bx - ax
    return flip if area > 0.0 else -flip


@compiled
def gridded(points: Floats, triangles: Indices) -> tuple[Floats, Indices]:
    """Lay a grid over the plan, of about one square for every two triangles.

    Returns the grid (low x, low y, squares a mm in x and y) and its squares (nx, ny).
    """
    low_x, high_x = points[:, 0].min(), points[:, 0].max()
    low_y, high_y = points[:, 1].min(), points[:, 1].max()
    wide, deep = max(high_x - low_x, 1e-12), max(high_y - low_y, 1e-12)
    squares = max(len(triangles) / 2.0, 1.0)
    nx = min(max(int(math.sqrt(squares * wide / deep)), 1), 1024)
    ny = min(max(int(squares / nx), 1), 1024)
    return np.array([low_x, low_y, nx / wide, ny / deep]), np.array([nx, ny])


@compiled
def square_at(grid: Floats, size: Indices, x: float, y: float) -> int:
    """Return the number of the square that a place is in; -1 beside the grid, which sees the sky."""
    i, j = math.floor((x - grid[0]) * grid[2]), math.floor((y - grid[1]) * grid[3])
    # A place on the far side of the grid belongs to its last square.
    i, j = i - (i == size[0]), j - (j == size[1])
    if i < 0 or j < 0 or i >= size[0] or j >= size[1]:
        return -1
    return int(i * size[1] + j)


@compiled
def binned(
    points: Floats, triangles: Indices, grid: Floats, size: Indices, wanted: Flags
) -> tuple[Indices, Indices]:
    """Sort the triangles into the wanted squares (nx * ny,) of a grid over the plan.

    Returns where the list of each square begins (nx * ny + 1,), and the lists.
    """
    nx, ny = size
    first = np.zeros(nx * ny + 1, dtype=np.int64)
    for write in range(2):
        if write == 1:
            for k in range(nx * ny):
                first[k + 1] += first[k]
            which = np.empty(first[nx * ny], dtype=np.int64)
            at = first[:-1].copy()
        for t in range(len(triangles)):
            a, b, c = triangles[t]
            i0 = _square(min(points[a, 0], points[b, 0], points[c, 0]), grid[0], grid[2], nx)
            i1 = _square(max(points[a, 0], points[b, 0], points[c, 0]), grid[0], grid[2], nx)
            j0 = _square(min(points[a, 1], points[b, 1], points[c, 1]), grid[1], grid[3], ny)
            j1 = _square(max(points[a, 1], points[b, 1], points[c, 1]), grid[1], grid[3], ny)
            for i in range(i0, i1 + 1):
                for k in range(i * ny + j0, i * ny + j1 + 1):
                    if not wanted[k]:
                        continue
                    if write == 0:
                        first[k + 1] += 1
                    else:
                        which[at[k]] = t
                        at[k] += 1
    return first, which


@compiled
def _square(place: float, low: float, squares_a_mm: float, count: int) -> int:
    return min(max(int((place - low) * squares_a_mm), 0), count - 1)


@compiled
def above(
    points: Floats,
    triangles: Indices,
    bins: tuple[Floats, Indices, Indices, Indices],
    start: tuple[float, float, float],
) -> int:
    """Return the triangle that a ray straight up meets first, or SKY, or METAL where it starts in metal."""
    grid, size, first, which = bins
    x, y, z = start
    k = square_at(grid, size, x, y)
    if k < 0:
        return SKY
    met, lowest, seen_below = SKY, np.inf, False
    for e in range(first[k], first[k + 1]):
        t = which[e]
        ia, ib, ic = triangles[t]
        ax, ay, az = points[ia, 0], points[ia, 1], points[ia, 2]
        bx, by, bz = points[ib, 0], points[ib, 1], points[ib, 2]
        cx, cy, cz = points[ic, 0], points[ic, 1], points[ic, 2]
        if max(az, bz, cz) <= z or min(az, bz, cz) >= lowest:
            continue
        side = side_of(ax, ay, bx, by, x, y)
        if side_of(bx, by, cx, cy, x, y) != side or side_of(cx, cy, ax, ay, x, y) != side:
            continue
        height = _height(ax, ay, az, bx, by, bz, cx, cy, cz, x, y)
        if z < height < lowest:
            met, lowest, seen_below = t, height, side < 0
    return met if met == SKY or seen_below else METAL


@compiled
def _height(
    ax: float, ay: float, az: float, bx: float, by: float, bz: float, cx: float, cy: float, cz: float,
    x: float, y: float,
) -> float:  # fmt: skip
    """Return the height of a triangle's plane over (x, y), kept between those of its corners."""
    area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    height = az
    if area != 0.0:
        u = ((x - ax) * (cy - ay) - (y - ay) * (cx - ax)) / area
        v = ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / area
        height = az + u * (bz - az) + v * (cz - az)
    return min(max(height, min(az, bz, cz)), max(az, bz, cz))
