"""What `carry --json` wrote, read back. Whether it is true is not looked at here."""

from __future__ import annotations

from fitcheck.rim.files.json_values import choice, mapping, number, numbers, rows, text
from fitcheck.things.carrying import CarryAnswer, Step
from fitcheck.things.room import Point
from fitcheck.words.errors import Refused
from fitcheck.words.units import RAD_PER_DEGREE


def carry_from_json(data: object) -> CarryAnswer:
    """Return the answer that was told; raises `Refused`, naming the key, for anything else."""
    whole = mapping(data, "the answer")
    spare, most = (
        number(whole, key) if key in whole else None for key in ("width_spare_mm", "width_spare_at_most_mm")
    )
    return CarryAnswer(
        text(whole, "part"),
        text(whole, "route"),
        choice(whole, "verdict", CarryAnswer),
        text(whole, "reason"),
        tuple(_step(mapping(row, "path")) for row in rows(whole, "path")),
        spare,
        most,
        _point(whole, "pinch_mm") if "pinch_mm" in whole else None,
    )


def _step(row: object) -> Step:
    data = mapping(row, "path")
    swing, tilt = (number(data, f"{key}_deg") * RAD_PER_DEGREE for key in ("swing", "tilt"))
    return Step(_point(data, "at_mm"), swing, tilt)


def _point(data: object, key: str) -> Point:
    point = numbers(mapping(data, key), key)
    if point.shape != (2,):
        raise Refused(f"{key} is not a place in plan", "give two numbers, east and north")
    return float(point[0]), float(point[1])
