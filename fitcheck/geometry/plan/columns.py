"""Height that is free for blocks beside and under hanging parts, over a plan; an upper bound on it.

A plan is cut by lines into cells; over each cell a height is known that keeps clear of everything above it.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fitcheck.things.solid import Floats, Indices, Solid

# Low x, low y, high x, high y.
Rectangle = tuple[float, float, float, float]
# The cells of the bound are this share of the clearance: finer gains little and takes long.
_FINE = 1.0 / 8.0
# More cells or samples than these are not made; the bound is then a little looser, never wrong.
_MOST_CELLS, _MOST_SAMPLES = 400_000, 200_000
# The first of several boxes is tried as each of so many.
_FIRSTS = 12


@dataclass(frozen=True, slots=True, eq=False)
class Columns:
    """Cells between lines xs (n + 1,) and ys (m + 1,), and the height (n, m) to which each is free."""

    xs: Floats
    ys: Floats
    heights_mm: Floats

    def cut(self, xs: Sequence[float], ys: Sequence[float]) -> Columns:
        """Return the same with more lines; those outside are left out."""
        new = [
            np.unique([*old, *(at for at in more if old[0] < at < old[-1])])
            for old, more in ((self.xs, xs), (self.ys, ys))
        ]
        rows, columns = (
            np.searchsorted(old, line[:-1], side="right") - 1
            for old, line in zip((self.xs, self.ys), new, strict=True)
        )
        return Columns(new[0], new[1], self.heights_mm[np.ix_(rows, columns)])

    def without(self, taken: Rectangle) -> Columns:
        """Return the same with nothing allowed in a rectangle."""
        cut = self.cut((taken[0], taken[2]), (taken[1], taken[3]))
        heights = cut.heights_mm.copy()
        inside_x = (cut.xs[:-1] < taken[2]) & (cut.xs[1:] > taken[0])
        inside_y = (cut.ys[:-1] < taken[3]) & (cut.ys[1:] > taken[1])
        heights[np.ix_(inside_x, inside_y)] = 0.0
        return Columns(cut.xs, cut.ys, heights)


def empty(plan: Rectangle, top_mm: float) -> Columns:
    """Return one cell, free up to top_mm."""
    xs, ys = np.array([plan[0], plan[2]]), np.array([plan[1], plan[3]])
    return Columns(xs, ys, np.full((1, 1), top_mm))


def under(columns: Columns, hung: Solid, clear_mm: float, below_mm: float) -> Columns:
    """Return the columns lowered to stay clear of a solid that hangs over them.

    Each cell is lowered to below_mm (clear_mm or more) under the lowest of the solid over that cell and
    clear_mm round it, so a straight-line distance of clear_mm is kept too.
    """
    triangles = hung.vertices_mm[hung.triangles]
    low, high = triangles.min(axis=1), triangles.max(axis=1)
    heights = columns.heights_mm.copy()
    for i, j in np.ndindex(heights.shape):
        cell = (
            float(columns.xs[i]) - clear_mm,
            float(columns.ys[j]) - clear_mm,
            float(columns.xs[i + 1]) + clear_mm,
            float(columns.ys[j + 1]) + clear_mm,
        )
        over = (low[:, 0] < cell[2]) & (high[:, 0] > cell[0]) & (low[:, 1] < cell[3]) & (high[:, 1] > cell[1])
        # Only triangles that begin lower than what is known can lower it.
        over &= low[:, 2] - below_mm < heights[i, j]
        if over.any():
            heights[i, j] = np.minimum(heights[i, j], _lowest(triangles[over], cell) - below_mm)
    return Columns(columns.xs, columns.ys, np.maximum(heights, 0.0))


def _lowest(triangles: Floats, cell: Rectangle) -> float:
    """Return the lowest height of triangles (k, 3, 3) over a rectangle; infinite where none is over it.

    A plane is lowest at a corner of what it shares with the rectangle: on an edge of the triangle, cut to the
    rectangle, or at a corner of the rectangle.
    """
    start = triangles
    way = np.roll(triangles, -1, axis=1) - start
    lows, highs = np.array(cell[:2]), np.array(cell[2:])
    with np.errstate(divide="ignore", invalid="ignore"):
        to_low = (lows - start[..., :2]) / way[..., :2]
        to_high = (highs - start[..., :2]) / way[..., :2]
    still = way[..., :2] == 0.0
    within = (start[..., :2] >= lows) & (start[..., :2] <= highs)
    first = np.where(still, np.where(within, -np.inf, np.inf), np.fmin(to_low, to_high)).max(axis=-1)
    last = np.where(still, np.where(within, np.inf, -np.inf), np.fmax(to_low, to_high)).min(axis=-1)
    first, last = np.maximum(first, 0.0), np.minimum(last, 1.0)
    meets = first <= last
    ends = [start[meets][:, 2] + at[meets] * way[meets][:, 2] for at in (first, last)]
    lowest = float(np.concatenate(ends).min(initial=np.inf))
    return min(lowest, *(_height_at(triangles, x, y) for x in cell[0::2] for y in cell[1::2]))


def _height_at(triangles: Floats, x: float, y: float) -> float:
    """Return the lowest height of the triangles over a point; infinite where none is over it."""
    corner, one, other = triangles[:, 0], triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0]
    twice = one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]
    flat = twice != 0.0
    corner, one, other, twice = corner[flat], one[flat], other[flat], twice[flat]
    u = ((x - corner[:, 0]) * other[:, 1] - (y - corner[:, 1]) * other[:, 0]) / twice
    v = (one[:, 0] * (y - corner[:, 1]) - one[:, 1] * (x - corner[:, 0])) / twice
    over = (u >= 0.0) & (v >= 0.0) & (u + v <= 1.0)
    heights = corner[over, 2] + u[over] * one[over, 2] + v[over] * other[over, 2]
    return float(heights.min(initial=np.inf))


def boxes_left(
    columns: Columns, level_mm: float, gap_mm: float, thinnest_mm: float, most: int
) -> tuple[tuple[Rectangle, float], ...]:
    """Return up to `most` boxes, each a rectangle of the plan and a height, that displace most under a level.

    They are clear of each other by a gap; no side is under thinnest_mm. The first is tried as each of the
    largest that do not hold one another, the next ones are then the largest that is left.
    """
    best: tuple[tuple[Rectangle, float], ...] = ()
    most_mm3 = 0.0
    for first in _largest(columns, level_mm, thinnest_mm, _FIRSTS if most > 1 else 1):
        found = [first]
        left = columns
        while len(found) < most:
            left = left.without(_grown(found[-1][0], gap_mm))
            following = _largest(left, level_mm, thinnest_mm, 1)
            if not following:
                break
            found.append(following[0])
        sunk = sum(area(rectangle) * min(height, level_mm) for rectangle, height in found)
        if sunk > most_mm3:
            best, most_mm3 = tuple(found), sunk
    return best


def area(rectangle: Rectangle) -> float:
    """Return the area of a rectangle; below 0 never."""
    return max(rectangle[2] - rectangle[0], 0.0) * max(rectangle[3] - rectangle[1], 0.0)


def _grown(rectangle: Rectangle, by: float) -> Rectangle:
    return (rectangle[0] - by, rectangle[1] - by, rectangle[2] + by, rectangle[3] + by)


def _largest(
    columns: Columns, level_mm: float, thinnest_mm: float, count: int
) -> list[tuple[Rectangle, float]]:
    """Return the boxes that displace most, largest first, none inside one before it."""
    from fitcheck.geometry.kernels.standing_boxes import standing

    boxes = standing(columns.heights_mm, columns.xs, columns.ys, level_mm, thinnest_mm)
    picked: list[tuple[Rectangle, float]] = []
    for k in np.argsort(-boxes[:, 5], kind="stable").tolist():
        if boxes[k, 5] <= 0.0 or len(picked) == count:
            break
        left, low, right, high, height, _ = boxes[k].tolist()
        rectangle = (left, low, right, high)
        if not any(_holds(other, rectangle) for other, _ in picked):
            picked.append((rectangle, height))
    return picked


def _holds(one: Rectangle, other: Rectangle) -> bool:
    return one[0] <= other[0] and one[1] <= other[1] and one[2] >= other[2] and one[3] >= other[3]


def at_most_free_mm3(
    plan: Rectangle, level_mm: float, hung: Sequence[Solid], clear_mm: float, below_mm: float
) -> float:
    """Return a bound: whatever stands on the floor clear of the solids takes up no more under a level.

    Clear is clear_mm sideways, below_mm straight down, an ellipse between. Over every cell of a fine plan: a
    point q of a solid within d < clear_mm, in plan, of the whole of a cell keeps a column there under q by
    below_mm times the root of 1 - (d / clear_mm)^2; a column is one piece down to the floor.
    """
    cell = max(clear_mm * _FINE, float(np.sqrt(area(plan) / _MOST_CELLS)))
    counts = [max(1, int(np.ceil((plan[axis + 2] - plan[axis]) / cell))) for axis in (0, 1)]
    steps = np.array([(plan[axis + 2] - plan[axis]) / counts[axis] for axis in (0, 1)])
    lowest = np.full(counts, np.inf)
    for solid in hung:
        points = _samples(solid.vertices_mm, solid.triangles, cell)
        index = np.floor((points[:, :2] - np.array(plan[:2])) / steps).astype(np.int64)
        inside = (index >= 0).all(axis=1) & (index < counts).all(axis=1)
        np.minimum.at(lowest, (index[inside, 0], index[inside, 1]), points[inside, 2])
    heights = np.full(counts, level_mm)
    # A point anywhere in its cell is no farther than this from the whole of another.
    ways = [np.arange(-int(clear_mm // step), int(clear_mm // step) + 1) for step in steps]
    for i, j in itertools.product(*(way.tolist() for way in ways)):
        far = float(np.hypot((abs(i) + 1) * steps[0], (abs(j) + 1) * steps[1]))
        left = 1.0 - (far / clear_mm) ** 2 if clear_mm > 0.0 else 0.0
        if left > 0.0:
            to = heights[max(i, 0) : counts[0] + min(i, 0), max(j, 0) : counts[1] + min(j, 0)]
            of = lowest[max(-i, 0) : counts[0] + min(-i, 0), max(-j, 0) : counts[1] + min(-j, 0)]
            np.minimum(to, of - below_mm * float(np.sqrt(left)), out=to)
    return float(np.maximum(heights, 0.0).sum() * steps.prod())


def _samples(vertices: Floats, triangles: Indices, apart_mm: float) -> Floats:
    """Return points of the surface: corners, and a lattice on each triangle about apart_mm wide."""
    corners = vertices[triangles]
    longest = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).max(axis=1)
    total = float(np.maximum(np.ceil(longest / apart_mm), 1.0).__pow__(2).sum())
    apart = apart_mm * max(1.0, float(np.sqrt(total / 2.0 / _MOST_SAMPLES)))
    parts = np.maximum(np.ceil(longest / apart), 1.0).astype(np.int64)
    points = [vertices[np.unique(triangles)]]
    for n in np.unique(parts).tolist():
        u, v = (index.ravel() / n for index in np.meshgrid(np.arange(n + 1), np.arange(n + 1), indexing="ij"))
        keep = u + v <= 1.0
        weights = np.stack([1.0 - u[keep] - v[keep], u[keep], v[keep]])
        points.append(np.einsum("wk,twd->tkd", weights, corners[parts == n]).reshape(-1, 3))
    return np.concatenate(points)
