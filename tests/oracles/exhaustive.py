"""Small rooms on a grid of feet, and every way to lay them out: the referee for what a solver says."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from strategies.rooms import FT, fixture, rectangle, south_door

from fitcheck.questions.room.arrange import arrange
from fitcheck.questions.room.ask import unreached
from fitcheck.things.room import KeepClear, Place, Room, Work

Cells = np.ndarray


def small_room(draw: np.random.Generator, *, aisle: bool) -> Room:
    """Return a random room of a few feet with up to four fixtures that have no place."""
    wide, tall = (int(side) for side in draw.integers(4, 7, 2))
    fixtures = []
    for k in range(int(draw.integers(2, 4 if aisle else 5))):
        work = Work(front_mm=FT * int(draw.integers(0, 3)), left_mm=FT * int(draw.integers(0, 2)))
        size = (int(draw.integers(1, 4)), int(draw.integers(1, 4)))
        fixtures.append(fixture(f"f{k}", size, None, work))
    x, y = int(draw.integers(0, wide)), int(draw.integers(1, tall))
    zone = KeepClear("zone", tuple((FT * (x + a), FT * (y + b)) for a, b in ((0, 0), (1, 0), (1, 1), (0, 1))))
    doors = (south_door(1, 2),) if aisle or draw.integers(2) else ()
    return Room("small", rectangle(wide, tall), None, 1.5 * FT * aisle, doors, tuple(fixtures), (zone,))


def layouts(room: Room) -> Iterator[Room]:
    """Yield every layout on the grid in which nothing is in the way of anything, aisles not looked at."""
    (_, _), (right, high) = room.outline_mm[0], room.outline_mm[2]
    shape = (round(right / FT), round(high / FT))
    shut = np.zeros(shape, dtype=bool)
    for zone in room.keep_clear:
        shut |= _cells(shape, np.array(zone.ring_mm))
    for door in room.doors:
        # A square foot is in the way when any of it lies in the swing: its corner nearest to the hinge does.
        hinge = round(door.hinge_mm[0] / FT)
        for x, y in np.ndindex(shape):
            if x >= hinge and np.hypot(x - hinge, y) < door.width_mm / FT - 1e-9:
                shut[x, y] = True
    choices = [list(_choices(each, shape, shut)) for each in room.fixtures]
    for picked in itertools.product(*choices):
        taken = np.sum([body for _, body, _ in picked], axis=0)
        if taken.max() > 1:
            continue
        if any((work & (taken.astype(bool) & ~body)).any() for _, body, work in picked):
            continue
        placed = [
            replace(each, place=place) for each, (place, _, _) in zip(room.fixtures, picked, strict=True)
        ]
        yield replace(room, fixtures=tuple(placed))


def _choices(each: object, shape: tuple[int, int], shut: Cells) -> Iterator[tuple[Place, Cells, Cells]]:
    for turn in range(4):
        for x, y in np.ndindex(shape[0] + 1, shape[1] + 1):
            place = Place((x * FT, y * FT), turn * np.pi / 2)
            rings = [np.array(each.ring_mm(place))]  # type: ignore[attr-defined]
            rings += [np.array(each.work_ring_mm(side, place)) for side in each.working_sides]  # type: ignore[attr-defined]
            low, high = np.min(rings, axis=(0, 1)), np.max(rings, axis=(0, 1))
            if (low < -1e-6).any() or (high > np.array(shape) * FT + 1e-6).any():
                continue
            body, *zones = (_cells(shape, ring) for ring in rings)
            if not (body & shut).any():
                yield place, body, np.any([np.zeros(shape, dtype=bool), *zones], axis=0)


def _cells(shape: tuple[int, int], ring: Cells) -> Cells:
    found = np.zeros(shape, dtype=bool)
    (x0, y0), (x1, y1) = (np.round(end / FT).astype(int) for end in (ring.min(axis=0), ring.max(axis=0)))
    found[x0:x1, y0:y1] = True
    return found


def check_small_rooms(seed: int, count: int, *, aisle: bool) -> tuple[int, int]:
    """Hold `arrange` to every layout of random rooms; return how many fit and how many do not."""
    draw = np.random.default_rng(seed)
    seen = [0, 0]
    for _ in range(count):
        room = small_room(draw, aisle=aisle)
        fits = any(not unreached(each) for each in layouts(room))
        answer = arrange(room)
        assert answer.verdict == ("fits" if fits else "does not fit"), room
        seen[not fits] += 1
    return seen[0], seen[1]
