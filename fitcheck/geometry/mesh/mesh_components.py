"""Connected components of a mesh: orientation, enclosed volume, and nesting."""

from __future__ import annotations

import numpy as np

from fitcheck.geometry.mesh.connected_components import connected_components
from fitcheck.things.solid import Floats, Indices, Mask


def corners(points: Floats, triangles: Indices) -> tuple[Floats, Floats, Floats]:
    """Return the first, second and third corner of every triangle, each (m, 3)."""
    return points[triangles[:, 0]], points[triangles[:, 1]], points[triangles[:, 2]]


def directed_edges(triangles: Indices) -> tuple[Indices, Indices]:
    """Return a number for every edge, three a triangle in turn, and that of the same edge turned round."""
    start, end = triangles.reshape(-1), np.roll(triangles, -1, axis=1).reshape(-1)
    span = int(triangles.max()) + 1
    return start * span + end, end * span + start


def paired_edges(triangles: Indices) -> tuple[Indices, Indices]:
    """Return the places (3 x triangle + corner) of one and the other triangle's share of every common edge.

    Edges that one triangle has alone, or more than two share, are left out.
    """
    edge = np.minimum(*directed_edges(triangles))
    order = np.argsort(edge, kind="stable")
    edge = edge[order]
    like_last = np.concatenate(([False], edge[1:] == edge[:-1], [False]))
    pairs = np.flatnonzero(~like_last[:-2] & like_last[1:-1] & ~like_last[2:])
    return order[pairs], order[pairs + 1]


def is_closed(triangles: Indices) -> bool:
    """Return whether every edge is shared by exactly two triangles that run along it opposite ways."""
    ahead, back = (np.sort(edge) for edge in directed_edges(triangles))
    return bool((ahead == back).all() and (ahead[1:] != ahead[:-1]).all())


def components_of(triangles: Indices) -> Indices:
    """Return for each triangle the number of the connected skin that it is part of.

    Triangles hold together across edges that two share; skins that meet in a vertex alone are two.
    """
    one, other = paired_edges(triangles)
    return connected_components(len(triangles), one // 3, other // 3)


def component_volumes_mm3(vertices: Floats, triangles: Indices, labels: Indices) -> Floats:
    """Return the signed volume inside each shell: below 0 for one that faces inward."""
    volumes: Floats = (
        np.bincount(labels, weights=sixfold_mm3(vertices - vertices.mean(axis=0), triangles)) / 6.0
    )
    return volumes


def sixfold_mm3(vertices: Floats, triangles: Indices) -> Floats:
    """Return six times the signed volume (m,) between the origin and each triangle."""
    (ax, ay, az), (bx, by, bz), (cx, cy, cz) = (corner.T for corner in corners(vertices, triangles))
    sixfold: Floats = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
    return sixfold


def facing_outside(vertices: Floats, triangles: Indices, labels: Indices, volumes_mm3: Floats) -> Mask:
    """Tell which shells face the outside: not those that bound a space shut for good, nor what lies in one.

    volumes_mm3: (k,) signed, of each shell (`component_volumes_mm3`).
    """
    spaces = [triangles[labels == k] for k in np.flatnonzero(volumes_mm3 < 0.0)]
    outside = volumes_mm3 > 0.0
    for k in np.flatnonzero(outside) if spaces else ():
        point = vertices[triangles[labels == k][0, 0]]
        outside[k] = not any(is_around(point, vertices, space) for space in spaces)
    return outside


def is_around(point: Floats, vertices: Floats, shell: Indices) -> bool:
    """Return whether the closed shell goes round the point, by the solid angle that it fills seen from it.

    A. van Oosterom and J. Strackee, The solid angle of a plane triangle, IEEE Trans. Biomed. Eng. 30 (1983)
    125-126, formula 8.
    """
    a, b, c = corners(vertices - point, shell)
    la, lb, lc = (np.linalg.norm(side, axis=1) for side in (a, b, c))
    over = np.einsum("ij,ij->i", a, np.cross(b, c))
    ab, bc, ca = (np.einsum("ij,ij->i", p, q) for p, q in ((a, b), (b, c), (c, a)))
    turns = float(np.arctan2(over, la * lb * lc + ab * lc + bc * la + ca * lb).sum()) / (2.0 * np.pi)
    return abs(turns) > 0.5
