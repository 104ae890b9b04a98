"""How much of a surface lies under one or the other of two planes."""

from __future__ import annotations

import numpy as np

from fitcheck.geometry.shells import corners
from fitcheck.things.solid import Floats, Solid


def dry_share(solid: Solid, ups: Floats, lines_mm: Floats) -> float:
    """Return the share of the surface where up_k . p > line_k for every plane: ups (k, 3), lines_mm (k,)."""
    triangles = np.stack(corners(solid.vertices_mm, solid.triangles), axis=1)
    whole = _areas(triangles).sum()
    for up, line in zip(ups, lines_mm, strict=True):
        triangles = _over(triangles, triangles @ up - line)
    return float(_areas(triangles).sum() / whole)


def _areas(triangles: Floats) -> Floats:
    a, b, c = triangles[:, 0], triangles[:, 1], triangles[:, 2]
    areas: Floats = np.linalg.norm(np.cross(b - a, c - a), axis=1) / 2.0
    return areas


def _over(triangles: Floats, heights: Floats) -> Floats:
    """Return what of the triangles (m, 3, 3) lies where their heights (m, 3) over a plane are above 0."""
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
    return np.concatenate(
        [
            triangles[count == 3],
            np.stack([point[tip, 0], cut[tip, 0], cut[tip, 1]], axis=1),
            np.stack([cut[base, 0], point[base, 1], point[base, 2]], axis=1),
            np.stack([cut[base, 0], point[base, 2], cut[base, 1]], axis=1),
        ]
    )
