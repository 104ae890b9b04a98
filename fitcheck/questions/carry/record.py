"""The answer to `carry` as JSON: mm and degrees."""

from __future__ import annotations

from fitcheck.questions.carry.answer import CarryAnswer, Step
from fitcheck.things.room import Point
from fitcheck.words.errors import Refused
from fitcheck.words.json_values import Json, choice, mapping, number, numbers, rows, text_of
from fitcheck.words.units import RAD_PER_DEGREE


def carry_json(answer: CarryAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    data: Json = {
        "verdict": answer.verdict,
        "part": answer.part,
        "route": answer.route,
        "reason": answer.reason,
        "path": [
            {
                "at_mm": list(step.at_mm),
                "swing_deg": step.swing_rad / RAD_PER_DEGREE,
                "tilt_deg": step.tilt_rad / RAD_PER_DEGREE,
            }
            for step in answer.path
        ],
        "width_spare_mm": answer.width_spare_mm,
        "width_spare_at_most_mm": answer.width_spare_at_most_mm,
        "pinch_mm": None if answer.pinch_mm is None else list(answer.pinch_mm),
        "slices": answer.slices,
        "cautions": list(answer.cautions),
    }
    return {key: value for key, value in data.items() if value is not None}


def carry_from_json(data: object) -> CarryAnswer:
    """Return the answer that was told; raises `Refused`, naming the key, for anything else."""
    whole = mapping(data, "the answer")
    spare, most = (
        number(whole, key) if key in whole else None for key in ("width_spare_mm", "width_spare_at_most_mm")
    )
    return CarryAnswer(
        text_of(whole, "part"),
        text_of(whole, "route"),
        choice(whole, "verdict", CarryAnswer),
        text_of(whole, "reason"),
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
