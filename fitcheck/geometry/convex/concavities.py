"""Convex hull of a tank's inside, and what of the hull is not inside, as convex solids."""

from __future__ import annotations

import numpy as np

from fitcheck.geometry.convex.convex_pieces import all_pieces
from fitcheck.geometry.convex.offset_bodies import hull_of
from fitcheck.shapes.manifold import manifold_of, solid_of
from fitcheck.things.solid import Solid
from fitcheck.words.errors import Refused

# More pieces would make every search slow.
MOST_JUTS = 24
# What such a solid is said to come from.
JUT = "jut"
# What rounding of the file makes of a flat wall: this share of the size times the surface.
SKIN = 1e-6


def concavities_of(inside: Solid) -> tuple[Solid, tuple[Solid, ...]]:
    """Return the convex hull of a tank's inside, and convex solids that fill what of it is not inside.

    Raises `Refused` where the inside is too jagged for few solids, as with round things that jut in.
    """
    around = hull_of(inside.vertices_mm, inside.source)
    rest = manifold_of(around) - manifold_of(inside)
    size = float(np.ptp(inside.vertices_mm, axis=0).max())
    found: list[Solid] = []
    for body in rest.decompose():
        if body.volume() <= SKIN * size * body.surface_area():
            continue
        pieces = all_pieces(solid_of(body, JUT))
        if pieces is None or len(found) + len(pieces) > MOST_JUTS:
            raise Refused(
                f"{inside.source}: the space inside is not convex, and too jagged to be taken apart",
                "give the convex space and write what juts into it as fittings",
            )
        found += [hull_of(piece, JUT) for piece in pieces]
    return around, tuple(found)
