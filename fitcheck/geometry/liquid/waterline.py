"""Volume of a closed mesh under a level, exact, and its inverse.

Over one triangle with corner heights z0, z1, z2 and signed plan area a, the volume between it and the
level L is -2 a [z0, z1, z2](L - .)+^3 / 6, with [.] the divided difference: Gauss's theorem for the field
(0, 0, -(L - z)+), whose mean over a triangle is a divided difference by the Hermite-Genocchi formula
(C. de Boor, Divided Differences, Surveys in Approximation Theory 1 (2005) 46-69). Summed over a
closed mesh it is the volume under L: a cubic between each two neighbouring vertex heights (knots).

Written out, with z0 <= z1 <= z2 and zm their mean, a triangle adds
    -a (L - z0)^3 / (3 (z1 - z0) (z2 - z0))                  for z0 <= L <= z1
    -a (L - zm) + a (L - z2)^3 / (3 (z2 - z0) (z2 - z1))     for z1 <= L <= z2
    -a (L - zm)                                              above.
Each of these is small where it holds and huge elsewhere when two heights nearly agree, so nothing may be
added at one knot and taken away at another. Instead each piece is laid on the few nodes of a binary tree
of height intervals that make up its range, about the middle of each node, and the sums are carried down to
the leaves. No digits are lost, and n pieces cost n log n.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitcheck.things.solid import Floats, Indices
from fitcheck.words.errors import Refused

# Heights are rounded to the range of heights / 2^50, about eight times the rounding of doubles of that
# size. Differences of such heights are exact, and corners of one flat face, which turning leaves a few
# roundings apart, share a knot. The volume moves by less than the plan area times that.
HEIGHT_BITS = 50


@dataclass(frozen=True, slots=True, eq=False)
class Waterline:
    """The volume under any level of one closed mesh, ready to be asked in O(log knots).

    centre_mm: height taken off all others, so that a mesh far from 0 loses no digits. step_mm: heights are
    multiples of this. knots_mm: (k,) distinct vertex heights, ascending, over centre_mm. middles_mm:
    (k-1,) middles between them. cubics: (k-1, 4) volume in mm3 by powers of the height over the middle.
    knot_volumes_mm3: (k,) volume under each knot.
    """

    centre_mm: float
    step_mm: float
    knots_mm: Floats
    middles_mm: Floats
    cubics: Floats
    knot_volumes_mm3: Floats

    @classmethod
    def of(cls, vertices_mm: ArrayLike, triangles: Indices) -> Waterline:
        """Build it for vertices (n, 3), z up, and triangles (m, 3) of a closed outward mesh.

        Inner skins (sealed spaces) count as holes. Raises `Refused` for a mesh without height.
        """
        vertices = np.asarray(vertices_mm, dtype=np.float64)
        low, high = float(vertices[:, 2].min()), float(vertices[:, 2].max())
        if not high > low:
            raise Refused("the mesh has no height", "give a closed mesh of a solid thing")
        centre = 0.5 * (low + high)
        step = float(np.ldexp(1.0, int(np.ceil(np.log2(high - low))) - HEIGHT_BITS))
        heights = np.round((vertices[:, 2] - centre) / step) * step
        knots, place = np.unique(heights, return_inverse=True)
        corners = np.sort(place[triangles], axis=1)
        pieces = _pieces(knots, corners, _plan_areas_mm2(vertices, triangles))
        middles, cubics = _sum_of(pieces, knots)
        half = 0.5 * np.diff(knots)
        ends = np.concatenate(([0.0], _value(cubics, half)))
        volumes = np.maximum.accumulate(np.maximum(ends, 0.0))
        for array in (knots, middles, cubics, volumes):
            array.setflags(write=False)
        return cls(centre, step, knots, middles, cubics, volumes)

    @property
    def volume_mm3(self) -> float:
        """The whole volume."""
        return float(self.knot_volumes_mm3[-1])

    def volume_below_mm3(self, levels_mm: ArrayLike) -> Floats:
        """Return the volume under each level, in the shape of `levels_mm`; 0 below, the whole above."""
        interval, over = self._locate(levels_mm)
        volumes: Floats = np.clip(_value(self.cubics[interval], over), 0.0, self.volume_mm3)
        return volumes

    def plane_area_mm2(self, levels_mm: ArrayLike) -> Floats:
        """Return the area cut by each level, the exact derivative of the volume; 0 outside the mesh.

        At the height of a flat face the area jumps: what is returned is the area just below it.
        """
        levels = np.asarray(levels_mm, dtype=np.float64)
        interval, over = self._locate(levels)
        _, c1, c2, c3 = np.moveaxis(self.cubics[interval], -1, 0)
        heights = self._heights(levels)
        cut = (heights > self.knots_mm[0]) & (heights <= self.knots_mm[-1])
        areas: Floats = np.where(cut, np.maximum(c1 + over * (2.0 * c2 + over * 3.0 * c3), 0.0), 0.0)
        return areas

    def level_mm(self, volume_mm3: float) -> float:
        """Return the lowest level that has `volume_mm3` under it, by one root of one cubic.

        Raises `Refused` for a volume below 0 or above the whole.
        """
        if not 0.0 <= volume_mm3 <= self.volume_mm3:
            raise Refused(
                f"there is no level with {volume_mm3:g} mm3 under it",
                f"give a volume from 0 to {self.volume_mm3:g} mm3",
            )
        interval = max(int(np.searchsorted(self.knot_volumes_mm3, volume_mm3, side="left")) - 1, 0)
        over = _rising_root(self.cubics[interval], volume_mm3, 0.5 * float(np.diff(self.knots_mm)[interval]))
        return self.centre_mm + float(self.middles_mm[interval]) + over

    def _heights(self, levels_mm: ArrayLike) -> Floats:
        """Return levels as the knots have them: over the centre, in whole steps."""
        over_centre = np.asarray(levels_mm, dtype=np.float64) - self.centre_mm
        heights: Floats = np.round(over_centre / self.step_mm) * self.step_mm
        return heights

    def _locate(self, levels_mm: ArrayLike) -> tuple[NDArray[np.intp], Floats]:
        """Return for each level its interval (that below, at a knot) and its height over the middle there."""
        heights = np.clip(self._heights(levels_mm), self.knots_mm[0], self.knots_mm[-1])
        interval = np.maximum(np.searchsorted(self.knots_mm, heights, side="left") - 1, 0)
        return interval, heights - self.middles_mm[interval]


def volumes_below_mm3(vertices_mm: Floats, triangles: Indices, levels_mm: ArrayLike) -> Floats:
    """Return the volume of a closed outward mesh under a few levels (k,), z up, cheaper than by `Waterline`.

    The same sums, over all triangles for each level. Less than nothing, by rounding alone, comes back as 0.
    """
    heights = vertices_mm[:, 2][triangles]
    areas = _plan_areas_mm2(vertices_mm, triangles)
    low, high = heights.min(axis=1), heights.max(axis=1)
    mean = heights.sum(axis=1) / 3.0
    volumes = []
    for level in np.ravel(levels_mm):
        under, cut = high <= level, (low < level) & (high > level)
        z0, z1, z2 = np.sort(heights[cut], axis=1).T - level
        first = z1 >= 0.0
        cubes = np.where(first, -z0, z2) ** 3 / (3.0 * (z2 - z0) * np.where(first, z1 - z0, z2 - z1))
        over = np.where(first, -cubes, (z0 + z1 + z2) / 3.0 - cubes)
        volumes.append(float(areas[under] @ (mean[under] - level)) + float(areas[cut] @ over))
    below: Floats = np.maximum(volumes, 0.0)
    return below


class _Pieces(NamedTuple):
    """Terms slope (L - about) + cube (L - about)^3, each for the intervals from `first` up to `last`."""

    first: NDArray[np.intp]
    last: NDArray[np.intp]
    about: Floats
    slope: Floats
    cube: Floats


def _plan_areas_mm2(vertices: Floats, triangles: Indices) -> Floats:
    """Return the signed area of each triangle seen from above: + where it faces up."""
    x, y = vertices[:, 0][triangles], vertices[:, 1][triangles]
    x1, x2 = x[:, 1] - x[:, 0], x[:, 2] - x[:, 0]
    y1, y2 = y[:, 1] - y[:, 0], y[:, 2] - y[:, 0]
    areas: Floats = 0.5 * (x1 * y2 - x2 * y1)
    return areas


def _pieces(knots: Floats, corners: NDArray[np.intp], areas: Floats) -> _Pieces:
    """Return the three terms of every triangle; `corners` (m, 3) are its knots, ascending."""
    seen = areas != 0.0
    low, mid, high = corners[seen].T
    area = areas[seen]
    z0, z1, z2 = knots[low], knots[mid], knots[high]
    # An empty range would divide by zero; such a piece is dropped below, whatever its factor.
    rise0 = np.where(mid > low, (z1 - z0) * (z2 - z0), 1.0)
    rise2 = np.where(high > mid, (z2 - z0) * (z2 - z1), 1.0)
    none, top = np.zeros_like(area), np.full_like(low, len(knots) - 1)
    first, last = np.concatenate((low, mid, mid)), np.concatenate((mid, high, top))
    about = np.concatenate((z0, z2, (z0 + z1 + z2) / 3.0))
    slope = np.concatenate((none, none, -area))
    cube = np.concatenate((-area / (3.0 * rise0), area / (3.0 * rise2), none))
    kept = first < last
    return _Pieces(first[kept], last[kept], about[kept], slope[kept], cube[kept])


def _sum_of(pieces: _Pieces, knots: Floats) -> tuple[Floats, Floats]:
    """Return the middle of each interval (k-1,) and the sum of the pieces there, by powers (k-1, 4)."""
    depth = max(len(knots) - 2, 0).bit_length()
    ends = np.concatenate((knots, np.full((1 << depth) + 1 - len(knots), knots[-1])))
    laid = []
    first, last = pieces.first, pieces.last
    for above_leaves in range(depth + 1):
        middles = _node_middles(ends, above_leaves)
        # A range is made of the node at its low end where that is a right child, and so at its high end.
        low, high = (first < last) & (first & 1 == 1), (first < last) & (last & 1 == 1)
        laid.append(_laid(pieces, (low, first), middles) + _laid(pieces, (high, last - 1), middles))
        first, last = (first + low) >> 1, last >> 1
    sums = laid[depth]
    for above_leaves in range(depth - 1, -1, -1):
        shift = _node_middles(ends, above_leaves) - np.repeat(_node_middles(ends, above_leaves + 1), 2)
        sums = laid[above_leaves] + _recentred(np.repeat(sums, 2, axis=0), shift)
    used = len(knots) - 1
    return _node_middles(ends, 0)[:used].copy(), sums[:used].copy()


def _node_middles(ends: Floats, above_leaves: int) -> Floats:
    """Return the middle height of each tree node `above_leaves` steps up; `ends` are those of the leaves."""
    bounds = ends[:: 1 << above_leaves]
    middles: Floats = 0.5 * (bounds[:-1] + bounds[1:])
    return middles


def _laid(pieces: _Pieces, where: tuple[NDArray[np.bool_], NDArray[np.intp]], middles: Floats) -> Floats:
    """Return the sum (nodes, 4), by powers about each node's middle, of the chosen pieces on their nodes."""
    chosen, nodes = where[0], where[1][where[0]]
    over = middles[nodes] - pieces.about[chosen]
    slope, cube = pieces.slope[chosen], pieces.cube[chosen]
    square = 3.0 * cube * over
    powers = (over * (slope + cube * over * over), slope + square * over, square, cube)
    sums = [np.bincount(nodes, weights=power, minlength=len(middles)) for power in powers]
    laid: Floats = np.stack(sums, axis=1)
    return laid


