"""Layout of rectangles on a floor, on a grid, at quarter turns, by OR-Tools CP-SAT.

Every rectangle has its body, over which no other body may lie, and strips at its sides which may lie over
each other but not over bodies. Hopeful placing takes every length down to the grid (`grid_boxes`):
when even that has no solution, none has, wherever the rectangles stand.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fitcheck.geometry.plan.grid_boxes import Box, down, up
from fitcheck.geometry.solver.cp_sat import (
    Sides,
    Solved,
    Status,
    fixed_box,
    keep_apart,
    new_model,
    optional_box,
    solved,
)

if TYPE_CHECKING:
    from ortools.sat.python import cp_model


@dataclass(frozen=True, slots=True)
class Shape:
    """An item at one quarter turn: its size, and the depths of its strips west, south, east and north."""

    turn: int
    size_mm: tuple[float, float]
    strips_mm: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Item:
    """A thing to be placed: its shapes, the boxes its body and its strips must stay off, and its heights."""

    name: str
    shapes: tuple[Shape, ...]
    body_off: tuple[Box, ...] = ()
    strips_off: tuple[Box, ...] = ()
    heights_mm: tuple[float, float] = (0.0, 1.0)
    overhead: bool = False


@dataclass(frozen=True, slots=True)
class Spot:
    """Where an item lies: its low corner in steps, and its turn."""

    turn: int
    x: int
    y: int


@dataclass(frozen=True, slots=True)
class Placed:
    """What the solver says: "found", "none" (proven), or "open" (the effort was spent)."""

    status: Status
    spots: Mapping[str, Spot]


class Placing:
    """Items on a floor of a size, in steps."""

    def __init__(
        self, items: Sequence[Item], size_mm: tuple[float, float], step_mm: float, *, hopeful: bool
    ) -> None:
        self._model = new_model()
        self._items = tuple(items)
        self._step = step_mm
        self._hopeful = hopeful
        self._size_mm = size_mm
        self._size = (down(size_mm[0], step_mm), down(size_mm[1], step_mm))
        self._spot = {item.name: self._spot_of(item) for item in items}
        self._turn = {item.name: self._turns_of(item) for item in items}
        self._bodies = {item.name: self._body_of(item) for item in items}
        self._part_bodies()
        self._part_strips()
        if not hopeful:
            self._hug_walls()

    def solve(self, effort: float) -> Placed:
        """Search places within an effort, in the solver's deterministic seconds."""
        # Getting ready for a proof takes five times as long as finding a layout (measured).
        result = solved(self._model, effort, probe=self._hopeful)
        if result.status != "found":
            return Placed(result.status, {})
        return Placed("found", {item.name: self._found(result, item) for item in self._items})

    def move_one(self, spots: Mapping[str, Spot], by: int) -> None:
        """Demand that one of some items is turned, or lies at least so many steps away, from where it is."""
        changes: list[Any] = []
        for name, spot in spots.items():
            x, y = self._spot[name]
            for place, value in ((x, spot.x), (y, spot.y)):
                for sign in (1, -1):
                    moved = self._model.new_bool_var("")
                    self._model.add(sign * (place - value) >= by).only_enforce_if(moved)
                    changes.append(moved)
            changes.append(self._turn[name][spot.turn].negated())
        self._model.add_bool_or(changes)

    def _found(self, result: Solved, item: Item) -> Spot:
        x, y = self._spot[item.name]
        turns = self._turn[item.name]
        turn = next(turn for turn, chosen in turns.items() if result.is_on(chosen))
        return Spot(turn, result.value(x), result.value(y))

    def _spot_of(self, item: Item) -> tuple[cp_model.IntVar, cp_model.IntVar]:
        return tuple(self._model.new_int_var(0, side, item.name) for side in self._size)

    def _turns_of(self, item: Item) -> dict[int, cp_model.IntVar]:
        """Return a switch for each turn, one of them on; with its strips and body within the floor."""
        turns: dict[int, Any] = {}
        for shape in item.shapes:
            chosen = self._model.new_bool_var(f"{item.name} {shape.turn}")
            turns[shape.turn] = chosen
            for axis in (0, 1):
                least = self._steps(shape.strips_mm[axis])
                beyond = shape.size_mm[axis] + shape.strips_mm[axis + 2]
                most = down(self._size_mm[axis] - beyond, self._step)
                if not self._hopeful:
                    most = self._size[axis] - up(beyond, self._step)
                place = self._spot[item.name][axis]
                self._model.add(place >= least).only_enforce_if(chosen)
                self._model.add(place <= most).only_enforce_if(chosen)
        self._model.add_exactly_one(turns.values())
        return turns

    def _body_of(self, item: Item) -> list[Sides]:
        return [self._interval(item, shape, (0.0, 0.0, 0.0, 0.0)) for shape in item.shapes]

    def _interval(self, item: Item, shape: Shape, strips_mm: tuple[float, float, float, float]) -> Sides:
        """Return the sides (x, y) of a shape with some of its strips, there only at its turn."""
        chosen = self._turn[item.name][shape.turn]
        low, size = [], []
        for axis in (0, 1):
            before, after = self._steps(strips_mm[axis]), self._steps(strips_mm[axis + 2])
            size.append(before + self._steps(shape.size_mm[axis]) + after)
            low.append(self._spot[item.name][axis] - before)
        return optional_box(self._model, low, size, chosen)

    def _part_bodies(self) -> None:
        """Keep bodies off each other and off what is fixed; all that share heights in one go."""
        groups: dict[tuple[Box, ...], list[Item]] = {}
        for item in self._items:
            groups.setdefault(item.body_off, []).append(item)
        for boxes, items in groups.items():
            apiece = [items] if _all_share(items) else [[item] for item in items]
            for together in apiece:
                self._no_overlap([*self._fixed(boxes), *self._bodies_of(together)])
        for i, one in enumerate(self._items):
            for other in self._items[i + 1 :]:
                if _all_share([one, other]):
                    self._no_overlap(self._bodies_of([one, other]))

    def _part_strips(self) -> None:
        """Keep the strips of each item off all other bodies: along x with its body between, and along y."""
        for item in self._items:
            others = [other for other in self._items if other is not item and not other.overhead]
            for shape in item.shapes:
                west, south, east, north = shape.strips_mm
                for strips in ((west, 0.0, east, 0.0), (0.0, south, 0.0, north)):
                    if max(strips) > 0.0:
                        cross = self._interval(item, shape, strips)
                        self._no_overlap([cross, *self._fixed(item.strips_off)])
                        for other in others:
                            self._no_overlap([cross, *self._bodies_of([other])])

    def _hug_walls(self) -> None:
        """Prefer things against walls: what is left in the middle is one piece of floor."""
        hugs = []
        for item in self._items:
            against = []
            for shape in item.shapes:
                for axis in (0, 1):
                    place = self._spot[item.name][axis]
                    far = self._size[axis] - up(shape.size_mm[axis], self._step)
                    for value in (0, far):
                        hug = self._model.new_bool_var("")
                        self._model.add(place == value).only_enforce_if(hug)
                        self._model.add_implication(hug, self._turn[item.name][shape.turn])
                        against.append(hug)
            on_wall = self._model.new_bool_var("")
            self._model.add_bool_or(against).only_enforce_if(on_wall)
            hugs.append(on_wall)
        self._model.maximize(sum(hugs))

    def _bodies_of(self, items: Iterable[Item]) -> list[Sides]:
        return [body for item in items for body in self._bodies[item.name]]

    def _fixed(self, boxes: Sequence[Box]) -> list[Sides]:
        return [
            fixed_box(self._model, (box.left, box.low), (box.right - box.left, box.high - box.low))
            for box in boxes
        ]

    def _no_overlap(self, sides: Sequence[Sides]) -> None:
        keep_apart(self._model, sides)

    def _steps(self, mm: float) -> int:
        return down(mm, self._step) if self._hopeful else up(mm, self._step)


def _all_share(items: Sequence[Item]) -> bool:
    """Return whether all items share some height, so that none may lie over another."""
    low, high = max(item.heights_mm[0] for item in items), min(item.heights_mm[1] for item in items)
    return high > low
