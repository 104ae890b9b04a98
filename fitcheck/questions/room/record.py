"""The answer to `room` as JSON: lengths in mm, areas in m2, turns in degrees."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.questions.room.answer import Aisle, Conflict, Layout, RoomAnswer, ToldAisle, ToldRoom
from fitcheck.things.room import Place
from fitcheck.words.errors import Refused
from fitcheck.words.json_values import Json, choice, mapping, number, numbers, rows, text_of, texts
from fitcheck.words.units import MM2_PER_M2, RAD_PER_DEGREE


def room_json(answer: RoomAnswer) -> Json:
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
    return data | {"cautions": list(answer.cautions)}


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


def room_from_json(data: object) -> ToldRoom:
    """Return the answer that was told; raises `Refused`, naming the key, for anything else."""
    whole = mapping(data, "the answer")
    placed = [mapping(row, "placed") for row in rows(whole, "placed")]
    conflicts = [mapping(row, "conflicts") for row in rows(whole, "conflicts")]
    return ToldRoom(
        text_of(whole, "room"),
        choice(whole, "verdict", ToldRoom),
        {text_of(row, "name"): _place(row) for row in placed},
        tuple((text_of(row, "kind"), texts(row, "between"), number(row, "short_by_mm")) for row in conflicts),
        tuple(_read_aisle(mapping(row, "aisles")) for row in rows(whole, "aisles")),
    )


def _place(row: Mapping[str, object]) -> Place:
    at = numbers(row, "at_mm")
    if at.shape != (2,):
        raise Refused("at_mm is not a place in plan", "give two numbers, east and north")
    return Place((float(at[0]), float(at[1])), number(row, "turn_deg") * RAD_PER_DEGREE)


def _read_aisle(row: Mapping[str, object]) -> ToldAisle:
    pinch = None
    if "pinch_mm" in row:
        ends = numbers(row, "pinch_mm")
        if ends.shape != (2, 2):
            raise Refused("pinch_mm is not two places in plan", "give the answer as fitcheck wrote it")
        (ax, ay), (bx, by) = ends.tolist()
        pinch = (ax, ay), (bx, by)
    return ToldAisle(text_of(row, "to"), number(row, "width_mm"), pinch)
