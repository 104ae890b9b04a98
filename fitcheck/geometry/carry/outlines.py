"""Plan outlines of what is carried: convex pieces, and the area covered at every swing of a range.

An outline is some convex pieces, each (n, 2), counter-clockwise, about the middle of the part.
"""

from __future__ import annotations

import itertools
import math
from typing import Any

import numpy as np
import shapely

from fitcheck.things.solid import Floats

Pieces = tuple[Floats, ...]
# Corners of the polygon that stands for a circle; inside it or outside, as the bound needs.
ROUND = 32
# Of an area: what rounding may take where two pieces are joined to a convex one.
SAME_AREA = 1e-9


def hull_of(points: Floats) -> Floats:
    """Return the convex hull of points (n, 2), counter-clockwise, the first not repeated."""
    hull = shapely.convex_hull(shapely.multipoints(points))
    ring = np.asarray(shapely.get_coordinates(shapely.orient_polygons(hull)))
    return np.asarray(ring[:-1])


def filled(area: Any) -> Any:
    """Return an area with its holes filled: nothing that stands on the floor gets into or out of one."""
    return shapely.union_all([shapely.Polygon(part.exterior) for part in shapely.get_parts(area)])


def convex_pieces(area: Any) -> Pieces:
    """Return convex pieces that make up an area, a shapely polygon or several: triangles, joined greedily."""
    return tuple(piece for part in shapely.get_parts(area) for piece in _pieces_of(part))


def _pieces_of(polygon: Any) -> list[Floats]:
    whole = hull_of(np.asarray(shapely.get_coordinates(polygon)))
    if shapely.Polygon(whole).area <= polygon.area * (1.0 + SAME_AREA):
        return [whole]
    triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(polygon))
    pieces = [triangle for triangle in triangles if triangle.area > 0.0]
    while (pair := _joinable(pieces)) is not None:
        one, other = pair
        joined = shapely.convex_hull(shapely.union(pieces[one], pieces[other]))
        pieces = [piece for k, piece in enumerate(pieces) if k not in pair] + [joined]
    return [hull_of(np.asarray(shapely.get_coordinates(piece))) for piece in pieces]


def _joinable(pieces: list[Any]) -> tuple[int, int] | None:
    """Return two pieces that make up their hull; the largest such pair."""
    pairs = np.array(list(itertools.combinations(range(len(pieces)), 2)), dtype=np.int64).reshape(-1, 2)
    if not len(pairs):
        return None
    every = np.array(pieces)
    area = shapely.area(every)[pairs].sum(axis=1)
    hulls = shapely.convex_hull(shapely.union(every[pairs[:, 0]], every[pairs[:, 1]]))
    good = shapely.area(hulls) <= area * (1.0 + SAME_AREA)
    if not good.any():
        return None
    best = int(np.argmax(np.where(good, area, -1.0)))
    return int(pairs[best, 0]), int(pairs[best, 1])


def far_mm(pieces: Pieces) -> float:
    """Return the distance of the farthest corner from the middle about which the part turns."""
    return max(float(np.linalg.norm(piece, axis=1).max()) for piece in pieces)


def covered_always(outline: Floats, half_rad: float) -> Floats:
    """Return an outline within all turns of a convex outline (n, 2) by up to half_rad; (0, 2) for none.

    A side n . x <= b turned by each angle between two of three evaluated lets through at most
    r (1 - cos(half_rad / 2)) more than those two do.
    """
    normals, offsets = _sides(outline)
    give = float(np.linalg.norm(outline, axis=1).max()) * (1.0 - math.cos(half_rad / 2.0))
    turned = np.vstack([normals @ turn(angle).T for angle in (-half_rad, 0.0, half_rad)])
    return _cut_out(turned, np.tile(offsets, 3) - give, outline)


def grown(outline: Floats, by_mm: float, *, outward: bool) -> Floats:
    """Return a convex outline grown by a circle; the polygon for it lies outside the circle, or inside."""
    if by_mm <= 0.0:
        return outline
    angle = 2.0 * math.pi * np.arange(ROUND) / ROUND
    radius = by_mm / math.cos(math.pi / ROUND) if outward else by_mm
    circle = radius * np.column_stack([np.cos(angle), np.sin(angle)])
    return hull_of((outline[:, None, :] + circle[None, :, :]).reshape(-1, 2))


def trimmed(outline: Floats, by_mm: float) -> Floats:
    """Return a convex outline with its sides moved in, by no more than a quarter of its width."""
    normals, offsets = _sides(outline)
    across = (outline @ normals.T).max(axis=0) - (outline @ normals.T).min(axis=0)
    return _cut_out(normals, offsets - min(by_mm, float(across.min()) / 4.0), outline)


def is_the_same_turned(pieces: Pieces, rounding_mm: float) -> bool:
    """Tell whether an outline is the same after half a turn about its middle."""
    corners = np.vstack(pieces)
    apart = np.linalg.norm(corners[:, None, :] + corners[None, :, :], axis=2).min(axis=1)
    if apart.max() > rounding_mm:
        return False
    whole = shapely.union_all([shapely.Polygon(piece) for piece in pieces])
    other = shapely.union_all([shapely.Polygon(-piece) for piece in pieces])
    return bool(shapely.symmetric_difference(whole, other).area <= rounding_mm * whole.length)


def turn(angle_rad: float) -> Floats:
    """Return the matrix of a turn, counter-clockwise."""
    cosine, sine = math.cos(angle_rad), math.sin(angle_rad)
    return np.array([[cosine, -sine], [sine, cosine]])


def _sides(outline: Floats) -> tuple[Floats, Floats]:
    """Return the outward normals (n, 2) and offsets (n,) of a counter-clockwise convex outline."""
    along = np.roll(outline, -1, axis=0) - outline
    normals = np.column_stack([along[:, 1], -along[:, 0]]) / np.linalg.norm(along, axis=1)[:, None]
    return normals, np.einsum("ij,ij->i", normals, outline)


def _cut_out(normals: Floats, offsets: Floats, outline: Floats) -> Floats:
    """Return the corners of what lies behind all lines n . x <= b; none where nothing does."""
    reach = 4.0 * float(np.abs(outline).max()) + 1.0
    left = shapely.box(-reach, -reach, reach, reach)
    for normal, offset in zip(normals, offsets, strict=True):
        along = np.array([-normal[1], normal[0]])
        edge = normal * offset
        half = [edge - 2 * reach * along, edge + 2 * reach * along]
        far = [point - 4 * reach * normal for point in half[::-1]]
        left = shapely.intersection(left, shapely.Polygon([*half, *far]))
        if left.is_empty or left.area <= 0.0:
            return np.zeros((0, 2))
    return hull_of(np.asarray(shapely.get_coordinates(left)))
