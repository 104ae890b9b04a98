"""Thin solids from open surfaces of sheet metal."""

from __future__ import annotations

import numpy as np

from fitcheck.shapes.shape import above_zero
from fitcheck.things.solid import Floats, Indices, Solid
from fitcheck.words.errors import Refused

# A fold sharper than this (faces 168 degrees round) would throw its outer edge out by ten half-thicknesses.
_SHARPEST_COSINE = 0.1


def thickened(vertices_mm: Floats, triangles: Indices, thickness_mm: float, source: str = "sheet") -> Solid:
    """Return the open surface as a solid: half the thickness to either side, with a rim along its open edges.

    Every vertex moves along its normal (of the triangles round it, weighted by their angles there), as far as
    keeps those triangles half a thickness off on the average: exact for flat sheet, for bends and for evenly
    curved sheet. Triangles must run the same way round on all of the surface. Raises `Refused`, naming the
    place, where three triangles meet in an edge, for a fold onto itself and a bend tighter than the sheet.
    """
    above_zero("sheet", thickness_mm)
    rim = _open_edges(vertices_mm, triangles, source)
    normals = _unit_normals(vertices_mm, triangles)
    move = 0.5 * thickness_mm * _vertex_moves(vertices_mm, triangles, normals, source)
    outer, inner = vertices_mm + move, vertices_mm - move
    for side in (outer, inner):
        turned = np.einsum("ij,ij->i", _unit_normals(side, triangles), normals) <= 0.0
        if turned.any():
            raise Refused(
                f"{source}: the sheet bends more tightly than its thickness near "
                f"{_at(vertices_mm[triangles[turned][0, 0]])}",
                "check the unit and the thickness of the sheet",
            )
    count = len(vertices_mm)
    a, b = rim.T
    sides = np.concatenate([np.column_stack([b, a, a + count]), np.column_stack([b, a + count, b + count])])
    faces = np.concatenate([triangles, triangles[:, ::-1] + count, sides])
    return Solid(np.vstack([outer, inner]), faces, source)


def _open_edges(vertices: Floats, triangles: Indices, source: str) -> Indices:
    """Return the (k, 2) edges that only one triangle has, in that triangle's direction."""
    start, end = triangles.reshape(-1), np.roll(triangles, -1, axis=1).reshape(-1)
    ahead = start * len(vertices) + end
    keys, times = np.unique(ahead, return_counts=True)
    if (times > 1).any():
        place = vertices[keys[times > 1][0] // len(vertices)]
        raise Refused(
            f"{source}: more than two triangles meet in an edge at {_at(place)}, or neighbours there face "
            "opposite ways",
            "split the sheet there, or give a closed mesh",
        )
    alone = ~np.isin(ahead, end * len(vertices) + start)
    return np.column_stack([start[alone], end[alone]])


def _unit_normals(vertices: Floats, triangles: Indices) -> Floats:
    a, b, c = (vertices[triangles[:, k]] for k in range(3))
    normals = np.cross(b - a, c - a)
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    # A triangle without area has no normal and no say in which way its corners move.
    units: Floats = np.divide(normals, lengths, out=np.zeros_like(normals), where=lengths > 0.0)
    return units


def _vertex_moves(vertices: Floats, triangles: Indices, normals: Floats, source: str) -> Floats:
    """Return for each vertex the move that takes the triangles round it one unit along their normals."""
    angles = _corner_angles(vertices, triangles)
    total = np.zeros_like(vertices)
    weight = np.zeros(len(vertices))
    for k in range(3):
        np.add.at(total, triangles[:, k], angles[:, k, None] * normals)
        np.add.at(weight, triangles[:, k], angles[:, k] * normals.any(axis=1))
    length = np.linalg.norm(total, axis=1)
    # The mean of cosines between the faces and the vertex normal is the length of their mean.
    cosine = np.divide(length, weight, out=np.ones_like(length), where=weight > 0.0)
    if (cosine < _SHARPEST_COSINE).any():
        place = vertices[np.argmin(cosine)]
        raise Refused(
            f"{source}: the sheet is folded onto itself at {_at(place)}", "give a closed mesh instead"
        )
    reach = np.where(weight > 0.0, length, 1.0) * cosine
    moves: Floats = total / reach[:, None]
    return moves


def _corner_angles(vertices: Floats, triangles: Indices) -> Floats:
    """Return the (m, 3) angles of the triangles at their corners, in radians."""
    angles = np.zeros(triangles.shape)
    for k in range(3):
        at = vertices[triangles[:, k]]
        one = vertices[triangles[:, (k + 1) % 3]] - at
        two = vertices[triangles[:, (k + 2) % 3]] - at
        across = np.linalg.norm(np.cross(one, two), axis=1)
        angles[:, k] = np.arctan2(across, np.einsum("ij,ij->i", one, two))
    return angles


def _at(point: Floats) -> str:
    return f"({point[0]:.1f}, {point[1]:.1f}, {point[2]:.1f}) mm"
