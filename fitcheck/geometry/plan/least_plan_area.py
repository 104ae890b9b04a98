"""Lower bound on plan area over all orientations no taller than a limit.

Seen along a direction u, a convex body has the outline's area sum a_f |n_f . u| / 2 over its faces (Cauchy),
and a height that is the reach of its corners both ways; both are convex in u, so a tangent at the middle of a
cell of directions bounds them over the cell. The outline's perimeter is at least that of the shadow of any
flat convex loop in the body. Cells with a bound over the best way found are dropped, the others cut in four.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from fitcheck.things.part import HALF_TURN, QUARTER_TURN, Attitude
from fitcheck.things.solid import Floats

# A bound within one in a hundred of the truth is as good as the truth for counting loads.
_CLOSE = 0.01
_MOST_CELLS, _MOST_ROUNDS = 6_000, 14
# Sums over some hundred faces are off by far less than this share.
_ROUNDING = 1e-9
# The largest faces: their outlines are loops.
_LOOPS = 6

# From heights, areas and perimeters, all lower bounds, to what is made least; it must not fall with any.
Measure = Callable[[Floats, Floats, Floats], Floats]
# From a direction up (3,), an angle, a lower bound of the height, and one of the same measure over all
# directions within the angle, to a closer one: as that or higher.
Closer = Callable[[Floats, float, float, float], float]
# A bound so close is asked for so often at most.
_MOST_CLOSER = 200
# Middles of cells evaluated closer each time, for how low the measure may be.
_TRIED = 3


@dataclass(frozen=True, slots=True, eq=False)
class Shadow:
    """The convex hull of a part: areas times normals of its faces (f, 3), corners (n, 3), loops of edges."""

    faces_mm2: Floats
    corners_mm: Floats
    loops: tuple[Floats, ...]

    @classmethod
    def of(cls, points_mm: Floats) -> Shadow:
        """Return it for the corners (n, 3) of a solid."""
        from scipy.spatial import ConvexHull

        hull = ConvexHull(points_mm)
        a, b, c = (points_mm[hull.simplices[:, i]] for i in range(3))
        area = np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2.0
        planes, face_of = np.unique(np.round(hull.equations, 6), axis=0, return_inverse=True)
        face_of = face_of.reshape(-1)
        areas = np.bincount(face_of, weights=area, minlength=len(planes))
        loops = [_loop(points_mm, hull.simplices[face_of == k]) for k in np.argsort(-areas)[:_LOOPS]]
        corners = points_mm[hull.vertices]
        return cls(hull.equations[:, :3] * area[:, None], corners, (*loops, _longest(corners)))

    @property
    def longest_mm(self) -> float:
        """The distance between the two corners that are farthest apart."""
        return float(np.linalg.norm(self.loops[-1][0]))


def least(
    shadow: Shadow, attitude: Attitude, highest_mm: float, measure: Measure, closer: Closer | None = None
) -> float:
    """Return a lower bound of a measure over every way up that is allowed and no higher than `highest_mm`.

    closer: where one closer than that of area and perimeter is known. Infinite where there is no such way.
    """
    tilt = min(attitude.tilt_rad, QUARTER_TURN)
    roll = min(attitude.roll_rad, HALF_TURN)
    cells = _Cells.of(shadow, np.zeros((1, 2)), np.array([[tilt, roll]]), highest_mm, measure)
    best, dropped, asked = np.inf, np.inf, 0
    for _ in range(_MOST_ROUNDS):
        if closer is None:
            best = min(best, float(cells.value.min(initial=np.inf)))
        else:
            best = min(best, cells.least_value(closer))
            asked += cells.look_closer(closer, best, _MOST_CLOSER - asked)
        open_ = np.isfinite(cells.low) & (cells.low < best * (1.0 - _CLOSE))
        dropped = min(dropped, float(cells.low[~open_].min(initial=np.inf)))
        middle, half, left = cells.middle[open_], cells.half[open_], cells.low[open_]
        if not len(middle) or len(middle) > _MOST_CELLS or not half.any():
            break
        cells = _Cells.of(shadow, *_cut(middle, half), highest_mm, measure)
        left = cells.low
    return min(dropped, float(left.min(initial=np.inf))) * (1.0 - _ROUNDING)


@dataclass(slots=True, eq=False)
class _Cells:
    """Cells of directions: the middle and half the size in tilt and roll, directions, angles from the middle.

    height: a lower bound in each, and height_here: at the middle. low: a lower bound of the measure in each;
    value: that at the middle; both infinite where too high.
    """

    middle: Floats
    half: Floats
    up: Floats
    radius: Floats
    height: Floats
    height_here: Floats
    low: Floats
    value: Floats

    @classmethod
    def of(cls, shadow: Shadow, middle: Floats, half: Floats, highest_mm: float, measure: Measure) -> _Cells:
        """Return cells bounded by area and perimeter."""
        tilt, roll = middle.T
        up = np.column_stack([np.sin(tilt), np.cos(tilt) * np.sin(roll), np.cos(tilt) * np.cos(roll)])
        # An angle no larger than this leads from the middle to any direction of the cell.
        level = np.cos(np.maximum(np.abs(tilt) - half[:, 0], 0.0))
        radius = np.minimum(np.hypot(half[:, 0], half[:, 1] * level), QUARTER_TURN)
        parts = [_height(shadow, up), _area(shadow, up)]
        tangents = [_over_cell(gradient, up, radius) for _, gradient in parts]
        here = [value for value, _ in parts]
        around_here, around = _perimeter(shadow, up, np.zeros(len(up))), _perimeter(shadow, up, radius)
        low = np.where(tangents[0] > highest_mm, np.inf, measure(tangents[0], tangents[1], around))
        value = np.where(here[0] > highest_mm, np.inf, measure(here[0], here[1], around_here))
        return cls(middle, half, up, radius, tangents[0], here[0], low, value)

    def least_value(self, closer: Closer) -> float:
        """Return about the least of the measure at a middle, closer: only when to stop rests on it."""
        tried = [k for k in np.argsort(self.value, kind="stable")[:_TRIED] if np.isfinite(self.value[k])]
        near = (closer(self.up[k], 0.0, float(self.height_here[k]), float(self.value[k])) for k in tried)
        return min(near, default=np.inf)

    def look_closer(self, closer: Closer, best: float, most: int) -> int:
        """Raise the bounds of those that may be less than the best so far; return how often it was asked."""
        count = 0
        for k in np.argsort(self.low, kind="stable")[:most].tolist():
            if not self.low[k] < best * (1.0 - _CLOSE):
                break
            known = float(self.low[k])
            self.low[k] = closer(self.up[k], float(self.radius[k]), float(self.height[k]), known)
            count += 1
        return count


def _height(shadow: Shadow, up: Floats) -> tuple[Floats, Floats]:
    reach = up @ shadow.corners_mm.T
    span = shadow.corners_mm[reach.argmax(axis=1)] - shadow.corners_mm[reach.argmin(axis=1)]
    return np.einsum("ij,ij->i", span, up), span


def _area(shadow: Shadow, up: Floats) -> tuple[Floats, Floats]:
    facing = up @ shadow.faces_mm2.T
    gradient = np.sign(facing) @ shadow.faces_mm2 / 2.0
    return np.abs(facing).sum(axis=1) / 2.0, gradient


def _over_cell(gradient: Floats, up: Floats, radius: Floats) -> Floats:
    """Return the least of gradient . u over directions within an angle of `up`, or 0."""
    along = np.einsum("ij,ij->i", gradient, up)
    beside = np.sqrt(np.maximum(np.einsum("ij,ij->i", gradient, gradient) - along**2, 0.0))
    return np.asarray(np.maximum(along * np.cos(radius) - beside * np.sin(radius), 0.0))


def _perimeter(shadow: Shadow, up: Floats, radius: Floats) -> Floats:
    """Return the least perimeter of the loops' shadows within an angle of each direction."""
    best = np.zeros(len(up))
    for edges in shadow.loops:
        along = np.abs(up @ edges.T)
        beside = np.sqrt(np.maximum((edges**2).sum(axis=1) - along**2, 0.0))
        each = beside * np.cos(radius)[:, None] - along * np.sin(radius)[:, None]
        best = np.maximum(best, np.maximum(each, 0.0).sum(axis=1))
    return best


