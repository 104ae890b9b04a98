"""A room answer to JSON and back: lengths in mm, areas in m2, turns in degrees.

The layout that is best stands at the top, and first of the layouts where several were searched.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from fitcheck.questions.room.answer import Aisle, Conflict, Layout, Move, RoomAnswer
from fitcheck.things.room import SIDES, Fixture, Place, Point, Room
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused
from fitcheck.words.json_values import (
    Json,
    choice,
    given_rows,
    mapping,
    number,
    numbers,
    text_of,
    texts,
    whole_number,
)
from fitcheck.words.units import MM2_PER_M2, RAD_PER_DEGREE, mm2_of, radians_of

_AS_WRITTEN = "give the answer as fitcheck wrote it"
_LAYOUT_KEYS = ("aisles", "placed", "free_floor_m2", "on_walls")
# Corners follow from the place; both are written with all their digits.
_SAME_MM = 1e-6


def to_dict(answer: RoomAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    data: Json = {
        "verdict": answer.verdict,
        "room": answer.room.name,
        "reason": answer.reason,
        "conflicts": [_conflict(conflict) for conflict in answer.conflicts],
    }
    if answer.best is not None:
        data |= _layout(answer.best)
    if answer.grid_mm is not None:
        data |= {"grid_mm": answer.grid_mm, "layouts": [_layout(layout) for layout in answer.layouts]}
    if answer.proof:
        data["proof"] = answer.proof
    return data


def _conflict(conflict: Conflict) -> Json:
    data: Json = {
        "kind": conflict.kind,
        "between": list(conflict.between),
        "short_by_mm": conflict.short_by_mm,
    }
    if conflict.cure is not None:
        by = conflict.cure.by_mm
        data["cure"] = (
            {"name": conflict.cure.name, "swings": "out"}
            if by is None
            else {"name": conflict.cure.name, "move_mm": list(by)}
        )
    return data


def _layout(layout: Layout) -> Json:
    data: Json = {
        "aisles": [_aisle(aisle) for aisle in layout.aisles],
        "placed": [
            {
                "name": fixture.name,
                "at_mm": list(fixture.place.at_mm),
                "turn_deg": fixture.place.turn_rad / RAD_PER_DEGREE,
                "corners_mm": [list(corner) for corner in fixture.ring_mm(fixture.place)],
            }
            for fixture in layout.fixtures
            if fixture.place is not None
        ],
        "free_floor_m2": layout.free_mm2 / MM2_PER_M2,
        "on_walls": layout.on_walls,
    }
    if layout.least_aisle_mm is not None:
        data["least_aisle_mm"] = layout.least_aisle_mm
    return data


def _aisle(aisle: Aisle) -> Json:
    data: Json = {
        "to": aisle.to,
        "width_mm": aisle.width_mm,
        "at_least_mm": aisle.at_least_mm,
        "at_most_mm": aisle.at_most_mm,
    }
    if aisle.door:
        data["door"] = aisle.door
    if aisle.pinch is not None and aisle.pinch_mm is not None:
        data |= {"pinch": list(aisle.pinch), "pinch_mm": [list(place) for place in aisle.pinch_mm]}
    return data


def from_dict(data: Mapping[str, object], shop: Shop) -> RoomAnswer:
    """Return the answer that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    name = text_of(data, "room")
    if name not in shop.rooms:
        raise Refused(f"there is no room {name} in this shop file", "name the shop file it was asked of")
    room = shop.rooms[name]
    verdict = choice(data, "verdict", RoomAnswer)
    conflicts = tuple(_read_conflict(mapping(row, "conflicts")) for row in given_rows(data, "conflicts"))
    grid_mm = number(data, "grid_mm") if "grid_mm" in data or "layouts" in data else None
    layouts = _read_layouts(data, room)
    if verdict == "fits" and not layouts:
        raise Refused("placed is missing", _AS_WRITTEN)
    proof = text_of(data, "proof") if "proof" in data else ""
    return RoomAnswer(room, verdict, text_of(data, "reason"), conflicts, layouts, grid_mm, proof)


