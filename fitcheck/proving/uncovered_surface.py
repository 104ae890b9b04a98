"""Surface that some half-spaces leave over, polygon by polygon: slow, plain, and independent.

Polygons are cut by a half-plane as in I. E. Sutherland and G. W. Hodgman, Reentrant polygon clipping,
Comm. ACM 17 (1974) 32-42.
"""

from __future__ import annotations

import numpy as np

from fitcheck.things.solid import Floats, Solid

Corner = tuple[float, float, float]


def left_dry_mm2(solid: Solid, ups: Floats, lines_mm: Floats, *, back_mm: Floats | None = None) -> float:
    """Return the surface over every plane: where up_k . p > line_k; ups (k, 3), lines_mm (k,).

    back_mm (m, k): by how much each line is drawn back on each triangle first, in height.
    """
    corners = solid.vertices_mm[solid.triangles]
    over = corners @ ups.T - lines_mm
    if back_mm is not None:
        over = over + back_mm[:, None, :]
    some_dry = np.flatnonzero((over.max(axis=1) > 0.0).all(axis=1))
    return sum(_left_mm2(corners[m], over[m].T) for m in some_dry)


def slopes(solid: Solid, ups: Floats) -> Floats:
    """Return (m, k) how steeply each triangle rises along each direction: the length of up_k within it."""
    corners = solid.vertices_mm[solid.triangles]
    along = corners[:, 1] - corners[:, 0]
    length = np.linalg.norm(along, axis=1, keepdims=True)
    along = np.divide(along, length, out=np.zeros_like(along), where=length > 0.0)
    aside = corners[:, 2] - corners[:, 0]
    aside = aside - (aside * along).sum(axis=1, keepdims=True) * along
    length = np.linalg.norm(aside, axis=1, keepdims=True)
    aside = np.divide(aside, length, out=np.zeros_like(aside), where=length > 0.0)
    return np.asarray(np.hypot(along @ ups.T, aside @ ups.T))


def surface_mm2(solid: Solid) -> float:
    """Return the whole surface, by Heron's formula in the form that W. Kahan gives for needles."""
    corners = solid.vertices_mm[solid.triangles]
    sides = np.sort(np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2), axis=1)
    c, b, a = sides.T
    product = (a + (b + c)) * (c - (a - b)) * (c + (a - b)) * (a + (b - c))
    return float(np.sqrt(np.maximum(product, 0.0)).sum() / 4.0)


def most_under(solid: Solid, ups: Floats, lines_mm: Floats) -> Floats:
    """Return (k,) the surface under each plane, all at once: the other side of `left_dry_mm2`."""
    corners = solid.vertices_mm[solid.triangles]
    whole = (
        np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1) / 2.0
    )
    low, middle, high = np.moveaxis(np.sort(corners @ ups.T, axis=1), 1, 0)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        below = (lines_mm - low) ** 2 / ((middle - low) * (high - low))
        above = 1.0 - (high - lines_mm) ** 2 / ((high - middle) * (high - low))
    share = np.select([lines_mm <= low, lines_mm >= high, lines_mm < middle], [0.0, 1.0, below], above)
    return np.asarray(whole @ share)


def _left_mm2(corners: Floats, heights: Floats) -> float:
    """Return the area of a triangle (3, 3) where all of its heights (k, 3) over planes are above 0."""
    # Each corner with its heights: both change evenly along a side.
    polygon = [np.concatenate([corner, height]) for corner, height in zip(corners, heights.T, strict=True)]
    for k in range(3, 3 + len(heights)):
        polygon = _cut(polygon, k)
    return _area([(float(p[0]), float(p[1]), float(p[2])) for p in polygon])


def _cut(polygon: list[Floats], k: int) -> list[Floats]:
    """Return what of a polygon has its number k above 0."""
    kept: list[Floats] = []
    for before, point in zip([*polygon[-1:], *polygon[:-1]], polygon, strict=True):
        if (before[k] > 0.0) != (point[k] > 0.0):
            kept.append(before + before[k] / (before[k] - point[k]) * (point - before))
        if point[k] > 0.0:
            kept.append(point)
    return kept


def _area(polygon: list[Corner]) -> float:
    """Return the area of a flat polygon: half the length of the sum of its corners' cross products."""
    if len(polygon) < 3:
        return 0.0
    base = np.array(polygon[0])
    rays = np.array(polygon[1:]) - base
    return float(np.linalg.norm(np.cross(rays[:-1], rays[1:]).sum(axis=0))) / 2.0
