"""Area of a surface within a union of half-spaces."""

from __future__ import annotations

import numpy as np

from fitcheck.geometry.mesh.mesh_components import corners
from fitcheck.things.solid import Floats, Solid


def dry_share(solid: Solid, ups: Floats, lines_mm: Floats, back_mm: float = 0.0) -> float:
    """Return the share of the surface where up_k . p > line_k for every plane: ups (k, 3), lines_mm (k,).

    back_mm: every line is drawn back by so much first, measured along the surface.
    """
    triangles = surface_of(solid)
    return float(areas(dry_pieces(triangles, ups, lines_mm, back_mm)).sum() / areas(triangles).sum())


def surface_of(solid: Solid) -> Floats:
    """Return the corners (m, 3, 3) of a solid's triangles."""
    return np.stack(corners(solid.vertices_mm, solid.triangles), axis=1)


def dry_pieces(triangles: Floats, ups: Floats, lines_mm: Floats, back_mm: float = 0.0) -> Floats:
    """Return what of triangles (m, 3, 3) is over every plane, cut into triangles; see `dry_share`."""
    steep = back_mm * steepness(triangles, ups) if back_mm else np.zeros((len(triangles), len(ups)))
    for k, (up, line) in enumerate(zip(ups, lines_mm, strict=True)):
        heights = triangles @ up - (line - steep[:, k])[:, None]
        triangles, steep = _over(triangles, heights, steep)
    return triangles


def wet_areas_mm2(solid: Solid, ups: Floats, lines_mm: Floats) -> Floats:
    """Return for each of k planes the surface under it: where up_k . p <= line_k; ups (k, 3), lines_mm (k,).

    Under a line, a triangle of corners at heights a <= b <= c has, of its area, (h - a)^2 / ((b - a) (c - a))
    as far as b, and all but (c - h)^2 / ((c - a) (c - b)) beyond.
    """
    triangles = surface_of(solid)
    heights = np.sort(triangles @ ups.T - lines_mm, axis=1)
    a, b, c = heights[:, 0], heights[:, 1], heights[:, 2]
    with np.errstate(
        divide="ignore", invalid="ignore", over="ignore"
    ):  # level sides are never between their ends
        tip = a * a / ((b - a) * (c - a))
        rest = 1.0 - c * c / ((c - a) * (c - b))
    share = np.where(c <= 0.0, 1.0, np.where(a >= 0.0, 0.0, np.where(b >= 0.0, tip, rest)))
    return np.asarray(areas(triangles) @ share)


def areas(triangles: Floats) -> Floats:
    """Return the areas (m,) of triangles (m, 3, 3)."""
    a, b, c = triangles[:, 0], triangles[:, 1], triangles[:, 2]
    found: Floats = np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2.0
    return found


def steepness(triangles: Floats, ups: Floats) -> Floats:
    """Return (m, k) how fast height over a plane changes along each triangle: 0 lying in it, 1 upright."""
    a, b, c = triangles[:, 0], triangles[:, 1], triangles[:, 2]
    normals = np.cross(b - a, c - a)
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    units = np.divide(normals, lengths, out=np.zeros_like(normals), where=lengths > 0.0)
    return np.asarray(np.sqrt(np.maximum(1.0 - (units @ ups.T) ** 2, 0.0)))


def _over(triangles: Floats, heights: Floats, kept: Floats) -> tuple[Floats, Floats]:
    """Return what of the triangles (m, 3, 3) lies where their heights (m, 3) over a plane are above 0.

    kept (m, ...): what goes with each triangle, given again for each piece of it.
    """
    # The corner that is alone on its side comes first.
    above = heights > 0.0
    count = above.sum(axis=1)
    alone = np.where(count == 1, above.argmax(axis=1), above.argmin(axis=1))
    rows = np.arange(len(triangles))[:, None]
    order = (alone[:, None] + np.arange(3)) % 3
    point, height = triangles[rows, order], heights[rows, order]
    with np.errstate(divide="ignore", invalid="ignore"):  # only triangles that are cut are used
        share = height[:, :1] / (height[:, :1] - height[:, 1:])
        cut = point[:, :1] + share[:, :, None] * (point[:, 1:] - point[:, :1])
    tip, base = count == 1, count == 2
    pieces = [
        triangles[count == 3],
        np.stack([point[tip, 0], cut[tip, 0], cut[tip, 1]], axis=1),
        np.stack([cut[base, 0], point[base, 1], point[base, 2]], axis=1),
        np.stack([cut[base, 0], point[base, 2], cut[base, 1]], axis=1),
    ]
    return np.concatenate(pieces), np.concatenate([kept[count == 3], kept[tip], kept[base], kept[base]])
