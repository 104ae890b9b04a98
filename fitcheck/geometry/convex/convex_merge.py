"""Merging of convex bodies whose union is convex: blocks in a row, with no gap between them."""

from __future__ import annotations

import numpy as np

from fitcheck.geometry.convex.offset_bodies import hull_of
from fitcheck.things.solid import Solid

# A gap narrower than this is none: far above the rounding of volumes, far under what a proof leaves.
GAP_MM = 1e-7


def merged(things: tuple[Solid, ...]) -> tuple[Solid, ...]:
    """Return the convex things, those that have no gap between them and are convex together as one.

    A long cell of poses that one long thing refuses is refused by none of the pieces that it is made of.
    """
    left, done = list(things), []
    while left:
        one = left.pop(0)
        for other in left:
            both = _as_one(one, other)
            if both is not None:
                left.remove(other)
                left.insert(0, both)
                break
        else:
            done.append(one)
    return tuple(done)


def _as_one(one: Solid, other: Solid) -> Solid | None:
    """Return the hull of two convex things where it is no more than both, else None."""
    from scipy.spatial import ConvexHull

    points = np.vstack([one.vertices_mm, other.vertices_mm])
    whole = ConvexHull(points)
    both = sum(float(ConvexHull(each.vertices_mm).volume) for each in (one, other))
    if whole.volume - both > GAP_MM * whole.area:
        return None
    return hull_of(points, f"{one.source} and {other.source}")
