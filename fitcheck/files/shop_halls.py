"""Rooms and halls joined through their doors into the one floor of a route.

All have north the same way. The first one named keeps its own coordinates; the others are laid against it
door by door.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from fitcheck.files.toml_table import Entry, Table, one_of, spoken
from fitcheck.things.room import Door, Point, Ring, Room
from fitcheck.things.route import Low
from fitcheck.words.errors import Refused

# Measured door by door, a plan that goes round in a ring may be out by so much.
CLOSES_MM = 25.0
# Doorways reach into the rooms by this, so that rounding leaves no wall across them.
INTO_MM = 0.01


@dataclass(frozen=True, slots=True)
class Joined:
    """The floor of some rooms and halls: its outline, what stands on it and hangs over it, by name."""

    floor: Ring
    posts: tuple[tuple[str, Ring], ...]
    lows: tuple[Low, ...]
    rooms: tuple[tuple[str, Ring], ...]
    shift_mm: Mapping[str, Point]


def joined(entry: Entry, rooms: Mapping[str, Room], stands_on: set[tuple[str, str]]) -> Joined | None:
    """Return the floor of the rooms that an entry names; None, and a fault, where they do not join.

    stands_on: rooms and fixtures that a part starts or ends on, which are not in its way.
    """
    names = [item.read(_known(rooms)) for item in entry.items('["build", "hall"]')]
    chosen = [name for name in names if name is not None]
    if not chosen or len(chosen) < len(names):
        return None
    try:
        shift, doorways = _laid_out([rooms[name] for name in dict.fromkeys(chosen)])
        return _floor(rooms, shift, doorways, stands_on)
    except Refused as refused:
        entry.fault(refused.problem, refused.cure)
        return None


def check_doors(table: Table, names: Collection[str]) -> None:
    """Note each door of a room that leads to no room or hall, or back into its own."""
    others = tuple(name for name in names if name != table.name)
    for row in table.rows("doors"):
        if "to" in row and not row.has_fault("to"):
            row.read("to", one_of(others))


def _known(rooms: Mapping[str, Room]) -> Any:
    def reader(value: object) -> str:
        if not isinstance(value, str) or value not in rooms:
            known = ", ".join(rooms) or "none yet"
            raise Refused(f"there is no room or hall {spoken(value)}", f"write one of: {known}")
        return value

    return reader


def _laid_out(rooms: list[Room]) -> tuple[dict[str, Point], list[tuple[str, Door]]]:
    """Return where each room's own corner lies, and the doors that join two of them."""
    by_name = {room.name: room for room in rooms}
    doors = [(room, door) for room in rooms for door in room.doors if door.onto and door.onto.name in by_name]
    shift: dict[str, Point] = {rooms[0].name: (0.0, 0.0)}
    for _ in rooms:
        for room, door in doors:
            assert door.onto is not None  # noqa: S101  # chosen so
            step = _step(door, by_name[door.onto.name])
            one, other = room.name, door.onto.name
            if one in shift:
                there = shift[one][0] + step[0], shift[one][1] + step[1]
                if math.dist(shift.setdefault(other, there), there) > CLOSES_MM:
                    raise Refused(
                        f"the plan does not close at {door.name} of {one}: it is out by "
                        f"{math.dist(shift[other], there):.0f} mm",
                        "check at, to_at and thick of the doors all round",
                    )
            elif other in shift:
                shift[one] = shift[other][0] - step[0], shift[other][1] - step[1]
    lost = [room.name for room in rooms if room.name not in shift]
    if lost:
        raise Refused(
            f"no door leads from {rooms[0].name} to {', '.join(lost)}",
            f'write to = "{lost[0]}", to_at and thick at the door between them',
        )
    return shift, [(room.name, door) for room, door in doors]


def _step(door: Door, other: Room) -> Point:
    """Return from where the room of a door has its corner to where the other has its own."""
    assert door.onto is not None  # noqa: S101  # only doors that lead somewhere come here
    facing = [
        (low, high)
        for k, (a, b) in enumerate(other.edges_mm)
        for low, high in (sorted((a, b)),)
        if (k == door.onto.edge or door.onto.edge is None) and _faces(a, b, door.inward)
    ]
    if len(facing) != 1:
        raise Refused(
            f"{door.name}: {len(facing) or 'no'} walls of {other.name} face it",
            "write to_edge = 0 (the number of that wall, from its first corner)",
        )
    (low, high) = facing[0]
    length = math.dist(low, high)
    at = door.onto.at_mm
    if at < -INTO_MM or at + door.width_mm > length + INTO_MM:
        raise Refused(f"{door.name} is off its wall in {other.name}", "check to_at and its width")
    jamb = low[0] + at / length * (high[0] - low[0]), low[1] + at / length * (high[1] - low[1])
    (east, north), thick = door.inward, door.onto.wall_mm
    return door.low_mm[0] - thick * east - jamb[0], door.low_mm[1] - thick * north - jamb[1]


def _faces(a: Point, b: Point, inward: Point) -> bool:
    length = math.dist(a, b)
    east, north = -(b[1] - a[1]) / length, (b[0] - a[0]) / length
    return east * inward[0] + north * inward[1] < -1.0 + 1e-9


def _floor(
    rooms: Mapping[str, Room],
    shift: dict[str, Point],
    doorways: list[tuple[str, Door]],
    stands_on: set[tuple[str, str]],
) -> Joined:
    import shapely

    placed = {name: _moved(rooms[name].outline_mm, by) for name, by in shift.items()}
    areas = [shapely.Polygon(ring) for ring in placed.values()]
    whole = shapely.union_all(areas)
    if whole.area < sum(area.area for area in areas) - 1.0:
        raise Refused("two of these rooms lie over one another", "check to_at and thick of their doors")
    lows = [
        Low(f"the ceiling of {name}", placed[name], ceiling)
        for name in shift
        if (ceiling := rooms[name].ceiling_mm) is not None
    ]
    posts: list[tuple[str, Ring]] = []
    for name, door in doorways:
        ring = _moved(_throat(door), shift[name])
        whole = shapely.union(whole, shapely.orient_polygons(shapely.Polygon(ring)))
        if door.height_mm is not None:
            lows.append(Low(f"{door.name} of {name}", ring, door.height_mm))
    for name, by in shift.items():
        for fixture in rooms[name].fixtures:
            if fixture.place is None or (name, fixture.name) in stands_on:
                continue
            ring = _moved(fixture.ring_mm(fixture.place), by)
            if fixture.over_mm > 0.0:
                lows.append(Low(fixture.name, ring, fixture.over_mm))
            else:
                posts.append((fixture.name, ring))
    whole = shapely.orient_polygons(whole)
    posts += [("the wall between the rooms", _ring(hole)) for hole in whole.interiors]
    return Joined(_ring(whole.exterior), tuple(posts), tuple(lows), tuple(placed.items()), shift)


def _throat(door: Door) -> Ring:
    """Return the floor of a doorway: its clear opening, as deep as the wall."""
    assert door.onto is not None  # noqa: S101  # only doors that lead somewhere come here
    (east, north), deep = door.inward, door.onto.wall_mm + INTO_MM
    a, b = door.opening_mm
    inside = [(x + INTO_MM * east, y + INTO_MM * north) for x, y in (a, b)]
    outside = [(x - deep * east, y - deep * north) for x, y in (b, a)]
    return (*inside, *outside)


def _moved(ring: Ring, by: Point) -> Ring:
    return tuple((x + by[0], y + by[1]) for x, y in ring)


def _ring(line: Any) -> Ring:
    return tuple((float(x), float(y)) for x, y in list(line.coords)[:-1])
