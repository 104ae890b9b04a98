"""Width of an aisle from a door to a side, by flooding a grid: coarse, and independent of the search.

d, the distance from a node to the nearest wall or body, is exact. Along the line to the next node it is less
by half a step at most, and no point is further than 0.71 steps from a node. So a chain of neighbours with
d >= r + step / 2 is a way for a disc of radius r, and without a chain of nodes with d >= r - 0.71 steps,
neighbours across corners too, there is none.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from fitcheck.things.room import Point
from fitcheck.things.solid import Floats

# Steps of the grid, and nodes of it at most.
STEP_MM, MOST_NODES = 5.0, 3_000_000
# In steps: how much narrower than told a way is shown to be there, and how much wider none is.
LESS, MORE = 8.0, 4.0


@dataclass(frozen=True, slots=True)
class Edge:
    """A side from start to end that a disc touches on the side that `out` (a unit vector) points to."""

    start: Point
    end: Point
    out: Point


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """The nodes (n, m) of a floor: x (n,), y (m,), and how far each is from everything; 0 off the floor."""

    x_mm: Floats
    y_mm: Floats
    away_mm: Floats
    step_mm: float

    @classmethod
    def of(cls, floor: shapely.Polygon, bodies: Sequence[shapely.Polygon]) -> Grid:
        """Return the grid of a floor with bodies on it."""
        west, south, east, north = floor.bounds
        step = max(STEP_MM, math.sqrt((east - west) * (north - south) / MOST_NODES))
        x, y = np.arange(west, east, step) + step / 2.0, np.arange(south, north, step) + step / 2.0
        every = shapely.MultiPolygon([floor, *bodies]) if bodies else floor
        away = np.full((len(x), len(y)), np.inf)
        for ring in (part.exterior for part in shapely.get_parts(every)):
            corners = np.asarray(ring.coords)
            for a, b in itertools.pairwise(corners):
                np.minimum(away, _from_line(x, y, a, b), out=away)
        across, along = np.meshgrid(x, y, indexing="ij")
        inside = shapely.contains_xy(floor, across, along)
        for body in bodies:
            inside &= ~shapely.contains_xy(body, across, along)
        return cls(x, y, np.where(inside, away, 0.0), step)

    def surely(self, doors: Sequence[Edge], side: Edge, width_mm: float) -> bool:
        """Tell whether a disc that is LESS steps narrower than a width gets from a door to a side."""
        radius = width_mm / 2.0 - LESS / 2.0 * self.step_mm
        # From the last node it goes straight in by no more than two steps.
        room = self.away_mm >= max(radius, 0.0) + 2.0 * self.step_mm
        return self._joined(room, doors, side, (radius, radius + 4.0 * self.step_mm), corners=False)

    def maybe(self, doors: Sequence[Edge], side: Edge, width_mm: float) -> bool:
        """Tell whether a disc that is MORE steps wider than a width may get from a door to a side."""
        radius = width_mm / 2.0 + MORE / 2.0 * self.step_mm
        room = self.away_mm >= radius - self.step_mm / math.sqrt(2.0)
        return self._joined(room, doors, side, (radius - self.step_mm, radius + self.step_mm), corners=True)

    def _joined(
        self,
        room: NDArray[np.bool_],
        doors: Sequence[Edge],
        side: Edge,
        off_mm: tuple[float, float],
        *,
        corners: bool,
    ) -> bool:
        from scipy import ndimage

        label, _ = ndimage.label(room, structure=np.ones((3, 3)) if corners else None)
        more = self.step_mm if corners else 0.0
        there = set(label[self._beside(side, off_mm, more)].tolist()) - {0}
        return any(there & set(label[self._beside(door, off_mm, more)].tolist()) for door in doors)

    def _beside(self, edge: Edge, off_mm: tuple[float, float], more_mm: float) -> NDArray[np.bool_]:
        """Return the nodes that are beside an edge, so far off it; more_mm: also past its ends."""
        (ax, ay), (bx, by) = edge.start, edge.end
        long = math.dist(edge.start, edge.end)
        east, north = (bx - ax) / long, (by - ay) / long
        x, y = self.x_mm[:, None] - ax, self.y_mm[None, :] - ay
        along, off = x * east + y * north, x * edge.out[0] + y * edge.out[1]
        return (
            (along >= -more_mm) & (along <= long + more_mm) & (off >= off_mm[0] - 1e-9) & (off <= off_mm[1])
        )


def _from_line(x: Floats, y: Floats, a: Floats, b: Floats) -> Floats:
    """Return the distance of each node from a straight line between two places."""
    step = b - a
    across, along = x[:, None] - a[0], y[None, :] - a[1]
    share = np.clip((across * step[0] + along * step[1]) / (step @ step), 0.0, 1.0)
    return np.asarray(np.hypot(across - share * step[0], along - share * step[1]))
