"""Rooms that several tests ask about."""

from __future__ import annotations

import math

from fitcheck.things.room import Door, Fixture, KeepClear, Place, Ring, Room, Work
from fitcheck.words.units import MM_PER_FOOT, MM_PER_INCH

FT, IN = MM_PER_FOOT, MM_PER_INCH
ALL_ROUND = Work(3 * FT, 3 * FT, 3 * FT, 3 * FT)


def fixture(
    name: str,
    size_ft: tuple[float, float],
    at_ft: tuple[float, float] | None,
    work: Work | None = None,
    turn_rad: float = 0.0,
) -> Fixture:
    """Return a fixture 3 ft high."""
    place = None if at_ft is None else Place((at_ft[0] * FT, at_ft[1] * FT), turn_rad)
    return Fixture(name, (size_ft[0] * FT, size_ft[1] * FT, 3 * FT), place, work or Work())


def rectangle(wide_ft: float, tall_ft: float) -> Ring:
    return (0.0, 0.0), (wide_ft * FT, 0.0), (wide_ft * FT, tall_ft * FT), (0.0, tall_ft * FT)


def south_door(at_ft: float = 1.0, width_ft: float = 3.0, **more: object) -> Door:
    low, high = (at_ft * FT, 0.0), ((at_ft + width_ft) * FT, 0.0)
    return Door("door", low, high, (0.0, 1.0), width_ft * FT, **more)  # type: ignore[arg-type]


def build_room(jig: tuple[float, float] | None = (5, 8), *, placed: bool = True, wide_ft: float = 14) -> Room:
    """Return the room of the boatyard's plan: a layout that is known to stand, worked out by hand."""

    def at(x: float, y: float) -> tuple[float, float] | None:
        return (x, y) if placed else None

    panel = ((9.5, 0), (12, 0), (12, 3), (9.5, 3))
    return Room(
        "build",
        rectangle(wide_ft, 20),
        8.5 * FT,
        3 * FT,
        (south_door(),),
        (
            fixture("stand", (2, 12), at(0, 5.5)),
            fixture("rack", (1.5, 10), at(12.5, 5)),
            fixture("jig", (4, 6), jig if placed else None, ALL_ROUND),
            fixture("bench", (8, 2.5), at(3, 17.5)),
            fixture("cradle", (5.5, 3), at(4, 0)),
        ),
        (KeepClear("panel", tuple((x * FT, y * FT) for x, y in panel), 6.5 * FT),),
    )


def moved(room: Room, turn_rad: float, shift: tuple[float, float]) -> Room:
    """Return the whole room turned about its origin and shifted."""
    c, s = math.cos(turn_rad), math.sin(turn_rad)

    def turned(p: tuple[float, float]) -> tuple[float, float]:
        return c * p[0] - s * p[1], s * p[0] + c * p[1]

    def went(p: tuple[float, float]) -> tuple[float, float]:
        x, y = turned(p)
        return x + shift[0], y + shift[1]

    def stands(each: Fixture) -> Fixture:
        assert each.place is not None
        place = Place(went(each.place.at_mm), each.place.turn_rad + turn_rad)
        return Fixture(each.name, each.size_mm, place, each.work, each.over_mm)

    doors = [
        Door(
            door.name,
            went(door.low_mm),
            went(door.high_mm),
            turned(door.inward),
            door.clear_mm * (1 - 1e-12),
            door.height_mm,
            door.hinge,
            door.swings,
        )
        for door in room.doors
    ]
    zones = [
        KeepClear(zone.name, tuple(went(p) for p in zone.ring_mm), zone.height_mm) for zone in room.keep_clear
    ]
    return Room(
        room.name,
        tuple(went(p) for p in room.outline_mm),
        room.ceiling_mm,
        room.aisle_mm,
        tuple(doors),
        tuple(stands(each) for each in room.fixtures),
        tuple(zones),
    )
