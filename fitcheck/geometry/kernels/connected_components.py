"""Connected components, compiled: see `geometry/mesh/connected_components.py`."""

from __future__ import annotations

import numpy as np

from fitcheck.geometry.kernels.jit import compiled
from fitcheck.things.solid import Indices


@compiled
def groups(count: int, one: Indices, other: Indices) -> Indices:
    """Return the number (count,) of each thing's group, in the order of their first members.

    The higher of two roots hangs on the lower, so that a root is the first member of its group.
    """
    root = np.arange(count)
    for k in range(len(one)):
        a, b = one[k], other[k]
        while root[a] != a:
            root[a] = root[root[a]]
            a = root[a]
        while root[b] != b:
            root[b] = root[root[b]]
            b = root[b]
        if a < b:
            root[b] = a
        else:
            root[a] = b
    number = 0
    # What is over a thing comes before it, and has its number already.
    for k in range(count):
        if root[k] == k:
            root[k] = number
            number += 1
        else:
            root[k] = root[root[k]]
    return root
