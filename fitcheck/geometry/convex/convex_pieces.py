"""Convex decomposition of a solid: all of it where its faces are few, else inner boxes.

A solid is cut along the plane of a face at an edge where two faces face each other (a notch), again and
again, until no piece has a notch: the pieces are then convex and have all of the solid (B. Chazelle, Convex
partitions of polyhedra, SIAM J. Computing 13 (1984) 488-507). A smooth solid would be cut to splinters; for
such a one a grid is laid, and boxes of cells that the surface does not cross are taken, largest first. Thin
walls have none; there flat pyramids under the largest triangles of the surface are taken.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fitcheck.geometry.convex.offset_bodies import hull_of
from fitcheck.geometry.mesh.distance import encloses
from fitcheck.geometry.mesh.measure import is_convex, volume_mm3
from fitcheck.geometry.mesh.mesh_components import paired_edges
from fitcheck.shapes.manifold import manifold_of
from fitcheck.things.solid import Floats, Indices, Solid

if TYPE_CHECKING:
    from manifold3d import Manifold

# More pieces than this cost more than they tell; with more notched edges there would be far more.
MOST_PIECES, MOST_NOTCHES = 48, 400
# Planes tried at a piece before it is left.
MOST_PLANES = 20
# Corners that stay of a piece with more: it is then a little smaller, which proves no less truly.
MOST_CORNERS = 14
# Heights under this share of the size are rounding of the cuts.
FLAT = 1e-7
# Cells along the longest side of the grid, and boxes taken from it.
GRID, MOST_BOXES = 28, 32
# Boxes that hold less than this share of a solid tell little of it. Then so many triangles are taken, largest
# first, with a pyramid so high on the inside of each, in mm: under the thickness of sheet.
THIN, MOST_FACETS, PYRAMID_MM = 0.1, 48, 0.2


def all_pieces(solid: Solid) -> tuple[Floats, ...] | None:
    """Return the corners (k, 3) of convex pieces that have all of the solid; None where they are too many."""
    if is_convex(solid):
        return (solid.vertices_mm,)
    size = float(np.ptp(solid.vertices_mm, axis=0).max())
    if len(_notches(solid.vertices_mm, solid.triangles, size)[0]) > MOST_NOTCHES:
        return None
    todo = list(manifold_of(solid).decompose())
    found: list[Floats] = []
    while todo:
        if len(todo) + len(found) > MOST_PIECES:
            return None
        piece = todo.pop()
        mesh = piece.to_mesh64()
        vertices = np.asarray(mesh.vert_properties[:, :3])
        if _is_full(vertices, piece, size):
            found.append(vertices)
            continue
        halves = _cut(piece, vertices, mesh.tri_verts.astype(np.int64), size)
        if halves is None:
            return None
        todo += halves
    return tuple(found)


def inner_pieces(solid: Solid) -> tuple[Floats, ...]:
    """Return the corners (k, 3) of convex pieces that lie in the solid: all of it where that can be."""
    pieces = all_pieces(solid)
    if pieces is None:
        boxes = _boxes(solid)
        held = sum(float(np.ptp(each, axis=0).prod()) for each in boxes)
        thin = held < THIN * volume_mm3(solid)
        pieces = tuple([*boxes, *_pyramids(solid)] if thin else boxes)
    return tuple(_fewer(piece) for piece in pieces)


def _notches(vertices: Floats, triangles: Indices, size: float) -> tuple[Indices, Floats]:
    """Return the triangles on one side of each notched edge, and how long the edges are."""
    one, other = paired_edges(triangles)
    at, across = one // 3, triangles.reshape(-1)[3 * (other // 3) + (other + 2) % 3]
    a, b, c = (vertices[triangles[at, i]] for i in range(3))
    normal = np.cross(b - a, c - a)
    normal /= np.maximum(np.linalg.norm(normal, axis=1), np.finfo(float).tiny)[:, None]
    over = np.einsum("ij,ij->i", vertices[across] - a, normal)
    start, end = triangles.reshape(-1)[one], triangles.reshape(-1)[3 * at + (one + 1) % 3]
    long = np.linalg.norm(vertices[start] - vertices[end], axis=1)
    # A sliver has no normal to go by; its neighbours tell.
    notched = (over > FLAT * size) & (np.linalg.norm(normal, axis=1) > 0.5) & (long > FLAT * size)
    return at[notched], long[notched]


def _is_full(vertices: Floats, piece: Manifold, size: float) -> bool:
    """Tell whether a piece fills its hull but for a skin of rounding."""
    from scipy.spatial import ConvexHull

    hull = ConvexHull(vertices)
    return bool(hull.volume - piece.volume() <= FLAT * size * hull.area)


def _cut(piece: Manifold, vertices: Floats, triangles: Indices, size: float) -> list[Manifold] | None:
    """Return a piece cut along the face with the longest notched edges; None where no face cuts it."""
    at, long = _notches(vertices, triangles, size)
    a, b, c = (vertices[triangles[at, i]] for i in range(3))
    normal = np.cross(b - a, c - a)
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    offset = np.einsum("ij,ij->i", normal, a)
    same = (np.abs(normal @ normal.T) > 1.0 - FLAT) & (
        np.abs(np.abs(offset)[:, None] - np.abs(offset)[None]) < FLAT * size
    )
    for k in np.argsort(-(same @ long), kind="stable")[:MOST_PLANES]:
        halves = [
            each
            for half in piece.split_by_plane(normal[k].tolist(), float(offset[k]))
            for each in half.decompose()
            if _has_body(each, size)
        ]
        if len(halves) > 1:
            return halves
    return None


def _has_body(piece: Manifold, size: float) -> bool:
    return bool(piece.num_tri() >= 4 and piece.volume() > FLAT * size * piece.surface_area())


def _fewer(piece: Floats) -> Floats:
    """Return a piece's corners, or of many those that reach farthest in some directions."""
    if len(piece) <= MOST_CORNERS:
        return piece
    ways = np.array([[x, y, z] for x in (-1, 0, 1) for y in (-1, 0, 1) for z in (-1, 0, 1) if x or y or z])
    ways = ways[np.argsort(-np.abs(ways).sum(axis=1), kind="stable")]
    kept = list(dict.fromkeys(np.argmax(piece @ ways.T, axis=0).tolist()))[:MOST_CORNERS]
    return np.asarray(piece[kept])