def _recentred(cubics: Floats, shift: Floats) -> Floats:
    """Return cubics (n, 4) about points `shift` (n,) higher."""
    c0, c1, c2, c3 = cubics.T
    moved: Floats = np.stack(
        (
            c0 + shift * (c1 + shift * (c2 + shift * c3)),
            c1 + shift * (2.0 * c2 + shift * 3.0 * c3),
            c2 + shift * 3.0 * c3,
            c3,
        ),
        axis=1,
    )
    return moved


def _value(cubics: Floats, over: Floats) -> Floats:
    """Return the cubics (..., 4) at `over` (...)."""
    c0, c1, c2, c3 = np.moveaxis(cubics, -1, 0)
    value: Floats = c0 + over * (c1 + over * (c2 + over * c3))
    return value


def _rising_root(cubic: Floats, volume: float, half: float) -> float:
    """Return where a rising cubic reaches `volume`, in [-half, half]; the nearer end if rounding hides it."""
    c0, c1, c2, c3 = (float(c) for c in cubic)

    def lacking(over: float) -> float:
        return c0 + over * (c1 + over * (c2 + over * c3)) - volume

    if lacking(-half) >= 0.0:
        return -half
    if lacking(half) <= 0.0:
        return half
    low, high = -half, half
    # Each halving gains a bit; after those of a double the two ends are as good as one.
    for _ in range(np.finfo(np.float64).nmant + 2):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if lacking(middle) < 0.0 else (low, middle)
    return high
