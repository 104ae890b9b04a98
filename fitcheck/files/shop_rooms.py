"""The [rooms] of a shop file."""

from __future__ import annotations

import itertools
import math

from fitcheck.files.shop_outlines import Edge, read_outline
from fitcheck.files.shop_words import any_length, length_above_zero, length_from_zero
from fitcheck.files.toml_table import Table, amount, attempt, name_of, one_of, spoken
from fitcheck.things.room import (
    SIDES,
    Door,
    End,
    Fixture,
    KeepClear,
    Onto,
    Place,
    Point,
    Ring,
    Room,
    Swings,
    Work,
)
from fitcheck.words.units import read_angle

WALLS = ("south", "east", "north", "west")
_ROOM_KEYS = ("size", "outline", "ceiling", "aisle", "doors", "fixtures", "keep_clear")
_ONTO_KEYS = ("to", "to_at", "to_edge", "thick")
_DOOR_KEYS = ("name", "wall", "edge", "at", "width", "clear", "height", "hinge", "swings", *_ONTO_KEYS)
_FIXTURE_KEYS = ("name", "size", "at", "turn", "work", "over")
_ENDS: tuple[End, ...] = ("low", "high")
_SWINGS: tuple[Swings, ...] = ("in", "out")
_AT = '["5 ft", "8 ft"]'
_SIZE = '["4 ft", "6 ft", "36 in"]'
# Sums of lengths in double precision are right to far less than this, and no tape sees it.
_ROUNDING_MM = 1e-6


def read_room(table: Table) -> Room | None:
    """Return a room, or None where its floor has a fault; what else has a fault is left out."""
    table.only(_ROOM_KEYS, "a room")
    outline = _outline_of(table)
    ceiling = table.read("ceiling", length_above_zero)
    aisle = table.read("aisle", length_from_zero) or 0.0
    if outline is None:
        return None
    room = Room(table.name, outline, ceiling, aisle)
    doors = [_door(row, i, room) for i, row in enumerate(table.rows("doors"))]
    fixtures = [_fixture(row, ceiling) for row in table.rows("fixtures")]
    zones = [_keep_clear(row, i) for i, row in enumerate(table.rows("keep_clear"))]
    _check_names(table)
    _check_doors(table, doors)
    return Room(
        table.name,
        outline,
        ceiling,
        aisle,
        tuple(door for door in doors if door),
        tuple(fixture for fixture in fixtures if fixture),
        tuple(zone for zone in zones if zone),
    )


def _outline_of(table: Table) -> Ring | None:
    if "outline" in table:
        if "size" in table:
            table.entry("size").fault("size and outline are both given", "give one of them")
        return read_outline(table.entry("outline"))
    entry = table.need("size", '["14 ft", "20 ft"] (east-west, north-south), or an outline')
    size = entry.read_all(length_above_zero, 2, '["14 ft", "20 ft"]') if entry else None
    if size is None:
        return None
    x, y = size
    return (0.0, 0.0), (x, 0.0), (x, y), (0.0, y)


def _door(row: Table, index: int, room: Room) -> Door | None:
    row.only(_DOOR_KEYS, "a door")
    name = row.read("name", name_of) or ("door" if index == 0 else f"door {index + 1}")
    edge = _wall_of(row, room)
    at_entry, width_entry = row.need("at", '"1 ft"'), row.need("width", '"3 ft"')
    at = at_entry.read(any_length) if at_entry else None
    width = width_entry.read(length_above_zero) if width_entry else None
    clear, height = row.read("clear", length_above_zero), row.read("height", length_above_zero)
    hinge, swings = row.read("hinge", one_of(_ENDS)), row.read("swings", one_of(_SWINGS))
    if height and room.ceiling_mm is not None and height > room.ceiling_mm + _ROUNDING_MM:
        row.entry("height").fault(f"{name} is higher than the ceiling", "check its height and the ceiling")
    if clear is not None and width is not None and clear > width + _ROUNDING_MM:
        row.entry("clear").fault(f"clear of {name} is more than its width", "write the width or less")
        return None
    if edge is None or at is None or width is None:
        return None
    low, high, inward = _along(edge)
    length = math.dist(low, high)
    if at < -_ROUNDING_MM or at + width > length + _ROUNDING_MM:
        row.entry("at").fault(
            f"{name} is off its wall: it ends beyond the wall's end",
            "at is counted from the wall's west (else south) end; check at and width",
        )
        return None

    def on(mm: float) -> Point:
        share = mm / length
        return low[0] + share * (high[0] - low[0]), low[1] + share * (high[1] - low[1])

    jambs = on(at), on(at + width)
    free = min(clear or width, math.dist(*jambs))
    onto = _onto(row)
    return attempt(
        row, lambda: Door(name, *jambs, inward, free, height, hinge or "low", swings or "in", onto)
    )


def _onto(row: Table) -> Onto | None:
    """Return what a door leads to; None where that is not said."""
    if not any(key in row for key in _ONTO_KEYS):
        return None
    to, at, thick = row.need("to", '"hall"'), row.need("to_at", '"4 ft"'), row.need("thick", '"5 in"')
    name = to.read(name_of) if to else None
    at_mm, wall = at.read(any_length) if at else None, thick.read(length_above_zero) if thick else None
    edge = row.values.get("to_edge")
    if edge is not None and (not isinstance(edge, int) or isinstance(edge, bool) or edge < 0):
        row.entry("to_edge").fault(f"{spoken(edge)} is not the number of a wall", "write 0 for the first")
        return None
    return None if name is None or at_mm is None or wall is None else Onto(name, at_mm, wall, edge)