def _read_layouts(data: Mapping[str, object], room: Room) -> tuple[Layout, ...]:
    best = (_read_layout(data, room),) if any(key in data for key in _LAYOUT_KEYS) else ()
    if "grid_mm" not in data and "layouts" not in data:
        return best
    layouts = tuple(_read_layout(mapping(row, "layouts"), room) for row in given_rows(data, "layouts"))
    if layouts[:1] != best:
        raise Refused("layouts does not begin with the layout that is told as the best", _AS_WRITTEN)
    return layouts


def _read_conflict(row: Mapping[str, object]) -> Conflict:
    kind, between = choice(row, "kind", Conflict), texts(row, "between")
    if not between:
        raise Refused("conflicts.between is missing or is empty", _AS_WRITTEN)
    cure = _read_move(mapping(row["cure"], "cure")) if "cure" in row else None
    return Conflict(kind, between, number(row, "short_by_mm"), cure)


def _read_move(row: Mapping[str, object]) -> Move:
    name = text_of(row, "name")
    if "move_mm" in row:
        return Move(name, _point(row, "move_mm"))
    if "swings" not in row:
        raise Refused("cure is missing its move_mm, or swings for a door", _AS_WRITTEN)
    if text_of(row, "swings") != "out":
        raise Refused(f"swings is {row['swings']!r}", "a door is only ever hung to swing out")
    return Move(name, None)


def _read_layout(data: Mapping[str, object], room: Room) -> Layout:
    known = {fixture.name: fixture for fixture in room.fixtures}
    places: dict[str, Place] = {}
    for row in (mapping(each, "placed") for each in given_rows(data, "placed")):
        name = text_of(row, "name")
        if name not in known or name in places:
            raise Refused(f"placed.name is {name!r}", "tell each fixture of the room once")
        places[name] = _read_place(row, known[name])
    aisles = tuple(_read_aisle(mapping(row, "aisles")) for row in given_rows(data, "aisles"))
    return Layout(
        tuple(replace(fixture, place=places.get(fixture.name)) for fixture in room.fixtures),
        aisles,
        number(data, "least_aisle_mm") if aisles or "least_aisle_mm" in data else None,
        mm2_of(number(data, "free_floor_m2")),
        whole_number(data, "on_walls"),
    )


def _read_place(row: Mapping[str, object], fixture: Fixture) -> Place:
    """Read a place; the corners by tape beside it must be those of the fixture there."""
    place = Place(_point(row, "at_mm"), radians_of(number(row, "turn_deg")))
    corners, told = np.array(fixture.ring_mm(place)), numbers(row, "corners_mm")
    if told.shape != corners.shape or not np.abs(told - corners).max() <= _SAME_MM:
        raise Refused(f"placed.corners_mm of {fixture.name} are not its corners at its at_mm", _AS_WRITTEN)
    return place


def _read_aisle(row: Mapping[str, object]) -> Aisle:
    to = text_of(row, "to")
    fixture, _, side = to.rpartition(" ")
    if side not in SIDES:
        raise Refused(f"aisles.to is {to!r}", f"name a fixture and its side, one of {', '.join(SIDES)}")
    width, least, most = (number(row, f"{key}_mm") for key in ("width", "at_least", "at_most"))
    door = text_of(row, "door") if "door" in row else ""
    if "pinch" not in row and "pinch_mm" not in row:
        return Aisle(to, fixture, door, width, least, most)
    names, ends = texts(row, "pinch"), numbers(row, "pinch_mm")
    if len(names) != 2:
        raise Refused("pinch is not two things", _AS_WRITTEN)
    if ends.shape != (2, 2) or not np.isfinite(ends).all():
        raise Refused("pinch_mm is not two places in plan", _AS_WRITTEN)
    (ax, ay), (bx, by) = ends.tolist()
    pinch_mm = (ax, ay), (bx, by)
    return Aisle(to, fixture, door, width, least, most, (names[0], names[1]), pinch_mm)


def _point(row: Mapping[str, object], key: str) -> Point:
    at = numbers(row, key)
    if at.shape != (2,) or not all(math.isfinite(side) for side in at):
        raise Refused(f"{key} is not a place in plan", "give two numbers, east and north")
    return float(at[0]), float(at[1])
