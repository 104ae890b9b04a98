"""Active points of a part: the few that stick out, of which a search needs no more."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.geometry.rotations.support_function import outermost
from fitcheck.things.solid import Floats, Indices


def _spread(count: int) -> Floats:
    """Return directions over half the sphere, evenly spread on a spiral (Fibonacci lattice)."""
    z = (np.arange(count) + 0.5) / count
    turn = math.pi * (1.0 + math.sqrt(5.0)) * np.arange(count)
    level = np.sqrt(1.0 - z * z)
    return np.stack([np.cos(turn) * level, np.sin(turn) * level, z], axis=1)


# Directions in which the first points of a part are taken.
FIRST_DIRECTIONS = np.vstack([_spread(16), np.eye(3)])


class ActivePoints:
    """The points of a part, centred, of which a search uses the few that matter.

    all_mm (n, 3): all of them; used_mm (k, 3): those taken in so far. middle_mm: what was taken off to centre
    them. levers_mm (3,): how far a point moves at most for a radian of swing, tilt and roll.
    """

    def __init__(self, vertices_mm: Floats) -> None:
        # Kept column by column: what runs over all points is then several times as quick.
        columns = np.array(vertices_mm.T, order="C")
        self.middle_mm: Floats = (columns.min(axis=1) + columns.max(axis=1)) / 2.0
        columns -= self.middle_mm[:, None]
        self.all_mm: Floats = columns.T
        self._is_used = np.zeros(len(vertices_mm), dtype=bool)
        self.used_mm: Floats = self.all_mm[:0]
        self.take_in(outermost(self.all_mm, FIRST_DIRECTIONS))
        x, y, z = columns
        across = y * y + z * z
        long, short = math.sqrt((x * x + across).max()), math.sqrt(across.max())
        self.levers_mm: Floats = np.array([long, long, short])

    def take_in(self, points: Indices) -> None:
        """Use these points too."""
        more = sorted({*points[~self._is_used[points]].tolist()})
        if more:
            self._is_used[more] = True
            self.used_mm = np.asfortranarray(np.concatenate([self.used_mm, self.all_mm[more]]))
