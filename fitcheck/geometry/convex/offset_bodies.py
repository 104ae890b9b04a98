"""Convex bodies grown or shrunk by a clearance (offset)."""

from __future__ import annotations

import numpy as np

from fitcheck.things.solid import Floats, Solid

_AXES = np.vstack([np.eye(3), -np.eye(3)])


def grown_within(thing: Solid, by_mm: float) -> Floats | None:
    """Return corners (k, 3) of a convex body in which every point is nearer to the thing than by_mm.

    by_mm under 0: in the thing, and so far from its faces at least. None: nothing is left.
    The body grows by the whole of by_mm over faces square to the axes, by less over its edges.
    """
    if by_mm > 0.0:
        return np.asarray((thing.vertices_mm[:, None] + by_mm * _AXES).reshape(-1, 3))
    if by_mm == 0.0:
        return thing.vertices_mm
    from scipy.optimize import linprog
    from scipy.spatial import ConvexHull, HalfspaceIntersection

    planes = ConvexHull(thing.vertices_mm).equations
    normals, offsets = planes[:, :3], by_mm - planes[:, 3]
    ball = linprog(
        [0.0, 0.0, 0.0, -1.0], np.column_stack([normals, np.ones(len(normals))]), offsets, bounds=(None, None)
    )
    if ball.status != 0 or -ball.fun <= 1e-3 * -by_mm:
        return None
    return np.asarray(HalfspaceIntersection(np.column_stack([normals, -offsets]), ball.x[:3]).intersections)


def swept_down(thing: Solid, by_mm: float) -> Solid:
    """Return the hull of a convex thing and of itself so far down: what meets it on the way up meets that."""
    return hull_of(np.vstack([thing.vertices_mm, thing.vertices_mm - [0.0, 0.0, by_mm]]), thing.source)


def hull_of(points: Floats, source: str) -> Solid:
    """Return the convex hull of points (n, 3) as a solid."""
    from scipy.spatial import ConvexHull

    hull = ConvexHull(points)
    a, b, c = (points[hull.simplices[:, i]] for i in range(3))
    outward = np.einsum("ij,ij->i", np.cross(b - a, c - a), hull.equations[:, :3]) > 0.0
    triangles = np.where(outward[:, None], hull.simplices, hull.simplices[:, ::-1])
    used, index = np.unique(triangles, return_inverse=True)
    return Solid(points[used], index.reshape(-1, 3), source)
