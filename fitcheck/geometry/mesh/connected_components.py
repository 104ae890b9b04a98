"""Connected components: triangles joined through edges, corners through sides."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fitcheck.things.solid import Indices

# From so many links on, the compiled loop saves more than it takes to load.
MANY = 200_000


def connected_components(count: int, one: ArrayLike, other: ArrayLike) -> Indices:
    """Return the number (count,) of the group that each of so many things belongs to.

    one, other: (k,) what each link joins. Groups are numbered in the order of their first members.
    """
    ends = np.array([np.ravel(one), np.ravel(other)], dtype=np.int64)
    if ends.shape[1] < MANY:
        return connected_components_plainly(count, ends)
    from fitcheck.geometry.kernels.connected_components import groups

    return groups(count, *ends)


def connected_components_plainly(count: int, ends: Indices) -> Indices:
    """Return the same for links (2, k) without a compiled loop.

    Links hook the higher of two roots onto the lower until none joins two groups (Y. Shiloach and U. Vishkin,
    An O(log n) parallel connectivity algorithm, J. Algorithms 3 (1982) 57-67). A library's
    graph takes longer to load than most parts take to read.
    """
    root = np.arange(count)
    while ends.size:
        first, second = root[ends]
        low, high = np.minimum(first, second), np.maximum(first, second)
        apart = low != high
        ends = ends[:, apart]
        np.minimum.at(root, high[apart], low[apart])
        while (root[root] != root).any():
            root = root[root]
    group: Indices = (np.cumsum(root == np.arange(count)) - 1)[root]
    return group
