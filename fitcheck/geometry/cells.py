"""Boxes of rotations that together cover every rotation a part may be given.

A cell is a box in (swing, tilt, roll), radians: its middle and its half-sides. Cells come in arrays, many
at a time. Splitting a cell loses nothing, so whatever holds in every leaf holds for every rotation.
"""

from __future__ import annotations

import heapq
import itertools
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
        side = np.argmax(self.half_rad * levers, axis=1)
        rows = np.arange(len(self))
        half = self.half_rad.copy()
        half[rows, side] *= 0.5
        step = np.zeros_like(half)
        step[rows, side] = half[rows, side]
        return Cells(
            np.concatenate([self.middle_rad - step, self.middle_rad + step]), np.concatenate([half, half])
        )

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
    grid = np.meshgrid(*middles, indexing="ij")
    middle = np.stack([axis.ravel() for axis in grid], axis=1)
    return Cells(middle, np.broadcast_to(np.array(halves), middle.shape).copy())


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
    """Cells still open, each with a proven bound, lowest first, and those already refused."""

    def __init__(self) -> None:
        self._open = Cells(np.zeros((0, 3)), np.zeros((0, 3)))
        self._low: Floats = np.zeros(0)
        self._leaves: list[Cells] = []

    def put(self, cells: Cells, low: Floats) -> None:
        """Add cells with their bounds."""
        self._open = self._open.joined(cells)
        self._low = np.concatenate([self._low, low])

    def refuse(self, hopeless: Mask) -> None:
        """Make leaves of the cells for which hopeless (open,) is true."""
        if hopeless.any():
            self._leaves.append(self._open.chosen(hopeless))
            self._keep(~hopeless)

    def take(self, most: int, halvings: int, levers_mm: Floats) -> Cells:
        """Return the children of the `most` first cells, halved `halvings` times; those leave the queue."""
        order = np.argsort(self._low, kind="stable")
        taken = self._open.chosen(order[:most])
        self._keep(order[most:])
        for _ in range(halvings):
            taken = taken.halved(levers_mm)
        return taken

    def _keep(self, which: Indices | Mask) -> None:
        self._open = self._open.chosen(which)
        self._low = self._low[which]

    @property
    def open(self) -> Cells:
        """The open cells."""
        return self._open

    @property
    def low(self) -> Floats:
        """The proven bounds of the open cells."""
        return self._low

    @property
    def share(self) -> float:
        """Share of all rotations that is still open."""
        return float(self._open.share.sum())

    @property
    def leaves(self) -> Cells:
        """The refused cells."""
        none = Cells(np.zeros((0, 3)), np.zeros((0, 3)))
        if not self._leaves:
            return none
        return Cells(
            np.concatenate([cells.middle_rad for cells in self._leaves]),
            np.concatenate([cells.half_rad for cells in self._leaves]),
        )


class Ranks:
    """Cells that are taken few at a time, the lowest rank first, and of one rank the first put in."""

    def __init__(self) -> None:
        self._heap: list[tuple[float, int, Floats, Floats]] = []
        self._number = itertools.count()

    def put(self, cells: Cells, rank: Floats) -> None:
        """Add cells with their ranks."""
        for entry in zip(rank.tolist(), self._number, cells.middle_rad, cells.half_rad, strict=False):
            heapq.heappush(self._heap, entry)

    def take(self, most: int, under: float) -> Cells:
        """Return the `most` first cells of a rank under a limit; they leave."""
        taken: list[tuple[float, int, Floats, Floats]] = []
        while self._heap and len(taken) < most and self._heap[0][0] < under:
            taken.append(heapq.heappop(self._heap))
        middle, half = ([entry[k] for entry in taken] for k in (2, 3))
        return Cells(np.array(middle).reshape(-1, 3), np.array(half).reshape(-1, 3))
