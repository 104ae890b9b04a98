"""Greedy nesting of convex outlines in few like rooms, one after the other, from the low end.

A piece may go where its shift lies in the room that is left for it: a convex polygon of shifts, less those at
which it comes too near to what is there. For convex outlines these are the difference of the two, grown by
the gap (Minkowski; see J. A. Bennell, J. F. Oliveira, The geometry of nesting problems: a tutorial, European
Journal of Operational Research 184 (2008) 397-415, section 4). Of the places that are free it takes the one
where it ends nearest to the low end.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from fitcheck.geometry.plan.convex_outlines import barred, grown
from fitcheck.things.solid import Floats

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

# Places that end within this of each other end at the same length.
_ALIKE_MM = 1e-3
# Ways that end within one of so many steps of the tank's length, and then of its width, are as good.
_STEPS = 40.0
# Orders are those by size, and some drawn by a generator with a fixed seed.
DRAWN, _SEED = 4, 9


@dataclass(frozen=True, slots=True, eq=False)
class Way:
    """One way for a piece to hang in a kind of tank.

    ring (n, 2): its convex outline, counter-clockwise, at no shift. room (k, 2): the shifts that keep it off
    the walls and what stands there, convex. apart_mm: its share of the gap to another piece.
    """

    ring: Floats
    room: Floats
    apart_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """A piece: its ways in each tank that takes it, by the tank's number; alike: the number of its kind."""

    ways: dict[int, tuple[Way, ...]]
    mass_kg: float
    alike: int


@dataclass(frozen=True, slots=True)
class Laid:
    """Piece number `piece` in load `load`, hung the way `way` of its ways there, at a shift."""

    piece: int
    load: int
    way: int
    shift_mm: tuple[float, float]


@dataclass(slots=True, eq=False)
class _Load:
    tank: int
    laid: list[tuple[Way, Floats]] = field(default_factory=list)
    mass_kg: float = 0.0
    full_for: set[int] = field(default_factory=set)
    free: dict[int, tuple[BaseGeometry, int]] = field(default_factory=dict)


class Nearness:
    """Where two outlines are too near, each pair worked out once."""

    def __init__(self) -> None:
        # The ways are kept with what was worked out, so that no other takes their number.
        self._known: dict[tuple[int, int], tuple[Way, Way, Floats]] = {}

    def shifts(self, moving: Way, still: Way) -> Floats:
        """Return the shifts of one outline, from another's, at which they are too near, (n, 2)."""
        import shapely

        key = id(moving), id(still)
        if key not in self._known:
            gap = moving.apart_mm + still.apart_mm
            around = grown(still.ring, gap, outside=True) if gap > 0.0 else still.ring
            self._known[key] = moving, still, shapely.get_coordinates(barred(moving.ring, around))
        return self._known[key][2]


class Nest:
    """Lays pieces into loads; most_kg: the most that a load of each tank may weigh."""

    def __init__(self, pieces: Sequence[Piece], most_kg: Sequence[float], near: Nearness) -> None:
        self._pieces = pieces
        self._most_kg = most_kg
        self._near = near

    def fewest(self, enough: int, drawn: int = DRAWN) -> tuple[list[int], list[Laid]]:
        """Return the tank of each load and the places, of the best of some orders; stop at `enough` loads.

        drawn: how many orders are drawn, beside those by size.
        """
        best: tuple[list[int], list[Laid]] | None = None
        for order in self._orders(drawn):
            found = self.laid(order)
            if best is None or len(found[0]) < len(best[0]):
                best = found
            if len(best[0]) <= enough:
                break
        return best or ([], [])

    def laid(self, order: Sequence[int]) -> tuple[list[int], list[Laid]]:
        """Return the tank of each load and the places, the pieces taken in this order."""
        loads: list[_Load] = []
        places = []
        for i in order:
            piece = self._pieces[i]
            for b in range(len(loads) + 1):
                if b == len(loads):
                    loads.append(_Load(self._roomiest(piece)))
                place = self._place(piece, loads[b])
                if place is not None:
                    places.append(Laid(i, b, place[0], (float(place[1][0]), float(place[1][1]))))
                    break
            else:
                raise ValueError("a piece has no room in an empty tank")
        return [load.tank for load in loads], places

    def _orders(self, count: int) -> list[list[int]]:
        numbers = range(len(self._pieces))
        sizes = [_least_size(piece) for piece in self._pieces]
        orders = [sorted(numbers, key=lambda i: -sizes[i][k]) for k in (0, 1, 2)]
        drawn = np.random.default_rng(_SEED)
        for _ in range(count):
            wide = [sizes[i][0] * float(drawn.lognormal(0.0, 0.4)) for i in numbers]
            orders.append(sorted(numbers, key=lambda i: -wide[i]))
        return orders

    def _roomiest(self, piece: Piece) -> int:
        """Return the tank for a new load: where the piece takes up least of the shifts there are."""
        return max(piece.ways, key=lambda tank: (max(_spread(way.room) for way in piece.ways[tank]), -tank))

    def _place(self, piece: Piece, load: _Load) -> tuple[int, Floats] | None:
        ways = piece.ways.get(load.tank, ())
        if piece.alike in load.full_for or not ways:
            return None
        if load.mass_kg + piece.mass_kg > self._most_kg[load.tank] and load.laid:
            return None
        found = []
        for w, way in enumerate(ways):
            at = self._lowest(way, load)
            if at is not None:
                # A later way is taken only for what it saves: fine steps would tilt a part for a hair.
                steps = np.ptp(way.room, axis=0) + np.ptp(way.ring, axis=0)
                end = np.round((way.ring.max(axis=0) + at) / steps * _STEPS)
                found.append((float(end[0]), float(end[1]), w, at))
        if not found:
            load.full_for.add(piece.alike)
            return None
        _, _, w, at = min(found, key=lambda each: each[:3])
        load.laid.append((ways[w], at))
        load.mass_kg += piece.mass_kg
        return w, at

    def _lowest(self, way: Way, load: _Load) -> Floats | None:
        """Return the free shift that is lowest along the length, then across; None where there is none."""
        import shapely

        # What is free for a way only shrinks as a load is filled.
        free, seen = load.free.get(id(way), (None, 0))
        if free is None:
            free = shapely.Polygon(way.room)
        if load.laid[seen:] and not free.is_empty:
            taken = [shapely.Polygon(self._near.shifts(way, other) + at) for other, at in load.laid[seen:]]
            free = free.difference(shapely.union_all(taken))
        load.free[id(way)] = free, len(load.laid)
        corners = shapely.get_coordinates(free)
        if not len(corners):
            return None
        lowest = corners[np.lexsort((corners[:, 1], np.round(corners[:, 0] / _ALIKE_MM)))[0]]
        return np.asarray(lowest)


def _least_size(piece: Piece) -> tuple[float, float, float]:
    """Return the least area of its outlines' boxes, with the longer and the shorter side of the longest."""
    sides = [way.ring.max(axis=0) - way.ring.min(axis=0) for ways in piece.ways.values() for way in ways]
    return (
        min(float(side[0] * side[1]) for side in sides),
        min(float(side.max()) for side in sides),
        min(float(side.min()) for side in sides),
    )


def _spread(room: Floats) -> float:
    """Return the area of a convex polygon of shifts."""
    x, y = room.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2.0
