"""Centroid of each pocket of air or liquid, exact.

A pocket is the space between its level and the surface over it, so its moments are sums over the triangles
of that surface, cut off at the level, as its volume is.
"""

from __future__ import annotations

import numpy as np

from fitcheck.geometry.liquid.pockets import Pools, Vessel
from fitcheck.things.solid import Floats


def moments_of(vessel: Vessel, turned: Floats, pools: Pools) -> tuple[float, Floats]:
    """Return the volume in mm3 of all pools and its first moment (3,) in mm4, about the part's origin.

    turned (3, 3): the rotation that the vessel was asked at (for liquid, the one turned over). The moment is
    in the part's frame. Spaces shut for good are not pools.
    """
    points = vessel.vertices_mm @ turned.T
    volume, moment = 0.0, np.zeros(3)
    for triangles, level in zip(pools.triangles, pools.spill_mm, strict=True):
        corners = _over(points[vessel.triangles[triangles]], float(level))
        one, first = _under_ceiling(corners, float(level))
        volume, moment = volume + one, moment + first
    return volume, moment @ turned


def _over(corners: Floats, level: float) -> Floats:
    """Return what of triangles (m, 3, 3) lies over a level, as triangles."""
    over = corners[:, :, 2] > level
    count = over.sum(axis=1)
    pieces = [corners[count == 3]]
    for odd_is_over in (True, False):
        odd = over if odd_is_over else ~over
        chosen = count == (1 if odd_is_over else 2)
        # The corner that is alone on its side comes first.
        first = odd[chosen].argmax(axis=1)
        rows = np.arange(len(first))
        a, b, c = (corners[chosen][rows, (first + k) % 3] for k in range(3))
        ab, ac = _crossing(a, b, level), _crossing(a, c, level)
        if odd_is_over:
            pieces.append(np.stack([a, ab, ac], axis=1))
        else:
            pieces += [np.stack([ab, b, c], axis=1), np.stack([ab, c, ac], axis=1)]
    return np.concatenate(pieces)


def _crossing(a: Floats, b: Floats, level: float) -> Floats:
    """Return where the lines from a to b (n, 3), which go through the level, meet it."""
    share = (level - a[:, 2]) / (b[:, 2] - a[:, 2])
    met: Floats = a + share[:, None] * (b - a)
    return met


def _under_ceiling(corners: Floats, level: float) -> tuple[float, Floats]:
    """Return the volume and first moment of the space between a level and the triangles over it.

    The mean of a product of two linear functions over a triangle is (sum f sum g + sum f g) / 12.
    """
    a, b, c = np.moveaxis(corners, 1, 0)
    # Outward of the metal is into the space: a ceiling looks down, and its plan area counts as above 0.
    area = -0.5 * ((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0])
    height = corners[:, :, 2] - level
    volume = float(area @ height.sum(axis=1)) / 3.0
    mixed = corners.sum(axis=1) * height.sum(axis=1)[:, None] + (corners * height[:, :, None]).sum(axis=1)
    moment = area @ mixed / 12.0
    # Upward the columns reach from the level, and so have their middle halfway.
    square = height.sum(axis=1) ** 2 + (height**2).sum(axis=1)
    moment[2] = level * volume + float(area @ square) / 24.0
    return volume, moment
