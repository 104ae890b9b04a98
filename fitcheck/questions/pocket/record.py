"""The answer to `pocket` as JSON: litres, mm, degrees."""

from __future__ import annotations

import numpy as np

from fitcheck.questions.pocket.answer import Hole, PocketAnswer, PocketMap
from fitcheck.things.pockets import WayUp
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.records import held_json, pose_json
from fitcheck.things.solid import Floats
from fitcheck.words.json_values import Json
from fitcheck.words.units import RAD_PER_DEGREE


def pocket_json(answer: PocketAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    data: Json = {"part": answer.part}
    if answer.tank is not None:
        data["tank"] = answer.tank
    data |= {"pose": _pose(answer.part, answer.angles), **held_json(answer.held)}
    data |= {"one_degree_off_l": answer.off_l, "sealed_l": answer.sealed_l}
    data |= {
        "bleed_holes": [_hole(hole, "air_left_l") for hole in answer.holes if hole.kind == "air"],
        "drain_holes": [_hole(hole, "carry_out_left_l") for hole in answer.holes if hole.kind == "liquid"],
    }
    if answer.best is not None:
        data["best"] = _way(answer.part, answer.best)
    if answer.map is not None:
        data["map"] = _map(answer.map)
    return data | {"notes": list(answer.notes), "cautions": list(answer.cautions)}


def _pose(part: str, angles: Angles) -> Json:
    """Return the pose of a part that hangs in no tank: turned about its own origin."""
    return pose_json(Pose("hung", f"part {part}", rotation_from(angles), np.zeros(3)))


def _hole(hole: Hole, left: str) -> Json:
    return {"at_mm": list(hole.at_mm), "through_mm": hole.through_mm, left: hole.left_l}


def _way(part: str, way: WayUp) -> Json:
    return {
        "pose": _pose(part, way.angles),
        "air_l": way.air_l,
        "carry_out_l": way.carry_out_l,
        "one_degree_off_l": way.off_l,
    }


def _map(chart: PocketMap) -> Json:
    data: Json = {
        "tilt_deg": _degrees(chart.tilts_rad),
        "roll_deg": _degrees(chart.rolls_rad),
        "air_l": chart.air_l.tolist(),
        "carry_out_l": chart.carry_out_l.tolist(),
    }
    return data if chart.fits is None else data | {"fits": chart.fits.tolist()}


def _degrees(angles_rad: Floats) -> list[float]:
    degrees: list[float] = (angles_rad / RAD_PER_DEGREE).tolist()
    return degrees
