"""Priority queue (binary heap) of cells of rotations, first in first out in one rank: `rotation_cells.py`.

A row of the heap is rank, number, middle (3) and half-sides (3).
"""

from __future__ import annotations

import numpy as np

from fitcheck.geometry.kernels.jit import compiled
from fitcheck.things.solid import Floats


@compiled
def put(heap: Floats, size: int, number: int, rank: Floats, middle: Floats, half: Floats) -> None:
    """Put cells (k, 3), numbered from `number`, into a heap of `size` rows, which has room for them."""
    row = np.empty(8)
    for k in range(len(rank)):
        row[0], row[1] = rank[k], number + k
        for i in range(3):
            row[2 + i], row[5 + i] = middle[k, i], half[k, i]
        hole = size + k
        while hole > 0:
            above = (hole - 1) // 2
            if not _before(row, heap[above]):
                break
            heap[hole] = heap[above]
            hole = above
        heap[hole] = row


@compiled
def take(heap: Floats, size: int, most: int, under: float) -> tuple[Floats, Floats]:
    """Take the first cells of a rank under a limit, at most so many, off a heap: middle and half (k, 3)."""
    middle, half, last = np.empty((most, 3)), np.empty((most, 3)), np.empty(8)
    taken = 0
    while taken < most and size > 0 and heap[0, 0] < under:
        for i in range(3):
            middle[taken, i], half[taken, i] = heap[0, 2 + i], heap[0, 5 + i]
        taken += 1
        size -= 1
        last[:] = heap[size]
        hole = 0
        while 2 * hole + 1 < size:
            below = 2 * hole + 1
            if below + 1 < size and _before(heap[below + 1], heap[below]):
                below += 1
            if not _before(heap[below], last):
                break
            heap[hole] = heap[below]
            hole = below
        heap[hole] = last
    return middle[:taken], half[:taken]


@compiled
def halved(middle: Floats, half: Floats, levers: Floats) -> tuple[Floats, Floats]:
    """Split cells (k, 3) in two where a lever moves most: first all lower halves, then all upper ones."""
    count = len(middle)
    into, sides = np.empty((2 * count, 3)), np.empty((2 * count, 3))
    for k in range(count):
        side = 0
        for i in range(1, 3):
            if half[k, i] * levers[i] > half[k, side] * levers[side]:
                side = i
        for i in range(3):
            short = half[k, i] * 0.5 if i == side else half[k, i]
            step = short if i == side else 0.0
            sides[k, i] = sides[count + k, i] = short
            into[k, i], into[count + k, i] = middle[k, i] - step, middle[k, i] + step
    return into, sides


@compiled
def take_halved(
    heap: Floats, size: int, most: int, under: float, levers: Floats, times: int
) -> tuple[Floats, Floats, int]:
    """Take cells off a heap and split them so many times: middle and half (k, 3), and how many were taken."""
    middle, half = take(heap, size, most, under)
    taken = len(middle)
    for _ in range(times):
        middle, half = halved(middle, half, levers)
    return middle, half, taken


@compiled
def _before(row: Floats, other: Floats) -> bool:
    return bool(row[0] < other[0] or (row[0] == other[0] and row[1] < other[1]))
