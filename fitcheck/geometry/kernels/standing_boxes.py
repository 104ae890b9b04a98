"""Enumeration of the boxes that can stand on a plan of cells: see `columns.py`."""

from __future__ import annotations

import numpy as np

from fitcheck.geometry.kernels.jit import compiled
from fitcheck.things.solid import Floats


@compiled
def standing(heights: Floats, xs: Floats, ys: Floats, level: float, thinnest: float) -> Floats:
    """Return boxes (b, 6) as low x, low y, high x, high y, height, and how much they displace under a level.

    heights (n, m): to which each cell between the lines xs (n + 1,), ys (m + 1,) is free. Left out are those
    with a side under thinnest.
    """
    n, m = heights.shape
    found = np.empty((64, 6))
    count = 0
    lowest = np.empty(m)
    for i in range(n):
        lowest[:] = np.inf
        for k in range(i, n):
            for j in range(m):
                lowest[j] = min(lowest[j], heights[k, j])
            wide = xs[k + 1] - xs[i]
            if wide < thinnest:
                continue
            for j in range(m):
                height = np.inf
                for l in range(j, m):  # noqa: E741 - i to k one way, j to l the other
                    height = min(height, lowest[l])
                    if height < thinnest:
                        break
                    across = ys[l + 1] - ys[j]
                    if across < thinnest:
                        continue
                    if count == len(found):
                        more = np.empty((2 * count, 6))
                        more[:count] = found
                        found = more
                    found[count, 0], found[count, 1] = xs[i], ys[j]
                    found[count, 2], found[count, 3] = xs[k + 1], ys[l + 1]
                    found[count, 4] = height
                    found[count, 5] = wide * across * min(height, level)
                    count += 1
    return found[:count]
