"""Where the middle of a convex outline may be, slice by slice of its swing: surely, and at best.

At one swing the free places are exact: the floor less the outline of the part, mirrored, swept along every
wall (Minkowski sums: T. Lozano-Perez, Spatial planning: a configuration space approach, IEEE Trans. Computers
C-32 (1983) 108-120). For a slice of swings that is done twice: with the outline that the part covers at every
swing of the slice, which leaves more room than there is, and with all that it sweeps, which leaves less. A
path through the second is a path; none through the first is a proof that there is none.
"""

from __future__ import annotations

import math
from collections import deque
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from fitcheck.things.solid import Floats, Indices

# Corners of the polygon that stands for a circle; inside it or outside, as the bound needs.
ROUND = 32


@dataclass(frozen=True, slots=True, eq=False)
class Slices:
    """Free places in `count` slices of a whole turn of swings, each `wide_rad` wide, the first from 0.

    areas: polygons, in the order of their slices; slice_of (k,): which slice each belongs to.
    """

    areas: Any
    slice_of: Indices
    count: int
    wide_rad: float


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """What must be kept clear of: the floor, posts taken out of it, and all walls (e, 2, 2)."""

    floor: Any
    walls: Floats

    @classmethod
    def of(cls, floor: Any) -> Ground:
        """Return the ground of a floor, a shapely polygon with the posts as holes or cut off."""
        rings = [ring for part in shapely.get_parts(floor) for ring in (part.exterior, *part.interiors)]
        lines = [np.asarray(ring.coords) for ring in rings]
        return cls(floor, np.concatenate([np.stack([line[:-1], line[1:]], axis=1) for line in lines]))


def covered_always(outline: Floats, half_rad: float) -> Floats:
    """Return an outline within all turns of a convex outline (n, 2), counter-clockwise, by up to half_rad.

    A side n . x <= b turned by each angle between two of three looked at lets through at most
    r (1 - cos(half_rad / 2)) more than those two do.
    """
    normals, offsets = _sides(outline)
    give = float(np.linalg.norm(outline, axis=1).max()) * (1.0 - math.cos(half_rad / 2.0))
    turned = np.vstack([normals @ _turn(angle).T for angle in (-half_rad, 0.0, half_rad)])
    return _cut_out(turned, np.tile(offsets, 3) - give, outline)


def covered_ever(outline: Floats, half_rad: float) -> Floats:
    """Return a convex outline that holds all turns of another by up to half_rad."""
    bulge = float(np.linalg.norm(outline, axis=1).max()) * (1.0 - math.cos(half_rad / 2.0))
    turned = np.vstack([outline @ _turn(angle).T for angle in (-half_rad, 0.0, half_rad)])
    return hull_of(grown(hull_of(turned), bulge, outward=True))


def grown(outline: Floats, by_mm: float, *, outward: bool) -> Floats:
    """Return a convex outline grown by a circle; the polygon for it lies outside the circle, or inside."""
    if by_mm <= 0.0:
        return outline
    angle = 2.0 * math.pi * np.arange(ROUND) / ROUND
    radius = by_mm / math.cos(math.pi / ROUND) if outward else by_mm
    circle = radius * np.column_stack([np.cos(angle), np.sin(angle)])
    return hull_of((outline[:, None, :] + circle[None, :, :]).reshape(-1, 2))


def hull_of(points: Floats) -> Floats:
    """Return the convex hull of points (n, 2), counter-clockwise, the first not repeated."""
    hull = shapely.convex_hull(shapely.multipoints(points))
    ring = np.asarray(shapely.get_coordinates(shapely.orient_polygons(hull)))
    return np.asarray(ring[:-1])