def _cut(middle: Floats, half: Floats) -> tuple[Floats, Floats]:
    """Return each cell cut in four; a side of no length is not cut."""
    sides = np.array([[a, b] for a in (-0.5, 0.5) for b in (-0.5, 0.5)])
    keep = np.array([True, True, True, True])
    if not half[:, 0].any():
        keep = sides[:, 0] > 0.0
    if not half[:, 1].any():
        keep &= sides[:, 1] > 0.0
    sides = sides[keep]
    middles = (middle[:, None, :] + sides[None] * half[:, None, :]).reshape(-1, 2)
    return middles, np.repeat(half / 2.0, len(sides), axis=0)


def _loop(points_mm: Floats, simplices: Floats) -> Floats:
    """Return the edges (e, 3) round a flat face given as triangles."""
    edges: dict[tuple[int, int], tuple[int, int]] = {}
    for triangle in simplices.tolist():
        for k in range(3):
            one, other = triangle[k], triangle[(k + 1) % 3]
            key = (min(one, other), max(one, other))
            if key in edges:
                del edges[key]
            else:
                edges[key] = (one, other)
    ends = np.array(list(edges.values()))
    return np.asarray(points_mm[ends[:, 1]] - points_mm[ends[:, 0]])


def _longest(corners: Floats) -> Floats:
    """Return the two corners that are farthest apart as a loop there and back."""
    far = ((corners[:, None, :] - corners[None, :, :]) ** 2).sum(axis=2)
    one, other = np.unravel_index(int(far.argmax()), far.shape)
    across = corners[other] - corners[one]
    return np.array([across, -across])
