"""Answers as JSON: lengths in mm, volumes in litres, areas in m2, masses in kg, angles in deg.

Only the cells of a proof are in radians, so that not a bit of them is lost.

A key that has no value in this case is absent; a bound that is infinite (nothing was proven) is absent too.
Floats are written with all their digits, so an answer that is read back (`answer_from_json.py`) is the same.
"""

from __future__ import annotations

import math
from dataclasses import fields
from typing import Any

from fitcheck.things.answers import (
    Advice,
    Answer,
    DoesNotFit,
    Fits,
    LeastLevel,
    MeasureAgain,
    NotFound,
    Proof,
)
from fitcheck.things.pockets import Held
from fitcheck.things.pose import Pose
from fitcheck.things.way_in import WayIn
from fitcheck.words.units import RAD_PER_DEGREE

Json = dict[str, object]


def answer_json(answer: Answer) -> Json:
    """Return one answer as JSON, its keys in the order in which they are read aloud."""
    spare = answer.spare
    data: Json = {
        "verdict": answer.verdict,
        "part": answer.part,
        "tank": answer.tank,
        "reason": answer.reason,
        "spare_mm": spare.mm,
        "spare_at_most_mm": spare.at_most_mm,
        "spare_low_mm": spare.low_mm,
        "spare_high_mm": spare.high_mm,
        "deciding": [row_json(row) for row in answer.deciding],
    }
    match answer:
        case Fits(advice=advice, roomiest=roomiest, least=least):
            data |= _advice_json(advice) | _least_json(least) | {"roomiest_pose": pose_json(roomiest)}
            data |= _way_json(answer.way_in)
        case MeasureAgain(advice=advice, least=least):
            data |= _advice_json(advice) | _least_json(least)
        case DoesNotFit(nearest=nearest, cures=cures, proof=proof):
            data |= {"nearest_pose": pose_json(nearest), "cures": [row_json(cure) for cure in cures]}
            data |= {"proof": proof_json(proof)}
        case NotFound(nearest=nearest, next_try=next_try):
            data |= {"nearest_pose": pose_json(nearest), "next_try": next_try}
    data |= {"effort": row_json(answer.effort), "cautions": list(answer.cautions)}
    return {key: value for key, value in data.items() if _has_value(value)}


def proof_json(proof: Proof) -> Json:
    """Return the cells or boxes of a proof, not a bit of them lost."""
    boxes: Json = {"middle_rad": proof.middle_rad.tolist(), "half_rad": proof.half_rad.tolist()}
    if proof.middle_mm is not None and proof.half_mm is not None:
        boxes |= {"middle_mm": proof.middle_mm.tolist(), "half_mm": proof.half_mm.tolist()}
    if proof.on_end is not None:
        boxes["on_end"] = proof_json(proof.on_end)
    return boxes


def row_json(row: Any) -> Json:
    """Return a flat row (a line of a chart, a dip-stick or a parts list), without what has no value.

    Angles, kept in radians, are given in degrees and named so.
    """
    data: Json = {}
    for field in fields(row):
        value = getattr(row, field.name)
        if not _has_value(value):
            continue
        if field.name.endswith("_rad"):
            data[field.name.removesuffix("rad") + "deg"] = value / RAD_PER_DEGREE
        else:
            data[field.name] = list(value) if isinstance(value, tuple) else value
    return data


def _has_value(value: object) -> bool:
    return value is not None and not (isinstance(value, float) and not math.isfinite(value))


def pose_json(pose: Pose) -> Json:
    """Return a pose: its three angles for people, its matrix for programs."""
    angles = pose.angles
    return {
        "tilt_deg": angles.tilt_rad / RAD_PER_DEGREE,
        "roll_deg": angles.roll_rad / RAD_PER_DEGREE,
        "swing_deg": angles.swing_rad / RAD_PER_DEGREE,
        "matrix": pose.matrix.tolist(),
        "to_frame": pose.to_frame,
        "from_frame": pose.from_frame,
    }


def _advice_json(advice: Advice) -> Json:
    return {
        "pose": pose_json(advice.pose) | {"spare_mm": advice.spare_mm},
        "fill": row_json(advice.fill),
        **held_json(advice.held),
        "uplift_n": advice.uplift_n,
        "wet_mass_kg": advice.wet_mass_kg,
    }


def held_json(held: Held) -> Json:
    """Return what a part catches: the sums, and the pockets one by one."""
    return {
        "air_l": held.air_l,
        "air_error_l": held.air_error_l,
        "bare_m2": held.bare_m2,
        "carry_out_l": held.carry_out_l,
        "carry_out_error_l": held.carry_out_error_l,
        "pockets": [row_json(row) for row in held.pockets],
    }


def _least_json(least: LeastLevel | None) -> Json:
    if least is None:
        return {}
    return {
        "least_level_mm": least.level_mm,
        "least_level_at_least_mm": least.at_least_mm,
        "least_level_pose": pose_json(least.pose),
    }


def _way_json(way: WayIn | None) -> Json:
    if way is None:
        return {}
    told = {"kind": way.kind, "gap_mm": way.gap_mm, "poses": [pose_json(pose) for pose in way.poses]}
    return {"way_in": {key: value for key, value in told.items() if _has_value(value)}}
