"""Convex bodies as arrays for the compiled loops: corners, face normals, edge directions."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fitcheck.things.solid import Floats, Indices

if TYPE_CHECKING:
    from fitcheck.geometry.kernels.pose_bounds import Bodies

# Directions nearer than this are one.
SAME_WAY = 1e-9


def bodies_of(pieces: tuple[Floats, ...]) -> Bodies:
    """Return convex bodies, given by points, as the compiled loops take them."""
    from scipy.spatial import ConvexHull

    from fitcheck.geometry.kernels.pose_bounds import Bodies

    corners, normals, edges = [], [], []
    for piece in pieces:
        hull = ConvexHull(piece)
        corners.append(piece[hull.vertices])
        normals.append(_apart(hull.equations[:, :3]))
        edges.append(_apart(_edges(piece, hull.simplices, hull.neighbors, hull.equations)))
    middles = [(each.min(axis=0) + each.max(axis=0)) / 2.0 for each in corners]
    pairs = list(zip(corners, middles, strict=True))
    return Bodies(
        _stacked(corners),
        _starts(corners),
        _stacked(normals),
        _starts(normals),
        _stacked(edges),
        _starts(edges),
        np.array(middles).reshape(-1, 3),
        np.array([np.linalg.norm(each - middle, axis=1).max() for each, middle in pairs]),
        np.array([np.linalg.norm(each, axis=1).max() for each in corners]),
        np.array([np.hypot(each[:, 1], each[:, 2]).max() for each in corners]),
    )


def with_axes(bodies: Bodies, axes: Floats) -> Bodies:
    """Return bodies whose axes are named anew: each point p becomes axes . p, axes (3, 3) a permutation."""
    corners = np.ascontiguousarray(bodies.corners @ axes.T)
    from_axis = np.hypot(corners[:, 1], corners[:, 2])
    return bodies._replace(
        corners=corners,
        normals=np.ascontiguousarray(bodies.normals @ axes.T),
        edges=np.ascontiguousarray(bodies.edges @ axes.T),
        centre=np.ascontiguousarray(bodies.centre @ axes.T),
        short=np.maximum.reduceat(from_axis, bodies.corner_at[:-1]) if len(corners) else bodies.short,
    )


def _edges(points: Floats, simplices: Indices, neighbours: Indices, planes: Floats) -> Floats:
    """Return unit vectors along the edges of a hull between faces that are not one."""
    rows, k = np.nonzero(
        np.linalg.norm(planes[neighbours][:, :, :3] - planes[:, None, :3], axis=2) > SAME_WAY
    )
    start, end = points[simplices[rows, (k + 1) % 3]], points[simplices[rows, (k + 2) % 3]]
    along = end - start
    return np.asarray(along / np.linalg.norm(along, axis=1, keepdims=True))


def _apart(directions: Floats) -> Floats:
    """Return directions of which none is another, or another turned round, but for rounding."""
    kept: list[Floats] = []
    for each in directions:
        if all(min(np.abs(each - old).max(), np.abs(each + old).max()) > SAME_WAY for old in kept):
            kept.append(each)
    return np.array(kept)


def _stacked(rows: list[Floats]) -> Floats:
    return np.ascontiguousarray(np.concatenate([*rows, np.zeros((0, 3))]))


def _starts(rows: list[Floats]) -> Indices:
    return np.cumsum([0, *(len(each) for each in rows)])