def _along(edge: Edge) -> tuple[Point, Point, Point]:
    """Return a wall's west (else south) end, its other end, and the unit vector into the room."""
    (ax, ay), (bx, by) = edge
    length = math.dist(*edge)
    inward = (-(by - ay) / length + 0.0, (bx - ax) / length + 0.0)
    low, high = sorted(edge)
    return low, high, inward


def _wall_of(row: Table, room: Room) -> Edge | None:
    """Return the wall of a door, by its side of the compass or its number."""
    edges = room.edges_mm
    if "edge" in row:
        if "wall" in row:
            row.entry("wall").fault("wall and edge are both given", "give one of them")
        entry = row.entry("edge")
        number = entry.value
        if isinstance(number, int) and not isinstance(number, bool) and 0 <= number < len(edges):
            return edges[number]
        entry.fault(
            f"there is no wall {spoken(number)}", f"write 0 to {len(edges) - 1}: 0 is from the first corner"
        )
        return None
    needed = row.need("wall", '"south" (or edge = 0)')
    wall = needed.read(one_of(WALLS)) if needed else None
    if wall is None:
        return None
    axis = 1 if wall in {"north", "south"} else 0
    reach = [corner[axis] for corner in room.outline_mm]
    line = max(reach) if wall in {"north", "east"} else min(reach)
    found = [edge for edge in edges if all(abs(end[axis] - line) <= _ROUNDING_MM for end in edge)]
    if len(found) != 1:
        count = "no wall" if not found else "more than one wall"
        row.entry("wall").fault(
            f"this outline has {count} along its {wall}", "write edge = 0 (counted from its first corner)"
        )
        return None
    return found[0]


def _fixture(row: Table, ceiling: float | None) -> Fixture | None:
    row.only(_FIXTURE_KEYS, "a fixture")
    name_entry, size_entry = row.need("name", '"bench"'), row.need("size", f"{_SIZE} (length, width, height)")
    name = name_entry.read(name_of) if name_entry else None
    size = size_entry.read_all(length_above_zero, 3, _SIZE) if size_entry else None
    at = row.entry("at").read_all(any_length, 2, _AT) if "at" in row else None
    turn = row.read("turn", amount(read_angle)) or 0.0
    over = row.read("over", length_from_zero) or 0.0
    work = _work_of(row)
    if name is None or size is None or row.has_fault("at") or work is None:
        return None
    if ceiling is not None and over + size[2] > ceiling + _ROUNDING_MM:
        size_entry = row.entry("size")
        size_entry.fault(f"{name} is taller than the ceiling", "check its height, over, and the ceiling")
        return None
    place = None if at is None else Place((at[0], at[1]), turn)
    return attempt(row, lambda: Fixture(name, (size[0], size[1], size[2]), place, work, over))


def _work_of(row: Table) -> Work | None:
    if "work" not in row:
        return Work()
    table = row.table("work")
    if table is None:
        return None
    table.only(SIDES, "work")
    depths = {side: table.read(side, length_from_zero) for side in SIDES}
    if any(table.has_fault(side) for side in SIDES):
        return None
    return Work(*(depths[side] or 0.0 for side in SIDES))


def _keep_clear(row: Table, index: int) -> KeepClear | None:
    row.only(("name", "size", "at", "turn"), "a keep_clear")
    name = row.read("name", name_of) or f"keep clear {index + 1}"
    size_entry, at_entry = row.need("size", _SIZE), row.need("at", _AT)
    size = size_entry.read_all(length_above_zero, 3, _SIZE) if size_entry else None
    at = at_entry.read_all(any_length, 2, _AT) if at_entry else None
    turn = row.read("turn", amount(read_angle)) or 0.0
    if size is None or at is None:
        return None
    box = Fixture(name, (size[0], size[1], size[2]))
    return KeepClear(name, box.ring_mm(Place((at[0], at[1]), turn)), size[2])


def _check_names(table: Table) -> None:
    """Note a thing of the room that has another's name."""
    seen: set[str] = set()
    for row in (*table.rows("doors"), *table.rows("fixtures"), *table.rows("keep_clear")):
        name = row.values.get("name")
        if isinstance(name, str) and name in seen:
            row.entry("name").fault(f"{spoken(name)} is the name of two things in this room", "rename one")
        if isinstance(name, str):
            seen.add(name)


def _check_doors(table: Table, doors: list[Door | None]) -> None:
    """Note a door that takes the same piece of wall as another."""
    rows = table.rows("doors")
    for i, k in itertools.combinations(range(len(doors)), 2):
        one, other = doors[i], doors[k]
        if one is None or other is None or one.inward != other.inward:
            continue
        level = one.inward
        if abs(
            (one.low_mm[0] - other.low_mm[0]) * level[0] + (one.low_mm[1] - other.low_mm[1]) * level[1]
        ) > (_ROUNDING_MM):
            continue
        along = [
            sorted(-level[1] * end[0] + level[0] * end[1] for end in (door.low_mm, door.high_mm))
            for door in (one, other)
        ]
        if min(along[0][1], along[1][1]) - max(along[0][0], along[1][0]) > _ROUNDING_MM:
            rows[k].fault(f"{other.name} overlaps {one.name} in its wall", "check at and width of both")
