"""Penetration depth of convex shapes in plan, and the shifts that clear one of others.

The overlap of two convex shapes is the least, over all directions, of how far they reach into each other
along that direction. For polygons the least is met square to an edge (the separating axis theorem:
S. Gottschalk, M. Lin and D. Manocha, OBBTree, SIGGRAPH 1996); for a door's sector also along the line from
its hinge to a corner.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fitcheck.things.solid import Floats

if TYPE_CHECKING:
    from shapely import Polygon

# Things that overlap by less than this touch: far under any tape, above the rounding of sums of metres.
TOUCH_MM = 1e-6
# An arc of a quarter turn as so many chords.
CHORDS = 24


@dataclass(frozen=True, slots=True, eq=False)
class Sector:
    """A quarter disc: about `hinge_mm`, from the unit vector `along` to the unit vector `inward`."""

    hinge_mm: Floats
    radius_mm: float
    along: Floats
    inward: Floats

    def reach_mm(self, ways: Floats) -> Floats:
        """Return how far it reaches along unit vectors (k, 2)."""
        one, other = ways @ self.along, ways @ self.inward
        far = np.where(np.minimum(one, other) >= 0.0, np.hypot(one, other), np.maximum(one, other))
        reach: Floats = np.add(ways @ self.hinge_mm, self.radius_mm * np.maximum(far, 0.0))
        return reach

    def around_mm(self) -> Floats:
        """Return a polygon (n, 2) that has all of it and reaches hardly beyond: tangents to the arc."""
        step = np.pi / 2.0 / CHORDS
        angles = step * (np.arange(CHORDS) + 0.5)
        far = self.radius_mm / np.cos(step / 2.0)
        arc = far * (np.cos(angles)[:, None] * self.along + np.sin(angles)[:, None] * self.inward)
        ends = self.radius_mm * np.array([self.along, self.inward])
        around: Floats = self.hinge_mm + np.vstack([np.zeros((1, 2)), ends[:1], arc, ends[1:]])
        return around


def overlap_mm(ring: Floats, other: Floats | Sector) -> tuple[float, Floats]:
    """Return how far a convex polygon and another shape overlap, and the way (2,) that moves it out.

    0 or less: they do not overlap (then it is no distance).
    """
    ways = -normals_of(ring)
    if isinstance(other, Sector):
        spokes = ring - other.hinge_mm
        length = np.hypot(*spokes.T)
        spokes = spokes[length > TOUCH_MM] / length[length > TOUCH_MM, None]
        spokes = spokes[(spokes @ other.along >= 0.0) & (spokes @ other.inward >= 0.0)]
        flats = np.array([other.along, other.inward, -other.along, -other.inward])
        ways = np.vstack([ways, flats, spokes])
        deep = other.reach_mm(ways) - (ring @ ways.T).min(axis=0)
    else:
        ways = np.vstack([ways, normals_of(other)])
        deep = (other @ ways.T).max(axis=0) - (ring @ ways.T).min(axis=0)
    least = int(np.argmin(deep))
    return float(deep[least]), ways[least]


def normals_of(ring: Floats) -> Floats:
    """Return the outward unit normals (n, 2) of a polygon counter-clockwise; of a segment, both."""
    step = np.roll(ring, -1, axis=0) - ring
    out: Floats = np.column_stack([step[:, 1], -step[:, 0]]) / np.hypot(*step.T)[:, None]
    return out


def grown(ring: Floats, radius_mm: float, *, outside: bool) -> Floats:
    """Return a convex polygon, or a segment (2, 2), grown by a disc.

    Straight sides are exact. Round corners are tangents (outside: it has all of the true shape) or chords
    (all of it lies in the true shape).
    """
    normals = normals_of(ring)
    start = np.arctan2(*np.roll(normals, 1, axis=0).T[::-1])
    turn = np.mod(np.arctan2(*normals.T[::-1]) - start, 2.0 * np.pi)
    points = []
    for corner, first, by in zip(ring, start, turn, strict=True):
        count = max(1, int(np.ceil(by / (np.pi / 2.0) * CHORDS - 1e-9)))
        step = by / count
        if outside:
            angles, far = first + step * (np.arange(count) + 0.5), radius_mm / np.cos(step / 2.0)
        else:
            angles, far = first + step * np.arange(count + 1), radius_mm
        points.append(corner + far * np.column_stack([np.cos(angles), np.sin(angles)]))
    return np.vstack(points)


def barred(moving: Floats, still: Floats) -> Polygon:
    """Return the shifts at which a convex polygon overlaps another (or a segment): their difference.

    It is drawn in by the depth that counts as touching, so that an exact fit stays free.
    """
    from shapely import MultiPoint

    sums = (still[:, None, :] - moving[None, :, :]).reshape(-1, 2)
    hull: Polygon = MultiPoint(sums).convex_hull.buffer(-TOUCH_MM / 2.0, join_style="mitre")
    return hull
