"""Clearance of a part along a way, by bisection of the moves: no slices, no convex pieces, no lines.

In the middle of a move the outline's distance from every wall is exact (shapely). Over the whole move no
point of it is further from where it is in the middle than half of what it can travel: the move of the middle
plus the turn times the farthest corner. So the move is clear if the distance is more than that; else it is
halved. Nothing here is used to find a way.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from fitcheck.things.part import Part
from fitcheck.things.route import Route
from fitcheck.things.solid import Floats

# A part may touch; it is checked with so much taken off all round: half the thickness of a sheet of paper.
TOUCHING_MM = 0.05
# A move is halved until it is shorter than this share of what touching is; then it is not clear.
FINEST = 0.25
# Poses checked in one go.
AT_ONCE = 4096


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """A part about its middle as drawn: its corners (n, 3) and triangles."""

    corners_mm: Floats
    triangles: Any

    @classmethod
    def of(cls, part: Part) -> Shape:
        """Return the shape of a part."""
        corners = part.solid.vertices_mm
        return cls(corners - (corners.min(axis=0) + corners.max(axis=0)) / 2.0, part.solid.triangles)

    @property
    def far_mm(self) -> float:
        """The farthest corner from the middle."""
        return float(np.linalg.norm(self.corners_mm, axis=1).max())

    def tipped(self, tilt_rad: float) -> Floats:
        """Return the corners with the +x end raised."""
        x, y, z = self.corners_mm.T
        cosine, sine = math.cos(tilt_rad), math.sin(tilt_rad)
        return np.column_stack([cosine * x - sine * z, y, sine * x + cosine * z])

    def tall_mm(self, tilt_rad: float) -> float:
        """Return the height at a tilt."""
        return float(np.ptp(self.tipped(tilt_rad)[:, 2]))

    def covered(self, tilt_rad: float) -> Any:
        """Return what it covers in plan, with its holes."""
        flat = shapely.polygons(self.tipped(tilt_rad)[:, :2][self.triangles])
        return shapely.union_all(flat[shapely.area(flat) > 0.0])

    def plan(self, tilt_rad: float) -> list[Any]:
        """Return what it covers in plan: polygons without holes, for nothing gets into one."""
        parts = shapely.get_parts(self.covered(tilt_rad))
        return [shapely.Polygon(part.exterior) for part in parts]

    def hull(self, tilt_rad: float) -> Any:
        """Return the convex hull of what it covers in plan."""
        return shapely.convex_hull(shapely.multipoints(self.tipped(tilt_rad)[:, :2]))


def floor_for(route: Route, tall_mm: float) -> Any | None:
    """Return the floor over which something so tall may be, less the posts; None where it may be nowhere."""
    need = tall_mm + 2.0 * route.clearance_mm - TOUCHING_MM
    if route.headroom_mm is not None and route.headroom_mm < need:
        return None
    low = [shapely.Polygon(each.ring_mm) for each in route.lows if each.headroom_mm < need]
    posts = [shapely.Polygon(post) for post in route.posts]
    floor = shapely.difference(shapely.Polygon(route.floor), shapely.union_all([*posts, *low]))
    return floor if floor.area > 0.0 else None


def keeps_clear(outline: list[Any], floor: Any, places: Floats, by_mm: float) -> bool:
    """Tell whether an outline keeps so far from every wall from one place (x, y, swing) to another (2, 3)."""
    bodies = [_less(body) for body in outline]
    shapely.prepare(floor)
    walls = shapely.boundary(floor)
    shapely.prepare(walls)
    far = max(float(np.hypot(*np.array(body.exterior.coords).T).max()) for body in bodies)
    one, other = places
    travel = float(np.hypot(*(other[:2] - one[:2]))) + far * abs(float(other[2] - one[2]))
    middle, half = np.array([0.5]), 0.5
    while len(middle):
        at = one + middle[:, None] * (other - one)
        gap = np.concatenate(
            [_gaps(bodies, floor, walls, at[k : k + AT_ONCE]) for k in range(0, len(at), AT_ONCE)]
        )
        if (gap < by_mm).any():
            return False
        middle = middle[gap < by_mm + half * travel]
        if len(middle) and half * travel < FINEST * TOUCHING_MM:
            return False
        half /= 2.0
        middle = np.concatenate([middle - half, middle + half])
    return True


def tips_clear(shape: Shape, route: Route, place: Floats, tilts: tuple[float, float], by_mm: float) -> bool:
    """Tell whether the hull of a part keeps so far from every wall, and under all, while it is tipped."""
    todo = [tilts]
    while todo:
        low, high = todo.pop()
        middle, moves = (low + high) / 2.0, shape.far_mm * abs(high - low) / 2.0
        floor = floor_for(route, shape.tall_mm(middle) + 2.0 * moves)
        clear = floor is not None and keeps_clear(
            [shape.hull(middle)], floor, np.array([place, place]), by_mm + moves
        )
        if clear:
            continue
        if moves < FINEST * TOUCHING_MM:
            return False
        todo += [(low, middle), (middle, high)]
    return True


def _less(body: Any) -> Any:
    """Return a body with what touching is taken off, or as it is where it is too thin for that."""
    less = shapely.buffer(body, -TOUCHING_MM, join_style="mitre")
    return less if less.geom_type == "Polygon" and not less.is_empty else body


def _gaps(bodies: list[Any], floor: Any, walls: Any, at: Floats) -> Floats:
    """Return how far the bodies are from every wall at each place; below 0 where they are off the floor."""
    cosine, sine = np.cos(at[:, 2]), np.sin(at[:, 2])
    least = np.full(len(at), np.inf)
    for body in bodies:
        x, y = np.array(body.exterior.coords).T
        across = cosine[:, None] * x - sine[:, None] * y + at[:, :1]
        along = sine[:, None] * x + cosine[:, None] * y + at[:, 1:2]
        gap = shapely.distance(shapely.polygons(np.stack([across, along], axis=-1)), walls)
        # It meets no wall, so it is all on the floor or all off it.
        gap[~shapely.contains_xy(floor, across[:, 0], along[:, 0])] = -1.0
        least = np.minimum(least, gap)
    return least
