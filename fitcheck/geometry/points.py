"""The points of a part, of which a search needs only the few that stick out."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.geometry.support import outermost
from fitcheck.things.solid import Floats, Indices

# Directions in which the first points of a part are taken.
FIRST_DIRECTIONS = 32


class Points:
    """The points of a part, centred, of which a search uses the few that matter.

    all_mm (n, 3): all of them; used_mm (k, 3): those taken in so far. middle_mm: what was taken off to centre
    them. levers_mm (3,): how far a point moves at most for a radian of swing, tilt and roll.
    """

    def __init__(self, vertices_mm: Floats) -> None:
        low, high = vertices_mm.min(axis=0), vertices_mm.max(axis=0)
        self.middle_mm: Floats = (low + high) / 2.0
        self.all_mm: Floats = np.ascontiguousarray(vertices_mm - self.middle_mm)
        self._is_used = np.zeros(len(vertices_mm), dtype=bool)
        self.used_mm: Floats = self.all_mm[:0]
        directions = np.vstack([_spread(FIRST_DIRECTIONS), np.eye(3)])
        self.take_in(outermost(self.all_mm, directions))
        long = float(np.sqrt(np.einsum("ni,ni->n", self.all_mm, self.all_mm).max()))
        short = float(np.hypot(self.all_mm[:, 1], self.all_mm[:, 2]).max())
        self.levers_mm: Floats = np.array([long, long, short])

    def take_in(self, points: Indices) -> None:
        """Use these points too."""
        if not self._is_used[points].all():
            self._is_used[points] = True
            self.used_mm = self.all_mm[self._is_used]


def _spread(count: int) -> Floats:
    """Return directions over half the sphere, evenly spread on a spiral (Fibonacci lattice)."""
    z = (np.arange(count) + 0.5) / count
    turn = math.pi * (1.0 + math.sqrt(5.0)) * np.arange(count)
    level = np.sqrt(1.0 - z * z)
    return np.stack([np.cos(turn) * level, np.sin(turn) * level, z], axis=1)
