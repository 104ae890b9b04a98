"""The points of a part, of which a search needs only the few that stick out."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.things.solid import Floats, Indices

# Directions in which the first points of a part are taken.
FIRST_DIRECTIONS = 32


class Points:
    """The points of a part, centred, of which a search uses the few that matter.

    all_mm (n, 3): all of them; used: indices of those taken in so far, sorted.
    """

    def __init__(self, vertices_mm: Floats) -> None:
        low, high = vertices_mm.min(axis=0), vertices_mm.max(axis=0)
        self.middle_mm: Floats = (low + high) / 2.0
        self.all_mm: Floats = vertices_mm - self.middle_mm
        directions = np.vstack([_spread(FIRST_DIRECTIONS), np.eye(3)])
        dots = directions @ self.all_mm.T
        self.used: Indices = np.unique(np.concatenate([np.argmax(dots, axis=1), np.argmin(dots, axis=1)]))
        self.levers_mm: Floats = self._levers()

    def _levers(self) -> Floats:
        some = self.all_mm[self.used]
        long = float(np.linalg.norm(some, axis=1).max())
        return np.array([long, long, float(np.hypot(some[:, 1], some[:, 2]).max())])

    def take_in(self, points: Indices) -> None:
        """Use these points too."""
        self.used = np.union1d(self.used, points)


def _spread(count: int) -> Floats:
    """Return directions over half the sphere, evenly spread on a spiral (Fibonacci lattice)."""
    z = (np.arange(count) + 0.5) / count
    turn = math.pi * (1.0 + math.sqrt(5.0)) * np.arange(count)
    level = np.sqrt(1.0 - z * z)
    return np.stack([np.cos(turn) * level, np.sin(turn) * level, z], axis=1)
