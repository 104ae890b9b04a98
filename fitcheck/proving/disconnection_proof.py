"""Proof that start and goal are disconnected, by boxes of places (x, y, swing) refused or cut in eight.

A box is refused when nothing that is carried can be anywhere in it: at its middle some point of the body is
further off the ground than any can move within the box, or the body less that all round is not on it. What
is refused at all is so with its sides, so whoever gets from box to box does so through sides that two boxes
not refused share; where no row of these joins start and goal there is no way. Rows with the fewest boxes in
doubt are cut first (R. A. Brooks, T. Lozano-Perez, A subdivision algorithm in configuration space for
findpath with rotation, IEEE Trans. Systems, Man and Cybernetics 15 (1985) 224-233, from memory).
Nothing here is used to find a way.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from fitcheck.proving.disconnection_rows import Row, fewest_in_doubt, sides_shared
from fitcheck.things.route import Stand
from fitcheck.things.solid import Floats, Indices, Mask

TURN = 2.0 * math.pi
# Boxes of a whole turn at first, and how often one is cut at most.
BOXES_A_TURN, FINEST = 8, 14
# Boxes along a side of the floor at most, at first: their numbers stay within 21 bits each.
MOST_ALONG = 64
# Buffers have flats for rounds, and GEOS takes shallow corners out by up to a hundredth of the distance.
ROUNDS = 1.02
# The rounding of some sums of metres; a place at the side of a box is in it.
ROUNDING_MM, ROUNDING_RAD = 1e-6, 1e-9
EIGHT = np.array(list(itertools.product((0, 1), repeat=3)), dtype=np.int64)


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """A body in plan about the middle, at swing 0, and the ground that all of it must be over (shapely)."""

    body: Any
    ground: Any


@dataclass(frozen=True, slots=True, eq=False)
class Boxes:
    """Boxes by their lowest corners (n, 3), in the finest steps, and how often each was cut (n,)."""

    corner: Indices
    level: Indices

    @property
    def size(self) -> Indices:
        """How many of the finest steps each is long."""
        return np.asarray(1 << (FINEST - self.level))

    def some(self, which: Mask) -> Boxes:
        """Return those of them."""
        return Boxes(self.corner[which], self.level[which])

    def cut(self) -> Boxes:
        """Return each cut in eight."""
        half = (self.size // 2)[:, None, None]
        return Boxes((self.corner[:, None] + half * EIGHT).reshape(-1, 3), np.repeat(self.level + 1, 8))

    @classmethod
    def all_of(cls, some: list[Boxes]) -> Boxes:
        """Return the boxes of several in one."""
        return cls(
            np.concatenate([each.corner for each in some]), np.concatenate([each.level for each in some])
        )


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """All places where the middle may be: boxes (nx, ny, turns) at first, all about as wide as swing moves.

    far_mm: of the bodies, from the middle. low: x, y and swing of the lowest corner. step: the finest.
    """

    far_mm: float
    low: Floats
    step: Floats
    count: Indices

    @classmethod
    def of(cls, held: list[Held]) -> Grid:
        """Return the places of a middle from which all that is held may be over its ground."""
        far = max(float(np.hypot(*shapely.get_coordinates(each.body).T).max()) for each in held)
        reach = np.array([shapely.distance(each.body, shapely.Point(0.0, 0.0)) for each in held])
        bounds = np.array([shapely.bounds(each.ground) for each in held])
        low = (bounds[:, :2] - reach[:, None]).max(axis=0) - ROUNDING_MM
        wide = (bounds[:, 2:] + reach[:, None]).min(axis=0) + ROUNDING_MM - low
        side = max(far * TURN / BOXES_A_TURN, float(wide.max()) / MOST_ALONG)
        along = np.maximum(np.ceil(wide / side), 1.0).astype(np.int64)
        step = np.array([side, side, TURN / BOXES_A_TURN]) / (1 << FINEST)
        return cls(far, np.array([*low, -math.pi]), step, np.array([*along, BOXES_A_TURN]) << FINEST)

    def first(self) -> Boxes:
        """Return the boxes that hold all places."""
        every = np.indices(tuple((self.count >> FINEST).tolist())).reshape(3, -1).T << FINEST
        return Boxes(every, np.zeros(len(every), dtype=np.int64))

    def middles(self, boxes: Boxes) -> Floats:
        """Return the places (n, 3) in the middle of boxes."""
        return np.asarray(self.low + (boxes.corner + boxes.size[:, None] / 2.0) * self.step)

    def moves_mm(self, level: int) -> float:
        """Return how far a point of a body can be, within a box, from where it is at the middle of it."""
        half = self.step * (1 << (FINEST - level)) / 2.0
        return float(np.hypot(half[0], half[1]) + self.far_mm * half[2]) + ROUNDING_MM

    def holding(self, boxes: Boxes, stand: Stand) -> Indices:
        """Return which boxes hold a place, at a swing or at any."""
        low, high = (
            self.low + corner * self.step for corner in (boxes.corner, boxes.corner + boxes.size[:, None])
        )
        at = np.array(stand.at_mm)
        holds = ((low[:, :2] <= at + ROUNDING_MM) & (at - ROUNDING_MM <= high[:, :2])).all(axis=1)
        if stand.swing_rad is not None:
            middle, half = (low[:, 2] + high[:, 2]) / 2.0, (high[:, 2] - low[:, 2]) / 2.0
            apart = np.abs(np.mod(stand.swing_rad - middle + math.pi, TURN) - math.pi)
            holds &= apart <= half + ROUNDING_RAD
        return np.asarray(np.flatnonzero(holds))


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """Result of a refusal attempt. no_way: shown. looked: how many boxes were evaluated.

    way: middles (k, 3) of a row of boxes in which nothing is in the way, if one was found.
    refused, left: the boxes of the proof, together all places.
    """

    no_way: bool
    way: Floats | None
    refused: Boxes
    left: Boxes
    evaluated: int


def search_for_disconnection(held: list[Held], start: Stand, goal: Stand, most_boxes: int) -> Outcome:
    """Tell whether no way leads from start to goal, cutting so many boxes at most."""
    grid = Grid.of(held)
    refused, left, free, evaluated = [], [], [], 0
    todo = grid.first()
    while True:
        for level in np.unique(todo.level).tolist():
            some = todo.some(todo.level == level)
            off, clear = judged(held, grid, some)
            evaluated += len(off)
            refused.append(some.some(off))
            left.append(some.some(~off))
            free.append(clear[~off])
        boxes, sure = Boxes.all_of(left), np.concatenate(free)
        row = row_between(grid, boxes, sure, start, goal)
        if row is None or evaluated > most_boxes:
            return Outcome(row is None, None, Boxes.all_of(refused), boxes, evaluated)
        doubt = row.near & ~sure & (boxes.level < FINEST)
        if not doubt.any():
            way = grid.middles(boxes)[row.path] if sure[row.path].all() else None
            return Outcome(False, way, Boxes.all_of(refused), boxes, evaluated)
        todo, left, free = boxes.some(doubt).cut(), [boxes.some(~doubt)], [sure[~doubt]]


def row_between(grid: Grid, boxes: Boxes, sure: Mask, start: Stand, goal: Stand) -> Row | None:
    """Return a row of boxes from start to goal with the fewest that are not sure; None for none."""
    ends = grid.holding(boxes, start), grid.holding(boxes, goal)
    if not all(len(end) for end in ends):
        return None
    pairs = sides_shared(boxes.corner, boxes.size, grid.count)
    return fewest_in_doubt(pairs, sure, *ends)


def judged(held: list[Held], grid: Grid, boxes: Boxes) -> tuple[Mask, Mask]:
    """Tell which boxes, all cut as often, are refused, and in which nothing is in the way anywhere."""
    off, clear = np.zeros(len(boxes.level), dtype=bool), np.ones(len(boxes.level), dtype=bool)
    if not len(off):
        return off, clear
    at, moves = grid.middles(boxes), ROUNDS * grid.moves_mm(int(boxes.level[0]))
    for each in held:
        around, within = (shapely.buffer(each.ground, by, quad_segs=16) for by in (moves, -moves))
        for ground in (around, within, each.ground):
            shapely.prepare(ground)
        here = np.flatnonzero(~off)
        bodies = placed(each.body, at[here])
        off[here] = ~shapely.covers(around, bodies)
        clear[here] &= shapely.covers(within, bodies)
        less = shapely.buffer(each.body, -moves, quad_segs=16)
        if not less.is_empty:
            here = np.flatnonzero(~off & ~clear)
            off[here] = ~shapely.covers(each.ground, placed(less, at[here]))
    return off, clear & ~off


def placed(body: Any, at: Floats) -> Any:
    """Return a body turned and moved to places (n, 3)."""
    x, y = shapely.get_coordinates(body).T
    cosine, sine = np.cos(at[:, 2:]), np.sin(at[:, 2:])
    there = np.stack([cosine * x - sine * y + at[:, :1], sine * x + cosine * y + at[:, 1:2]], axis=-1)
    bodies = np.empty(len(at), dtype=object)
    bodies[:] = body
    return shapely.set_coordinates(bodies, there.reshape(-1, 2))
