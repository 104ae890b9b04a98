"""Cells of rotations that together cover every rotation a part may be given.

A cell is a box in (swing, tilt, roll), radians: its middle and its half-sides. Cells come in arrays, many
at a time. Splitting a cell loses nothing, so whatever holds in every leaf holds for every rotation.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fitcheck.things.solid import Floats, Indices, Mask


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """middle_rad (B, 3) and half_rad (B, 3), columns swing, tilt, roll."""

    middle_rad: Floats
    half_rad: Floats

    def __len__(self) -> int:
        return len(self.middle_rad)

    def chosen(self, which: Indices | Mask | slice) -> Cells:
        """Return some of the cells."""
        return Cells(self.middle_rad[which], self.half_rad[which])

    def joined(self, other: Cells) -> Cells:
        """Return these cells and the others."""
        return Cells(
            np.concatenate([self.middle_rad, other.middle_rad]),
            np.concatenate([self.half_rad, other.half_rad]),
        )

    def halved(self, levers: Floats) -> Cells:
        """Split each cell in two where a part moves most; levers (3,) in mm a radian."""
        from fitcheck.geometry.kernels.cell_heap import halved

        return Cells(*halved(self.middle_rad, self.half_rad, levers))

    @property
    def share(self) -> Floats:
        """Measure of each cell among all rotations (whole: 1), from the volume element cos(tilt)."""
        low = np.clip(self.middle_rad[:, 1] - self.half_rad[:, 1], -math.pi / 2, math.pi / 2)
        high = np.clip(self.middle_rad[:, 1] + self.half_rad[:, 1], -math.pi / 2, math.pi / 2)
        turn = 2.0 * self.half_rad[:, [0, 2]] / (2.0 * math.pi)
        share: Floats = turn[:, 0] * turn[:, 1] * (np.sin(high) - np.sin(low)) / 2.0
        return share


def cover(low_rad: Floats, high_rad: Floats, widest_rad: float) -> Cells:
    """Return equal cells, none wider than `widest_rad`, that cover the box low..high."""
    middles, halves = [], []
    for low, high in zip(low_rad, high_rad, strict=True):
        count = max(1, math.ceil((high - low) / widest_rad))
        half = (high - low) / count / 2.0
        middles.append(low + half * (2.0 * np.arange(count) + 1.0))
        halves.append(half)
    middle = np.stack(np.meshgrid(*middles, indexing="ij"), axis=-1).reshape(-1, len(middles))
    return Cells(middle, np.tile(halves, (len(middle), 1)))


def rotations(angles_rad: Floats) -> Floats:
    """Return rotations (B, 3, 3) = Rz(swing) . Ry(-tilt) . Rx(roll); angles (B, 3) = swing, tilt, roll."""
    cs, ct, cr = np.cos(angles_rad).T
    ss, st, sr = np.sin(angles_rad).T
    turned = np.empty((len(angles_rad), 3, 3))
    turned[:, 0, 0] = cs * ct
    turned[:, 0, 1] = -ss * cr - cs * st * sr
    turned[:, 0, 2] = ss * sr - cs * st * cr
    turned[:, 1, 0] = ss * ct
    turned[:, 1, 1] = cs * cr - ss * st * sr
    turned[:, 1, 2] = -cs * sr - ss * st * cr
    turned[:, 2, 0] = st
    turned[:, 2, 1] = ct * sr
    turned[:, 2, 2] = ct * cr
    return turned


@dataclass(frozen=True, slots=True, eq=False)
class Allowed:
    """The rotations that may be used: low and high (3,) = (swing, tilt, roll), radians; equal: held there."""

    low_rad: Floats
    high_rad: Floats

    @property
    def middle_rad(self) -> Floats:
        """The middle of the allowed rotations."""
        return (self.low_rad + self.high_rad) / 2.0

    @property
    def simple_rad(self) -> Floats:
        """Rotations (k, 3) by quarter turns that are allowed, and the middle of all that are."""
        quarters = (
            math.pi
            / 2.0
            * np.array([[swing, tilt, roll] for swing in (0, 1) for tilt in (0, 1) for roll in (0, 1, -1, 2)])
        )
        inside = ((quarters >= self.low_rad) & (quarters <= self.high_rad)).all(axis=1)
        return np.vstack([quarters[inside], self.middle_rad])

    def cells(self, widest_rad: float) -> Cells:
        """Return equal cells, none wider than `widest_rad`, that cover all of it."""
        return cover(self.low_rad, self.high_rad, widest_rad)


class Queue:
    """Cells that are taken few at a time, the lowest rank first, and of one rank the first put in."""

    def __init__(self) -> None:
        # Rows of rank, number, middle and half-sides.
        self._heap: Floats = np.empty((256, 8))
        self._size = self._put = 0

    def put(self, cells: Cells, rank: Floats) -> None:
        """Add cells with their ranks."""
        from fitcheck.geometry.kernels.cell_heap import put

        if self._size + len(cells) > len(self._heap):
            more = max(len(self._heap), len(cells))
            self._heap = np.concatenate([self._heap, np.empty((more, 8))])
        put(self._heap, self._size, self._put, rank, cells.middle_rad, cells.half_rad)
        self._size, self._put = self._size + len(cells), self._put + len(cells)

    def take(self, most: int, under: float) -> Cells:
        """Return the `most` first cells of a rank under a limit; they leave."""
        from fitcheck.geometry.kernels.cell_heap import take

        taken = Cells(*take(self._heap, self._size, most, under))
        self._size -= len(taken)
        return taken

    def take_halved(self, most: int, under: float, levers: Floats, times: int) -> Cells:
        """Take cells as `take` does, and return them split in two so many times, as by `Cells.halved`."""
        from fitcheck.geometry.kernels.cell_heap import take_halved

        middle, half, taken = take_halved(self._heap, self._size, most, under, levers, times)
        self._size -= taken
        return Cells(middle, half)

    @property
    def rank(self) -> Floats:
        """The ranks of all cells in it, in the order of `cells`."""
        return self._heap[: self._size, 0]

    @property
    def cells(self) -> Cells:
        """All cells in it."""
        rows = self._heap[: self._size]
        return Cells(rows[:, 2:5].copy(), rows[:, 5:].copy())
