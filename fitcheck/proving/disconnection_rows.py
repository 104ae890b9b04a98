"""Rows of boxes of an octree: which share a side, and the row with the fewest in doubt."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fitcheck.things.solid import Floats, Indices, Mask

# What a box in which nothing is in the way weighs beside one in doubt: rows are short all the same.
SURE = 1e-3
# Near are at least so many of all boxes, one in so many: so few rounds go over them all.
AT_LEAST = 10
# Spreads 21 bits so that two others find room between each two (G. M. Morton, IBM Ottawa, 1966).
SPREAD = (
    (32, 0x1F00000000FFFF),
    (16, 0x1F0000FF0000FF),
    (8, 0x100F00F00F00F00F),
    (4, 0x10C30C30C30C30C3),
    (2, 0x1249249249249249),
)


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """A row of boxes, by number, from end to end; near: which boxes are on the best."""

    path: Indices
    near: Mask


def morton(corner: Indices) -> NDArray[np.uint64]:
    """Return the number of each corner (n, 3) along a line that goes through every box before the next."""
    bits = corner.astype(np.uint64)
    for by, mask in SPREAD:
        bits = (bits | (bits << np.uint64(by))) & np.uint64(mask)
    return np.asarray(bits[:, 0] | (bits[:, 1] << np.uint64(1)) | (bits[:, 2] << np.uint64(2)))


def sides_shared(corner: Indices, size: Indices, count: Indices) -> Indices:
    """Return the pairs (p, 2) of boxes that share a side, or part of one; the third way round is a turn.

    Each box is compared with what is beside it, as large as it: the box that holds this, if it is no smaller.
    """
    number = morton(corner)
    order = np.argsort(number)
    pairs = []
    for axis in range(3):
        for way in (-1, 1):
            beside = corner.copy()
            beside[:, axis] += way * size
            if axis == 2:
                beside[:, 2] %= count[2]
            here = np.flatnonzero((beside[:, axis] >= 0) & (beside[:, axis] < count[axis]))
            there = np.searchsorted(number[order], morton(beside[here]), side="right") - 1
            here, there = here[there >= 0], order[there[there >= 0]]
            low = beside[here] - corner[there]
            holds = ((low >= 0) & (low + size[here, None] <= size[there, None])).all(axis=1)
            # Of two as large, one was compared already.
            holds &= (way > 0) | (size[here] < size[there])
            pairs.append(np.column_stack([here, there])[holds])
    return np.concatenate(pairs)


def fewest_in_doubt(pairs: Indices, sure: Mask, starts: Indices, goals: Indices) -> Row | None:
    """Return the row from a start to a goal with the fewest boxes that are not sure; None for no row."""
    weight = np.where(sure, SURE, 1.0)
    from_start, before = _far(pairs, weight, starts)
    from_goal, _ = _far(pairs, weight, goals)
    last = int(goals[np.argmin(from_start[goals])])
    if not np.isfinite(from_start[last]):
        return None
    path = [last]
    while (back := int(before[path[-1]])) < len(sure):
        path.append(back)
    through = from_start + from_goal - weight
    often = float(np.partition(through, len(through) // AT_LEAST)[len(through) // AT_LEAST])
    return Row(np.array(path[::-1]), np.asarray(through <= max(float(through[last]) + SURE, often)))


def _far(pairs: Indices, weight: Floats, ends: Indices) -> tuple[Floats, Indices]:
    """Return how far (n,) boxes are from some, by weight, and which box is before each; n for none."""
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import dijkstra

    count = len(weight)
    both = np.concatenate([pairs, pairs[:, ::-1], np.column_stack([np.full(len(ends), count), ends])])
    entering = weight[both[:, 1]]
    graph = coo_matrix((entering, (both[:, 0], both[:, 1])), shape=(count + 1, count + 1)).tocsr()
    far, before = dijkstra(graph, indices=count, return_predecessors=True)
    return np.asarray(far[:count]), np.asarray(before)