def free_places(ground: Ground, outline: Floats, swings_rad: Floats) -> tuple[Any, Indices]:
    """Return the free places of the outline's middle at some swings: polygons, and which swing each is of."""
    cosine, sine = np.cos(swings_rad), np.sin(swings_rad)
    turn = np.stack([np.stack([cosine, -sine], -1), np.stack([sine, cosine], -1)], -2)
    mirrored = -np.einsum("sij,vj->svi", turn, outline)
    # (swings, walls, two ends, corners): the outline swept along each wall is the hull of it at both ends.
    swept = ground.walls[None, :, :, None, :] + mirrored[:, None, None, :, :]
    corners = swept.reshape(len(swings_rad), len(ground.walls), -1, 2)
    hulls = shapely.convex_hull(shapely.linestrings(corners))
    left = shapely.difference(ground.floor, shapely.union_all(hulls, axis=1))
    parts, owner = shapely.get_parts(left, return_index=True)
    solid = (shapely.get_type_id(parts) == shapely.GeometryType.POLYGON) & (shapely.area(parts) > 0.0)
    return parts[solid], owner[solid]


def slices(
    ground: Ground, outline: Floats, count: int, *, at_best: bool, symmetric: bool, clearance_mm: float
) -> Slices:
    """Return the free places in so many even slices, an even number, of a whole turn: at best, or surely.

    symmetric: the outline is the same after half a turn, so what is free is too.
    """
    wide = 2.0 * math.pi / count
    looked_at = count // 2 if symmetric else count
    kept = covered_always(outline, wide / 2.0) if at_best else covered_ever(outline, wide / 2.0)
    if not len(kept):
        kept = np.zeros((1, 2))
    kept = grown(kept, clearance_mm, outward=not at_best)
    swings = wide * (np.arange(looked_at, dtype=np.float64) + 0.5)
    areas, owner = free_places(ground, kept, swings)
    if symmetric:
        areas, owner = np.concatenate([areas, areas]), np.concatenate([owner, owner + looked_at])
    return Slices(areas, owner, count, wide)


def joined_pairs(found: Slices) -> Indices:
    """Return the pairs (p, 2) of areas of neighbouring slices that overlap."""
    starts = np.searchsorted(found.slice_of, np.arange(found.count + 1))
    pairs = []
    for k in range(found.count):
        here = np.arange(starts[k], starts[k + 1])
        n = (k + 1) % found.count
        there = np.arange(starts[n], starts[n + 1])
        if len(here) and len(there):
            pairs.append(np.stack(np.meshgrid(here, there, indexing="ij"), -1).reshape(-1, 2))
    if not pairs:
        return np.zeros((0, 2), dtype=np.int64)
    every: Indices = np.concatenate(pairs)
    meet = shapely.intersects(found.areas[every[:, 0]], found.areas[every[:, 1]])
    return np.asarray(every[meet])


def areas_at(found: Slices, at_mm: tuple[float, float], swing_rad: float | None) -> Indices:
    """Return the areas that hold a place, at a swing or at any."""
    holds = shapely.intersects(found.areas, shapely.points(at_mm))
    if swing_rad is not None:
        turned = (swing_rad / found.wide_rad) % found.count
        near = np.abs((found.slice_of + 0.5 - turned + found.count / 2.0) % found.count - found.count / 2.0)
        holds &= near <= 0.5 + 1e-9
    return np.asarray(np.flatnonzero(holds))


def chain(found: Slices, starts: Indices, goals: Indices) -> list[int] | None:
    """Return areas that lead from one of the starts to one of the goals, the fewest; None where none do."""
    pairs = joined_pairs(found)
    next_to: dict[int, list[int]] = {}
    for a, b in pairs.tolist():
        next_to.setdefault(a, []).append(b)
        next_to.setdefault(b, []).append(a)
    before: dict[int, int | None] = {int(start): None for start in starts}
    wanted = {int(goal) for goal in goals}
    todo = deque(before)
    while todo:
        here = todo.popleft()
        if here in wanted:
            path = [here]
            while (back := before[path[-1]]) is not None:
                path.append(back)
            return path[::-1]
        for there in next_to.get(here, []):
            if there not in before:
                before[there] = here
                todo.append(there)
    return None


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


def _turn(angle_rad: float) -> Floats:
    cosine, sine = math.cos(angle_rad), math.sin(angle_rad)
    return np.array([[cosine, -sine], [sine, cosine]])
