"""An extruded cross-section."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fitcheck.shapes.rings import across_x, between
from fitcheck.shapes.shape import Shape, above_zero
from fitcheck.things.solid import Floats, Indices
from fitcheck.words.errors import Refused


def profile(points_mm: Sequence[tuple[float, float]], length_mm: float) -> Shape:
    """Return the cross-section of these (y, z) corners, in order either way round, extruded along x.

    The corners keep their coordinates. Raises `Refused` for fewer than three, for a doubled corner, and for
    an outline that crosses or touches itself or has no area, naming the place.
    """
    above_zero("length", length_mm)
    outline = np.array(points_mm, dtype=np.float64).reshape(-1, 2)
    _check(outline)
    y, z = outline.T
    if float((y * np.roll(z, -1) - np.roll(y, -1) * z).sum()) < 0.0:
        outline = outline[::-1]
    rings = np.array([across_x(outline, 0.0), across_x(outline, length_mm)])
    width, height = np.ptp(outline, axis=0).tolist()
    return Shape(between(rings, _filled(outline), "profile"), (length_mm, width, height))


def _check(outline: Floats) -> None:
    """Raise `Refused` unless the outline is a simple polygon."""
    from shapely import Polygon, is_valid_reason

    if len(outline) < 3:
        raise Refused(f"points has {len(outline)} corners", "give three or more")
    if not np.isfinite(outline).all():
        raise Refused("points has a corner that is not a number", "write every corner as two lengths")
    doubled = np.flatnonzero((outline == np.roll(outline, -1, axis=0)).all(axis=1))
    if len(doubled):
        y, z = outline[doubled[0]]
        raise Refused(f"points has the corner ({y:g}, {z:g}) mm twice in a row", "leave one of them out")
    polygon = Polygon(outline)
    if not polygon.is_valid or polygon.area <= 0.0:
        reason = is_valid_reason(polygon)
        raise Refused(f"points is not one outline: {reason}", "give the corners in order, once round")


def _filled(outline: Floats) -> Indices:
    """Return triangles of the outline's corners that fill it, counter-clockwise, using every edge of it."""
    from manifold3d import triangulate

    triangles: Indices = np.asarray(triangulate([outline]), dtype=np.int64)
    return triangles
