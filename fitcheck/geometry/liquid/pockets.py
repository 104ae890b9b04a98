"""Pockets of air going in and of liquid coming out, exact, at any attitude.

Going in, air is trapped at a point when no way through free space leads from it to the open without going
lower than the point. So what is free over a level falls into pieces that grow together as the level goes
down, and a piece is a pocket until it joins the open: at its spill height. The pieces are read off the
surface alone:

- all of the surface over a level that hangs together bounds one piece of free space, so corners of the mesh
  are joined when the sweep reaches the lower one (the join tree of H. Carr, J. Snoeyink and U. Axen,
  Computing contour trees in all dimensions, Computational Geometry 24 (2003) 75-94, section 4);
- pieces of surface that bound the same free space meet along upright lines: whatever a walk through free
  space has overhead changes only where it passes under a lip, and there the upright line from the lip to
  what is over it lies in free space. It is enough to draw those lines from peaks, from the ends of lips, and
  from where lips pass under each other.

With the spill height known, the volume is the integral of the surface's height over it, as in `waterline.py`.
Sheet of any thinness holds and holes of any width vent, with no error but rounding. Coming out, the same
holds upside down: pools instead of pockets.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.mesh.connected_components import connected_components
from fitcheck.geometry.mesh.mesh_components import (
    component_volumes_mm3,
    corners,
    facing_outside,
    paired_edges,
)
from fitcheck.things.solid import Floats, Indices, Mask, Solid

# Turns a pool into a pocket: half a turn about the lengthwise axis.
UPSIDE_DOWN = np.diag([1.0, -1.0, -1.0])
# Share of the part's size by which surfaces that touch in a corner are drawn apart, and within which heights
# are the same: above rounding, and less than the width of a ray's step aside.
TOUCHING = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Pools:
    """The pockets at one rotation, in no order; for pools of liquid seen upside down.

    volume_mm3, touched_mm2, level_mm2 (the area of its level), top (its highest vertex), spill_mm: (k,).
    triangles: for each pocket the triangles that bound it.
    """

    volume_mm3: Floats
    touched_mm2: Floats
    level_mm2: Floats
    top: Indices
    spill_mm: Floats
    triangles: tuple[Indices, ...]


class Vessel:
    """One closed surface, ready to be asked what it holds at any rotation.

    vertices_mm (n, 3), triangles (m, 3): its outer skins. shut_mm3, shut_mm2: volume and surface of spaces
    inside that have no way to the open at all, less what lies loose in them; shut_points_mm (k, 3): their
    corners.
    """

    def __init__(self, solid: Solid) -> None:
        one, other = paired_edges(solid.triangles)
        labels = connected_components(len(solid.triangles), one // 3, other // 3)
        volumes = component_volumes_mm3(solid.vertices_mm, solid.triangles, labels)
        outside = facing_outside(solid.vertices_mm, solid.triangles, labels, volumes)
        inner = ~outside[labels]
        self.shut_mm3 = float(-volumes[~outside].sum())
        self.shut_points_mm: Floats = solid.vertices_mm[np.unique(solid.triangles[inner])]
        a, b, c = corners(solid.vertices_mm, solid.triangles[inner])
        self.shut_mm2 = float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum()) / 2.0
        one, other = _left(~inner, one), _left(~inner, other)
        self.vertices_mm, self.triangles = _apart(solid.vertices_mm, solid.triangles[~inner], one, other)
        start, end, apex = (np.roll(self.triangles, -k, axis=1).reshape(-1) for k in range(3))
        self._edges = np.stack([start[one], end[one]], axis=1)
        self._apexes = np.stack([apex[one], apex[other]], axis=1)
        first, last, count = *self._edges.T, len(self.vertices_mm)
        ends = np.sort(np.concatenate([first * count + last, last * count + first]))
        self._begins = np.searchsorted(ends, count * np.arange(count + 1))
        self._neighbours = ends % count

    def air_mm3(self, rotations: Floats) -> Floats:
        """Return the volume (B,) of all air caught at each of the rotations (B, 3, 3), shut spaces with it.

        For the liquid caught, ask at the rotations turned over: UPSIDE_DOWN @ rotation.
        """
        from fitcheck.geometry.kernels.join_tree import total

        caught = []
        for rotation in rotations:
            turned, order = self._turned(rotation)
            caught.append(total(turned, order, self.triangles, *self._links))
        return np.array(caught) + self.shut_mm3

    def pools(self, rotation: Floats, ways: tuple[Indices, Floats] | None = None) -> Pools:
        """Return the pockets of air at one rotation; for liquid, ask at it turned over.

        ways: pairs of vertices (k, 2) joined besides, and the heights (k,) at which: holes to be drilled.
        """
        from fitcheck.geometry.kernels.join_tree import joins, parted, sized, swept

        turned, order = self._turned(rotation)
        pair, link = joins(turned, self.triangles, *self._links)
        if ways is not None:
            pair, link = np.vstack([pair, ways[0]]), np.concatenate([link, ways[1]])
        heights = turned[:, 2].copy()
        spill, _ = swept(heights, order, self._begins, self._neighbours, pair, link)
        tie = TOUCHING * float(np.ptp(turned, axis=0).max())
        named = parted(heights, self._begins, self._neighbours, pair, link, spill, tie)
        sums = sized(turned, self.triangles, spill, named)
        corner = self.triangles[np.arange(len(self.triangles)), turned[self.triangles, 2].argmax(axis=1)]
        bounding = np.flatnonzero((named[corner] >= 0) & (turned[corner, 2] > spill[corner]))
        names, owner = np.unique(named[corner[bounding]], return_inverse=True)
        groups = tuple(bounding[owner == k] for k in range(len(names)))
        top = [corner[group][turned[corner[group], 2].argmax()] for group in groups]
        return Pools(
            volume_mm3=np.maximum(sums[names, 0], 0.0),
            touched_mm2=sums[names, 1],
            level_mm2=np.maximum(sums[names, 2], 0.0),
            top=np.array(top, dtype=np.int64),
            spill_mm=spill[np.array(top, dtype=np.int64)],
            triangles=groups,
        )

    def air_under_mm3(self, rotation: Floats, height_mm: float) -> float:
        """Return how much of the air caught at a rotation lies under a height over the origin.

        Spaces shut for good count in full: what floats on them is not asked here.
        """
        return self.held_under(rotation, height_mm)[0]

    def held_under(self, rotation: Floats, height_mm: float) -> tuple[float, float]:
        """Return the air of `air_under_mm3`, and how much of the surface (mm2) it touches there."""
        from fitcheck.geometry.kernels.join_tree import joins, sized, swept

        turned, order = self._turned(rotation)
        pair, link = joins(turned, self.triangles, *self._links)
        spill, named = swept(turned[:, 2].copy(), order, self._begins, self._neighbours, pair, link)
        over = sized(turned, self.triangles, np.maximum(spill, height_mm), named)
        volume, touched, _ = (sized(turned, self.triangles, spill, named) - over).sum(axis=0).tolist()
        return volume + self.shut_mm3, touched + self.shut_mm2

    def _turned(self, rotation: Floats) -> tuple[Floats, Indices]:
        """Return the vertices (n, 3) at a rotation, and their numbers from the highest down."""
        turned = np.ascontiguousarray(self.vertices_mm @ rotation.T)
        return turned, np.argsort(-turned[:, 2], kind="stable")

    @property
    def _links(self) -> tuple[Indices, Indices, Indices, Indices]:
        return self._edges, self._apexes, self._begins, self._neighbours


def _left(kept: Mask, places: Indices) -> Indices:
    """Return the places (3 x triangle + corner) that are on kept triangles, by the numbers that these get."""
    triangle, corner = np.divmod(places, 3)
    return (3 * (np.cumsum(kept) - 1)[triangle] + corner)[kept[triangle]]


def _apart(vertices: Floats, triangles: Indices, one: Indices, other: Indices) -> tuple[Floats, Indices]:
    """Return the surface with a corner of its own for every fan of triangles that hangs together by edges.

    one, other: the places of the two sides of every edge, which stay what they are. Surfaces that only touch
    in a corner or an edge do not let air through there: their corners are drawn back into their own surface
    by TOUCHING, so that they do not even touch.
    """
    ahead = np.roll(np.arange(triangles.size).reshape(-1, 3), -1, axis=1).reshape(-1)
    fans = connected_components(
        triangles.size, np.concatenate([one, ahead[one]]), np.concatenate([ahead[other], other])
    )
    # Fans are numbered in the order of their first members.
    first = np.flatnonzero(np.diff(np.maximum.accumulate(fans), prepend=-1))
    points, faces = vertices[triangles.reshape(-1)[first]], fans.reshape(-1, 3)
    touching = _shared(points)
    if touching.any():
        start, end = faces.reshape(-1), np.roll(faces, -1, axis=1).reshape(-1)
        way = points[end] - points[start]
        length = np.linalg.norm(way, axis=1)[:, None]
        # A needle's two corners in one place have no way from one to the other.
        way = np.divide(way, length, out=np.zeros_like(way), where=length > 0.0)
        sums = [np.bincount(start, weights=way[:, k], minlength=len(points)) for k in range(3)]
        back = np.column_stack(sums) / np.bincount(start, minlength=len(points))[:, None]
        points[touching] += TOUCHING * float(np.ptp(points, axis=0).max()) * back[touching]
    return np.ascontiguousarray(points), faces


def _shared(points: Floats) -> Mask:
    """Tell which of the points (n, 3) are at the very place of another."""
    # Equal points have equal sums; what else has is told apart by sorting those few in full.
    sums = points[:, 0] + math.e * points[:, 1] + math.pi * points[:, 2]
    order = np.argsort(sums)
    alike = sums[order[1:]] == sums[order[:-1]]
    few = np.unique(np.concatenate([order[1:][alike], order[:-1][alike]]))
    few = few[np.lexsort(points[few].T)]
    same = (points[few[1:]] == points[few[:-1]]).all(axis=1)
    shared = np.zeros(len(points), dtype=bool)
    shared[few[1:][same]] = shared[few[:-1][same]] = True
    return shared
