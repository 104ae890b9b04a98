"""A carry answer to JSON and back: mm and degrees."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from fitcheck.questions.carry.answer import CarryAnswer, KeyPose, Shown
from fitcheck.things.room import Point, Ring
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
    whole_number,
    without_absent,
)
from fitcheck.words.units import RAD_PER_DEGREE, radians_of


def to_dict(answer: CarryAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    path = [
        {
            "at_mm": list(step.at_mm),
            "swing_deg": step.swing_rad / RAD_PER_DEGREE,
            "tilt_deg": step.tilt_rad / RAD_PER_DEGREE,
        }
        for step in answer.path
    ]
    outlines = [
        {
            "tilt_deg": shown.tilt_rad / RAD_PER_DEGREE,
            "pieces_mm": [[list(corner) for corner in ring] for ring in shown.pieces_mm],
        }
        for shown in answer.outlines
    ]
    return without_absent(
        {
            "verdict": answer.verdict,
            "part": answer.part,
            "route": answer.route,
            "reason": answer.reason,
            "path": path,
            "width_spare_mm": answer.width_spare_mm,
            "width_spare_at_most_mm": answer.width_spare_at_most_mm,
            "pinch_mm": None if answer.pinch_mm is None else list(answer.pinch_mm),
            "slices": answer.slices,
            "outlines": outlines,
        }
    )


def from_dict(data: Mapping[str, object], _shop: Shop) -> CarryAnswer:
    """Return the answer that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    spare, most = (
        number(data, key) if key in data else None for key in ("width_spare_mm", "width_spare_at_most_mm")
    )
    return CarryAnswer(
        part=text_of(data, "part"),
        route=text_of(data, "route"),
        verdict=choice(data, "verdict", CarryAnswer),
        reason=text_of(data, "reason"),
        path=tuple(_step(mapping(row, "path")) for row in given_rows(data, "path")),
        width_spare_mm=spare,
        width_spare_at_most_mm=most,
        pinch_mm=_point(data, "pinch_mm") if "pinch_mm" in data else None,
        outlines=tuple(_shown(mapping(row, "outlines")) for row in given_rows(data, "outlines")),
        slices=whole_number(data, "slices"),
    )


def _step(row: Mapping[str, object]) -> KeyPose:
    swing, tilt = (radians_of(number(row, f"{key}_deg")) for key in ("swing", "tilt"))
    return KeyPose(_point(row, "at_mm"), swing, tilt)


def _shown(row: Mapping[str, object]) -> Shown:
    rings = tuple(_ring(ring) for ring in given_rows(row, "pieces_mm"))
    return Shown(radians_of(number(row, "tilt_deg")), rings)


def _ring(corners: object) -> Ring:
    ring = numbers({"pieces_mm": corners}, "pieces_mm")
    if ring.ndim != 2 or ring.shape[1] != 2 or len(ring) < 3 or not np.isfinite(ring).all():
        raise Refused("pieces_mm is not made of outlines", "give three corners or more, each east and north")
    return tuple((x, y) for x, y in ring.tolist())


def _point(data: Mapping[str, object], key: str) -> Point:
    point = numbers(data, key)
    if point.shape != (2,) or not np.isfinite(point).all():
        raise Refused(f"{key} is not a place in plan", "give two numbers, east and north")
    return float(point[0]), float(point[1])