def _boxes(solid: Solid) -> list[Floats]:
    """Return boxes that lie in the solid, made of grid cells that its surface does not cross."""
    low, high = solid.vertices_mm.min(axis=0), solid.vertices_mm.max(axis=0)
    step = float((high - low).max()) / GRID
    shape = np.maximum(np.ceil((high - low) / step).astype(int), 1)
    inside = _cells_inside(solid, low, step, shape)
    found: list[Floats] = []
    unit = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)], dtype=float)
    while inside.any() and len(found) < MOST_BOXES:
        first, last = _largest(inside)
        inside[first[0] : last[0], first[1] : last[1], first[2] : last[2]] = False
        found.append(low + step * (first + unit * (last - first)))
    return found


def _pyramids(solid: Solid) -> list[Floats]:
    """Return flat pyramids on the largest triangles of the surface, those that lie in the solid."""
    corners = solid.vertices_mm[solid.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    double = np.linalg.norm(normal, axis=1)
    whole, size = manifold_of(solid), float(np.ptp(solid.vertices_mm, axis=0).max())
    found: list[Floats] = []
    for k in np.argsort(-double, kind="stable")[:MOST_FACETS]:
        # An inch of a hair's width is no facet to go by.
        if double[k] <= size * PYRAMID_MM:
            break
        top = corners[k].mean(axis=0) - PYRAMID_MM * normal[k] / double[k]
        pyramid = np.vstack([corners[k], top])
        body = manifold_of(hull_of(pyramid, "pyramid"))
        if (body - whole).volume() <= FLAT * size * body.surface_area():
            found.append(pyramid)
    return found


def _cells_inside(solid: Solid, low: Floats, step: float, shape: Indices) -> np.ndarray:
    """Tell which cells of a grid lie in the solid, none of its surface in them."""
    from scipy.ndimage import label

    crossed = np.zeros(shape, dtype=bool)
    corners = solid.vertices_mm[solid.triangles]
    while len(corners):
        small = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).max(axis=1) <= 2.0 * step
        # A hair more than the triangle's box, so that a face on a line of the grid crosses both sides of it.
        first = np.floor((corners[small].min(axis=1) - low) / step - FLAT).astype(int).clip(0, shape - 1)
        last = np.floor((corners[small].max(axis=1) - low) / step + FLAT).astype(int).clip(0, shape - 1)
        for a, b in np.unique(np.stack([first, last], axis=1), axis=0):
            crossed[a[0] : b[0] + 1, a[1] : b[1] + 1, a[2] : b[2] + 1] = True
        corners = _quarters(corners[~small])
    names, count = label(~crossed)
    inside = np.zeros(shape, dtype=bool)
    for name in range(1, count + 1):
        one = np.argwhere(names == name)[0]
        if encloses(solid, (low + step * (one + 0.5))[None])[0]:
            inside |= names == name
    return inside


def _quarters(corners: Floats) -> Floats:
    """Return triangles (m, 3, 3) cut in four through the middles of their sides."""
    a, b, c = (corners[:, i] for i in range(3))
    ab, bc, ca = (a + b) / 2.0, (b + c) / 2.0, (c + a) / 2.0
    cut = [(a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca)]
    return np.concatenate([np.stack(three, axis=1) for three in cut])


def _largest(inside: np.ndarray) -> tuple[Indices, Indices]:
    """Return the first cell of a large box of inside cells, grown from the deepest, and the one beyond it."""
    from scipy.ndimage import distance_transform_cdt

    padded = np.pad(inside, 1)
    depth = distance_transform_cdt(padded)[1:-1, 1:-1, 1:-1]
    first = np.array(np.unravel_index(int(depth.argmax()), inside.shape))
    last = first + 1
    grew = True
    while grew:
        grew = False
        for axis in range(3):
            for down in (True, False):
                at, to = first.copy(), last.copy()
                if down:
                    at[axis] -= 1
                else:
                    to[axis] += 1
                if at[axis] < 0 or to[axis] > inside.shape[axis]:
                    continue
                if inside[at[0] : to[0], at[1] : to[1], at[2] : to[2]].all():
                    first, last, grew = at, to, True
    return first, last
