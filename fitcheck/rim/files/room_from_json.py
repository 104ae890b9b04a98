"""What `room --json` wrote, read back. Whether it is true is not looked at here."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.rim.files.json_values import choice, mapping, number, numbers, rows, text, texts
from fitcheck.things.layout import ToldAisle, ToldRoom
from fitcheck.things.room import Place
from fitcheck.words.errors import Refused
from fitcheck.words.units import RAD_PER_DEGREE


def room_from_json(data: object) -> ToldRoom:
    """Return the answer that was told; raises `Refused`, naming the key, for anything else."""
    whole = mapping(data, "the answer")
    placed = [mapping(row, "placed") for row in rows(whole, "placed")]
    conflicts = [mapping(row, "conflicts") for row in rows(whole, "conflicts")]
    return ToldRoom(
        text(whole, "room"),
        choice(whole, "verdict", ToldRoom),
        {text(row, "name"): _place(row) for row in placed},
        tuple((text(row, "kind"), texts(row, "between"), number(row, "short_by_mm")) for row in conflicts),
        tuple(_aisle(mapping(row, "aisles")) for row in rows(whole, "aisles")),
    )


def _place(row: Mapping[str, object]) -> Place:
    at = numbers(row, "at_mm")
    if at.shape != (2,):
        raise Refused("at_mm is not a place in plan", "give two numbers, east and north")
    return Place((float(at[0]), float(at[1])), number(row, "turn_deg") * RAD_PER_DEGREE)


def _aisle(row: Mapping[str, object]) -> ToldAisle:
    pinch = None
    if "pinch_mm" in row:
        ends = numbers(row, "pinch_mm")
        if ends.shape != (2, 2):
            raise Refused("pinch_mm is not two places in plan", "give the answer as fitcheck wrote it")
        (ax, ay), (bx, by) = ends.tolist()
        pinch = (ax, ay), (bx, by)
    return ToldAisle(text(row, "to"), number(row, "width_mm"), pinch)
