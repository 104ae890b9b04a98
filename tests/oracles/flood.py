"""A second way to find what a solid holds: a grid of points, flooded layer by layer from the top.

It shares no code with `geometry/liquid/pockets.py`. Neighbouring points are joined only where the straight line from one
to the other meets no triangle. So a wall of any thinness holds, and whatever the flood reaches is truly open. What
a grid cannot see is a way out that is narrower than its cells: then it holds too much, and finer cells let it out.
"""

from __future__ import annotations

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from fitcheck.things.solid import Floats, Indices, Mask, Solid


class _Met:
    """How often the surface is met on the way to each point of the grid from the one before it along an axis."""

    def __init__(self, places: Floats, triangles: Indices, axis: int, shape: tuple[int, int]) -> None:
        """Take corners (n, 3) in cells, so that the grid is the whole numbers; shape: (ny, nx)."""
        met = np.vstack([_beyond(places, corners, axis) for corners in np.sort(triangles, axis=1)])
        order = np.argsort(met[:, 2], kind="stable")
        self._layer, self._flat = met[order, 2], (met[:, 1] * shape[1] + met[:, 0])[order]
        self._shape = shape

    def __getitem__(self, layer: int) -> Indices:
        """Return the counts (ny, nx) of one layer."""
        start, end = np.searchsorted(self._layer, [layer, layer + 1])
        size = self._shape[0] * self._shape[1]
        return np.bincount(self._flat[start:end], minlength=size).reshape(self._shape)


def _beyond(places: Floats, corners: Indices, axis: int) -> Indices:
    """Return the points (k, 3) of the grid just beyond a triangle on lines along an axis.

    A line through a side or a corner counts as moved by an endless small step. Corners are in the order of their
    numbers, so that both triangles at a side cut it in the same places, to the last digit.
    """
    across, along = (axis + 1) % 3, (axis + 2) % 3
    a, b, c = places[corners]
    normal = np.cross(b - a, c - a)
    low, high = places[corners].min(axis=0), places[corners].max(axis=0)
    u, v = (np.arange(np.ceil(low[k]), np.floor(high[k]) + 1.0) for k in (across, along))
    if normal[axis] == 0.0:
        return np.empty((0, 3), dtype=np.int64)
    first, last = np.full(len(v), np.inf), np.full(len(v), -np.inf)
    for p, q in ((a, b), (b, c), (a, c)):
        cut = (p[along] < v) != (q[along] < v)
        at = p[across] + (v[cut] - p[along]) / (q[along] - p[along]) * (q[across] - p[across])
        first[cut], last[cut] = np.minimum(first[cut], at), np.maximum(last[cut], at)
    row, column = np.nonzero((first[:, None] < u) & (u <= last[:, None]))
    point = np.empty((len(row), 3))
    point[:, across], point[:, along] = u[column], v[row]
    rise = normal[across] * (u[column] - a[across]) + normal[along] * (v[row] - a[along])
    point[:, axis] = np.floor(np.clip(a[axis] - rise / normal[axis], low[axis], high[axis])) + 1.0
    return point.astype(np.int64)


def held_on_grid(solid: Solid, rotation: Floats, cell_mm: float) -> float:
    """Return the volume in mm3 of air that the solid keeps, lowered into liquid at a rotation."""
    points = solid.vertices_mm @ rotation.T
    # A margin of two cells all round; half a cell keeps the grid out of the faces that bound the solid.
    places = (points - points.min(axis=0)) / cell_mm + 1.5
    nx, ny, nz = (np.ceil(places.max(axis=0)) + 2.0).astype(int).tolist()
    x, y, z = (_Met(places, solid.triangles, axis, (ny, nx)) for axis in range(3))
    # Over the solid all is open, and one piece.
    over, was_free, kept = np.zeros((ny, nx), dtype=np.int64), np.ones((ny, nx), dtype=bool), 0
    for k in range(nz - 2, -1, -1):
        met = x[k]
        free = np.cumsum(met, axis=1) % 2 == 0
        assert free[:, -1].all(), "a line comes out of the solid as metal"
        # What hangs together along a line of a layer is one node; pieces of the space over it are the others.
        begins = met > 0
        begins[:, 0] = True
        node = np.cumsum(begins.reshape(-1)).reshape(ny, nx) - 1
        beside, under = free[:-1] & free[1:] & (y[k][1:] == 0), free & was_free & (z[k + 1] == 0)
        nodes = int(node[-1, -1]) + 1
        pairs = np.hstack([_pairs(node[:-1], node[1:], beside), _pairs(node, nodes + over, under)])
        count = nodes + int(over.max()) + 1
        links = coo_array((np.ones(pairs.shape[1]), pairs), shape=(count, count))
        label = connected_components(links, directed=False)[1][:nodes]
        over, was_free = np.unique(label, return_inverse=True)[1][node], free
        kept += int(np.count_nonzero(free & (over != over[0, 0])))
    return kept * cell_mm**3


def _pairs(one: Indices, other: Indices, where: Mask) -> Indices:
    """Return the pairs (2, k) of two layers of numbers at some places, without most that are told twice."""
    pairs = np.stack([one[where], other[where]])
    fresh = np.ones(pairs.shape[1], dtype=bool)
    fresh[1:] = (pairs[:, 1:] != pairs[:, :-1]).any(axis=0)
    return pairs[:, fresh]
