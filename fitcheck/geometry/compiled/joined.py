"""Groups of things that links join: see `fitcheck/geometry/joined.py`."""

from __future__ import annotations

import numpy as np
from numba import njit

from fitcheck.things.solid import Indices


@njit(cache=True)
def groups(count: int, one: Indices, other: Indices) -> Indices:
    """Return the group of each of so many things, numbered as they first occur (union-find, Tarjan 1975)."""
    parent = np.empty(count, dtype=np.int64)
    for k in range(count):
        parent[k] = k
    for e in range(len(one)):
        a, b = one[e], other[e]
        while parent[a] != a:
            parent[a] = parent[parent[a]]
            a = parent[a]
        while parent[b] != b:
            parent[b] = parent[parent[b]]
            b = parent[b]
        # The lower number is the root, so that a group is numbered when its first member is reached.
        if a < b:
            parent[b] = a
        else:
            parent[a] = b
    found = 0
    group = np.empty(count, dtype=np.int64)
    for k in range(count):
        if parent[k] == k:
            group[k] = found
            found += 1
        else:
            group[k] = group[parent[k]]
    return group
