"""A few blocks that are built once and stood beside one load after another: which, and what each saves.

One block after the other is chosen: of those that fit beside the loads that take most, the one with which the
most liquid that any load takes is least, and of equals the one that also lowers the loads next to it most. So
the first blocks of a larger number are those of a smaller one, and a shop may stop where it no longer pays.
Better sets may exist: what no set of blocks goes below is told by `bath_bound.py`.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.geometry.liquid.block_pieces import liftable, plan_of
from fitcheck.geometry.plan.columns import Columns, Rectangle, boxes_left, empty
from fitcheck.questions.block.ask import PROUD_MM
from fitcheck.questions.ladder.answer import Built
from fitcheck.things.stock import Piece, Stock
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM3_PER_LITRE

# Loads that take most, for which the next block is thought of.
_WORST = 6
# Sums of metres in double precision; litres that are the same but for rounding.
_ROUNDING_MM, _SAME_L = 1e-6, 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Place:
    """Where blocks may stand in a tank beside what hangs there, and those that stand.

    room: for their plans, a gap from the walls. taken: rectangles that they may touch, not enter. gap_mm: to
    each other. top_mm: how high a block must be to stand over the liquid.
    """

    room: Rectangle
    taken: tuple[Rectangle, ...]
    gap_mm: float
    level_mm: float
    top_mm: float
    pieces: tuple[Piece, ...] = ()

    @classmethod
    def of(cls, tank: Tank, stock: Stock, taken: Sequence[Rectangle], level_mm: float) -> Place:
        """Return the place beside what parts take of the plan, clearances included; none but in a box."""
        gap = stock.gap_mm
        room = (gap, gap, tank.size_mm[0] - gap, tank.size_mm[1] - gap)
        standing = [plan_of(thing, gap) for thing in tank.standing]
        top = min(level_mm + PROUD_MM, tank.depth_mm)
        return cls(room if tank.is_box else (0.0, 0.0, 0.0, 0.0), (*taken, *standing), gap, level_mm, top)

    @property
    def displaced_l(self) -> float:
        """What the blocks displace."""
        sunk = (math.prod(piece.size_mm[:2]) * min(piece.size_mm[2], self.level_mm) for piece in self.pieces)
        return sum(sunk) / MM3_PER_LITRE

    @property
    def columns(self) -> Columns:
        """What is left of the plan."""
        left = empty(self.room, self.top_mm)
        for rectangle in self._barred:
            left = left.without(rectangle)
        return left

    def with_one(self, block: Built) -> Place | None:
        """Return the place with a block stood in, as drawn or turned, near the low corner; or None."""
        if block.size_mm[2] < self.top_mm - _ROUNDING_MM:
            return None
        for size in dict.fromkeys([block.size_mm, (block.size_mm[1], block.size_mm[0], block.size_mm[2])]):
            at = self._free_at(size[0], size[1])
            if at is not None:
                return replace(self, pieces=(*self.pieces, Piece(size, (*at, 0.0), block.mass_kg)))
        return None

    @property
    def _barred(self) -> tuple[Rectangle, ...]:
        gap = self.gap_mm
        stood = (
            (x - gap, y - gap, x + length + gap, y + width + gap)
            for (length, width, _), (x, y, _) in ((piece.size_mm, piece.at_mm) for piece in self.pieces)
        )
        return (*self.taken, *stood)

    def _free_at(self, length: float, width: float) -> tuple[float, float] | None:
        """Return the lowest free corner: at a wall, or touching what stands or hangs, along and across."""
        barred = np.array(self._barred).reshape(-1, 4)
        low, high = self.room[:2], (self.room[2] - length, self.room[3] - width)
        xs = np.concatenate([[low[0], high[0]], barred[:, 2], barred[:, 0] - length])
        ys = np.concatenate([[low[1], high[1]], barred[:, 3], barred[:, 1] - width])
        xs = xs[(xs >= low[0] - _ROUNDING_MM) & (xs <= high[0] + _ROUNDING_MM)]
        ys = ys[(ys >= low[1] - _ROUNDING_MM) & (ys <= high[1] + _ROUNDING_MM)]
        x, y = (line.ravel() for line in np.meshgrid(xs, ys, indexing="ij"))
        over = (
            (x[:, None] < barred[:, 2] - _ROUNDING_MM)
            & (x[:, None] + length > barred[:, 0] + _ROUNDING_MM)
            & (y[:, None] < barred[:, 3] - _ROUNDING_MM)
            & (y[:, None] + width > barred[:, 1] + _ROUNDING_MM)
        )
        free = ~over.any(axis=1)
        if not free.any():
            return None
        k = int(np.lexsort((x[free], x[free] + y[free]))[0])
        return float(x[free][k]), float(y[free][k])


@dataclass(frozen=True, slots=True, eq=False)
class Spot:
    """One way for a part to hang alone: its liquid without blocks, and the place for them beside it."""

    without_l: float
    place: Place

    @property
    def liquid_l(self) -> float:
        """What it takes with the blocks that stand."""
        return self.without_l - self.place.displaced_l

    def with_one(self, block: Built) -> Spot:
        """Return the same with a block more, where there is room for it."""
        place = self.place.with_one(block)
        return self if place is None else replace(self, place=place)


def of_these(place: Place, blocks: Sequence[Built]) -> Place:
    """Return the place with as many of the blocks as find room, in their order."""
    for block in blocks:
        place = place.with_one(block) or place
    return place


def enough_of(place: Place, blocks: Sequence[Built], displaced_l: float) -> Place:
    """Return the place with no more of the blocks than displace so much, tried from each of them on in turn.

    Where that much is not found, with those that displace most.
    """
    best = place
    for first in range(len(blocks)):
        tried = place
        for block in [*blocks[first:], *blocks[:first]]:
            if best.displaced_l >= displaced_l:
                return best
            tried = tried.with_one(block) or tried
            best = tried if tried.displaced_l > best.displaced_l else best
    return best


def chosen(
    parts: Sequence[Sequence[Spot]], stock: Stock, most: int, enough_l: float
) -> tuple[tuple[Built, ...], tuple[float, ...]]:
    """Return up to `most` blocks in the order to build them, and what is mixed with none, one, two and so on.

    parts: for each part the ways to hang it; it takes that which takes least. enough_l: about as little as is
    reached with blocks made for each load; what takes no more is no reason for a block. Fewer come back where
    no further one lowers what is mixed.
    """
    blocks: list[Built] = []
    mixed = [_worth(parts, enough_l)]
    while len(blocks) < most:
        tries = [(block, _with(parts, block)) for block in _thought_of(parts, stock)]
        if not tries:
            break
        block, after = min(tries, key=lambda one: _worth(one[1], enough_l))
        if not _is_less(_worth(after, enough_l), mixed[-1]):
            break
        parts = after
        blocks.append(block)
        mixed.append(_worth(parts, enough_l))
    # A block that only makes way for the next is none to end with.
    while len(mixed) > 1 and mixed[-1][0] > mixed[-2][0] - _SAME_L:
        mixed.pop()
        blocks.pop()
    return tuple(blocks), tuple(worth[0] for worth in mixed)


def _with(parts: Sequence[Sequence[Spot]], block: Built) -> list[list[Spot]]:
    return [[spot.with_one(block) for spot in spots] for spots in parts]


def _worth(parts: Sequence[Sequence[Spot]], enough_l: float) -> tuple[float, float]:
    """Return what is mixed, and what all parts alone take over what is enough: the less, the better."""
    needs = [min(spot.liquid_l for spot in spots) for spots in parts]
    return max(needs, default=0.0), sum(max(need - enough_l, 0.0) for need in needs)


def _is_less(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return one[0] < other[0] - _SAME_L or (one[0] <= other[0] and one[1] < other[1] - _SAME_L)


def _thought_of(parts: Sequence[Sequence[Spot]], stock: Stock) -> Iterator[Built]:
    """Give blocks that are worth a try: that fill most beside the worst parts, or go in beside two of them.

    Each as high as its part needs it, and as high as any does.
    """
    worst = sorted(parts, key=lambda spots: -min(spot.liquid_l for spot in spots))[:_WORST]
    tops = [max(spot.place.top_mm for spot in spots) for spots in parts]
    plans = []
    for spots in worst:
        for spot in sorted(spots, key=lambda spot: spot.liquid_l)[:2]:
            plans += [(plan, spot.place.top_mm) for plan in _largest(spot.place, stock)]
    pairs = [
        ((min(one[0], two[0]), min(one[1], two[1])), max(high, top))
        for (one, high), (two, top) in itertools.combinations(plans, 2)
    ]
    sizes = dict.fromkeys((*plan, top) for plan, high in [*plans, *pairs] for top in (high, max(tops)))
    for length, width, height in sizes:
        try:
            piece = liftable((0.0, 0.0, length, width), height, stock)[0]
        except Refused:
            continue
        yield Built(piece.size_mm, piece.mass_kg)


def _largest(place: Place, stock: Stock) -> list[tuple[float, float]]:
    """Return length and width, the longer first, of the largest boxes that are left, one and one of two."""
    found = []
    for most in (1, 2):
        boxes = boxes_left(place.columns, place.level_mm, place.gap_mm, stock.thinnest_mm, most)
        found += [(box[2] - box[0], box[3] - box[1]) for box, _ in boxes[:most]]
    return list(dict.fromkeys((max(each), min(each)) for each in found))
