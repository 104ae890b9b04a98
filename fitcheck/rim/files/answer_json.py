"""Answers as JSON and back: lengths in mm, volumes in litres, areas in m2, masses in kg, angles in deg.

Only the cells of a proof are in radians, so that not a bit of them is lost.

A key that has no value in this case is absent; a bound that is infinite (nothing was proven) is absent too.
Floats are written with all their digits, so an answer that is read back is the same answer.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import fields, replace
from typing import Any, get_args

import numpy as np

from fitcheck.rim.files.json_values import (
    choice,
    mapping,
    number,
    numbers,
    read_fill,
    read_pose,
    rows,
    text,
    texts,
)
from fitcheck.things.answers import (
    Advice,
    Answer,
    Cure,
    Deciding,
    DoesNotFit,
    Effort,
    Fits,
    LeastLevel,
    MeasureAgain,
    NotFound,
    Proof,
    Spare,
    Verdict,
)
from fitcheck.things.pockets import Held, Pocket
from fitcheck.things.pose import Pose
from fitcheck.things.solid import frozen_array
from fitcheck.things.way_in import WayIn
from fitcheck.words.errors import Refused
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


def answer_from_json(data: object) -> Answer:
    """Return the answer that `answer_json` wrote.

    Raises `Refused`, naming the key, for anything else. Whether the answer is true is not looked at here.
    """
    whole = mapping(data, "the answer")
    verdict = text(whole, "verdict")
    reader = _READERS.get(verdict)
    if reader is None:
        raise Refused(
            f"verdict is {verdict!r}", f"an answer has one of {', '.join(map(repr, get_args(Verdict)))}"
        )
    return reader(whole)


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


def _read_way(data: Mapping[str, object]) -> WayIn | None:
    if "way_in" not in data:
        return None
    way = mapping(data["way_in"], "way_in")
    poses = tuple(read_pose({"pose": row}, "pose") for row in rows(way, "poses"))
    return WayIn(choice(way, "kind", WayIn), number(way, "gap_mm", absent=math.inf), poses)


def _read_fits(data: Mapping[str, object]) -> Fits:
    least = _read_least(data)
    if least is None:
        raise Refused("least_level_mm is missing", "give the answer as fitcheck wrote it")
    return Fits(
        *_read_head(data),
        advice=_read_advice(data),
        roomiest=read_pose(data, "roomiest_pose"),
        least=least,
        deciding=_read_deciding(data),
        cautions=texts(data, "cautions"),
        way_in=_read_way(data),
    )


def _read_does_not_fit(data: Mapping[str, object]) -> DoesNotFit:
    cures = (mapping(row, "cures") for row in rows(data, "cures"))
    return DoesNotFit(
        *_read_head(data),
        nearest=read_pose(data, "nearest_pose"),
        proof=read_proof(data),
        deciding=_read_deciding(data),
        cures=tuple(Cure(choice(c, "what", Cure), number(c, "by_mm")) for c in cures),
        cautions=texts(data, "cautions"),
    )


def _read_measure_again(data: Mapping[str, object]) -> MeasureAgain:
    return MeasureAgain(
        *_read_head(data),
        advice=_read_advice(data),
        deciding=_read_deciding(data),
        least=_read_least(data),
        cautions=texts(data, "cautions"),
    )


def _read_not_found(data: Mapping[str, object]) -> NotFound:
    return NotFound(
        *_read_head(data),
        nearest=read_pose(data, "nearest_pose"),
        next_try=text(data, "next_try"),
        deciding=_read_deciding(data),
        cautions=texts(data, "cautions"),
    )


_READERS: Mapping[str, Callable[[Mapping[str, object]], Answer]] = {
    "fits": _read_fits,
    "does not fit": _read_does_not_fit,
    "measure again": _read_measure_again,
    "not found": _read_not_found,
}


def _read_head(data: Mapping[str, object]) -> tuple[str, str, str, Spare, Effort]:
    spare = Spare(
        number(data, "spare_mm", absent=-math.inf),
        number(data, "spare_at_most_mm", absent=math.inf),
        number(data, "spare_low_mm", absent=-math.inf),
        number(data, "spare_high_mm", absent=math.inf),
    )
    effort = mapping(data.get("effort"), "effort")
    seen = Effort(int(number(effort, "cells")), number(effort, "open_share"))
    return text(data, "part"), text(data, "tank"), text(data, "reason"), spare, seen


def _read_advice(data: Mapping[str, object]) -> Advice:
    spare_mm = number(mapping(data.get("pose"), "pose"), "spare_mm")
    uplift_n, wet_mass_kg = number(data, "uplift_n"), number(data, "wet_mass_kg")
    return Advice(read_pose(data, "pose"), spare_mm, read_fill(data), _read_held(data), uplift_n, wet_mass_kg)


def _read_held(data: Mapping[str, object]) -> Held:
    return Held(tuple(_read_pocket(mapping(row, "pockets")) for row in rows(data, "pockets")))


def _read_pocket(row: Mapping[str, object]) -> Pocket:
    top = numbers(row, "top_mm")
    if top.shape != (3,):
        raise Refused("pockets.top_mm is not a place", "give its x, y and z")
    volume_l, error_l, touched_m2 = (number(row, key) for key in ("volume_l", "error_l", "touched_m2"))
    x, y, z = top.tolist()
    kind, spill_mm = choice(row, "kind", Pocket), number(row, "spill_mm")
    return Pocket(kind, volume_l, error_l, touched_m2, (x, y, z), spill_mm)


def _read_least(data: Mapping[str, object]) -> LeastLevel | None:
    if "least_level_mm" not in data:
        return None
    at_least_mm = number(data, "least_level_at_least_mm", absent=-math.inf)
    return LeastLevel(number(data, "least_level_mm"), at_least_mm, read_pose(data, "least_level_pose"))


def read_proof(data: Mapping[str, object]) -> Proof:
    """Return the proof under `proof`, or raise `Refused`."""
    proof = mapping(data.get("proof"), "proof")
    if "on_end" not in proof:
        return _read_leaves(proof)
    return replace(_read_leaves(proof), on_end=_read_leaves(mapping(proof["on_end"], "on_end")))


def _read_leaves(proof: Mapping[str, object]) -> Proof:
    middle, half = (numbers(proof, key) for key in ("middle_rad", "half_rad"))
    finite = bool(np.isfinite(middle).all() and np.isfinite(half).all())
    if not (finite and middle.shape == half.shape == (len(middle), 3)):
        raise Refused("proof is not a list of cells", "give middle_rad and half_rad with three numbers a row")
    if "middle_mm" not in proof and "half_mm" not in proof:
        return Proof(frozen_array(middle, 3), frozen_array(half, 3))
    place, wide = (numbers(proof, key) for key in ("middle_mm", "half_mm"))
    if not (
        np.isfinite(place).all() and np.isfinite(wide).all() and place.shape == wide.shape == middle.shape
    ):
        raise Refused("proof is not a list of boxes", "give middle_mm and half_mm with three numbers a row")
    return Proof(
        frozen_array(middle, 3), frozen_array(half, 3), frozen_array(place, 3), frozen_array(wide, 3)
    )


def _read_deciding(data: Mapping[str, object]) -> tuple[Deciding, ...]:
    found = (mapping(row, "deciding") for row in rows(data, "deciding"))
    return tuple(Deciding(choice(row, "side", Deciding), number(row, "spare_mm")) for row in found)
