"""Packing of rectangles into so many like rooms, with gaps, by OR-Tools CP-SAT.

Each piece takes one of a few rectangles, none turned. Sizes go to the solver in thousandths of a mm.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from fitcheck.geometry.solver.cp_sat import PER_MM, Status, new_model, optional_box, solved

# Sums of sizes in mm are rounded by less than this share of a unit; it must not cost a unit.
_ROUNDING = 1e-3
# Deterministic seconds for one number of rooms.
_EFFORT = 2.0

Size = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Floor:
    """A room's floor in mm, low corner at 0, with the gap between pieces, and the most they may weigh."""

    along_mm: float
    across_mm: float
    gap_mm: float
    most_kg: float = math.inf


@dataclass(frozen=True, slots=True)
class Put:
    """Piece number `piece` as its rectangle `way`, low corner at_mm, in room `load`."""

    piece: int
    way: int
    load: int
    at_mm: tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Task:
    """In units, the gap added to every rectangle and to the room; masses in grams."""

    pieces: tuple[tuple[Size, ...], ...]
    room: Size
    grams: tuple[int, ...]
    most_grams: int | None


def packed(
    pieces: Sequence[Sequence[tuple[float, float]]], masses_kg: Sequence[float], floor: Floor, count: int
) -> tuple[list[Put], Status]:
    """Pack pieces, each by one of its rectangles in mm, into so many rooms: "found", "none" or "open".

    "none": there is no way to lay them square to the room, the gap kept along or across, sizes and masses
    rounded up. "open": nothing came out within the effort.
    """
    gap = _up(floor.gap_mm)
    sizes = tuple(tuple((_up(w) + gap, _up(h) + gap) for w, h in ways) for ways in pieces)
    room = _down(floor.along_mm) + gap, _down(floor.across_mm) + gap
    grams = tuple(_up(mass) for mass in masses_kg)
    most = None if math.isinf(floor.most_kg) else _down(floor.most_kg)
    return _solved(_Task(sizes, room, grams, most), count)


def _up(mm: float) -> int:
    """Return thousandths of a mm, or of a kg, rounded up."""
    return math.ceil(mm * PER_MM - _ROUNDING)


def _down(mm: float) -> int:
    return math.floor(mm * PER_MM + _ROUNDING)


def _solved(task: _Task, count: int) -> tuple[list[Put], Status]:
    """Ask the solver for so many rooms, which it sees end to end."""
    model = new_model()
    wide, high = task.room
    order = sorted(range(len(task.pieces)), key=lambda i: -min(w * h for w, h in task.pieces[i]))
    sides: list[tuple[Any, Any, int]] = []
    chosen: dict[tuple[int, int], Any] = {}
    x, y, room_of = {}, {}, {}
    for place, i in enumerate(order):
        # Rooms are alike: the k-th piece need go no farther than room k.
        room_of[i] = [model.new_bool_var("") if b <= place else 0 for b in range(count)]
        model.add(sum(room_of[i]) == 1)
        inner, y[i] = model.new_int_var(0, wide, ""), model.new_int_var(0, high, "")
        x[i] = model.new_int_var(0, wide * count, "")
        model.add(x[i] == inner + sum(b * wide * each for b, each in enumerate(room_of[i])))
        for w, size in enumerate(task.pieces[i]):
            chosen[i, w] = model.new_bool_var("")
            model.add(inner <= wide - size[0]).only_enforce_if(chosen[i, w])
            model.add(y[i] <= high - size[1]).only_enforce_if(chosen[i, w])
            along, across = optional_box(model, (x[i], y[i]), size, chosen[i, w])
            sides.append((along, across, size[1]))
        model.add_exactly_one(chosen[i, w] for w in range(len(task.pieces[i])))
    model.add_no_overlap_2d([side[0] for side in sides], [side[1] for side in sides])
    model.add_cumulative([side[0] for side in sides], [side[2] for side in sides], high)
    for b in range(count):
        least = [min(w * h for w, h in task.pieces[i]) * room_of[i][b] for i in order]
        model.add(sum(least) <= wide * high)
        if task.most_grams is not None:
            model.add(sum(task.grams[i] * room_of[i][b] for i in order) <= task.most_grams)
    for one, other in itertools.pairwise(order):
        # Pieces alike stand in their order: the solver need not try them in all others.
        if (task.pieces[one], task.grams[one]) == (task.pieces[other], task.grams[other]):
            model.add(x[one] <= x[other])
    return _asked(model, (chosen, x, y), wide)


def _asked(model: Any, names: tuple[Any, Any, Any], wide: int) -> tuple[list[Put], Status]:
    result = solved(model, _EFFORT)
    if result.status != "found":
        return [], result.status
    chosen, x, y = names
    puts = []
    for (i, w), switch in chosen.items():
        if result.is_on(switch):
            load, inner = divmod(result.value(x[i]), wide)
            puts.append(Put(i, w, load, (inner / PER_MM, result.value(y[i]) / PER_MM)))
    return puts, "found"
