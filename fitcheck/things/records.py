"""Nouns of the shop to JSON and back: mm, litres, m2, kg, degrees."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Any

import numpy as np

from fitcheck.things.fill import Fill
from fitcheck.things.pockets import Held, Pocket
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.proof import Proof
from fitcheck.things.solid import frozen_array
from fitcheck.words.errors import Refused
from fitcheck.words.json_values import Json, choice, given_rows, has_value, mapping, number, numbers, text_of
from fitcheck.words.units import RAD_PER_DEGREE


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
        if not has_value(value):
            continue
        if field.name.endswith("_rad"):
            data[field.name.removesuffix("rad") + "deg"] = value / RAD_PER_DEGREE
        else:
            data[field.name] = list(value) if isinstance(value, tuple) else value
    return data


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


def read_proof(data: Mapping[str, object]) -> Proof:
    """Return the proof under `proof`, or raise `Refused`."""
    proof = mapping(data.get("proof"), "proof")
    if "on_end" not in proof:
        return _read_leaves(proof)
    return replace(_read_leaves(proof), on_end=_read_leaves(mapping(proof["on_end"], "on_end")))


# Angles taken from a matrix are off by the root of rounding where the part stands on end.
SAME_TURN = 1e-7


def read_pose(data: Mapping[str, object], key: str) -> Pose:
    """Read the matrix, which alone says what the pose is; the three angles beside it must say the same."""
    pose = mapping(data.get(key), key)
    matrix = numbers(pose, "matrix")
    if matrix.shape != (4, 4) or not np.array_equal(matrix[3], [0.0, 0.0, 0.0, 1.0]):
        raise Refused(f"{key}.matrix is not a 4 x 4 move", "give its four rows, the last one 0 0 0 1")
    told = Angles(*(number(pose, f"{name}_deg") * RAD_PER_DEGREE for name in ("tilt", "roll", "swing")))
    if np.abs(rotation_from(told) - matrix[:3, :3]).max() > SAME_TURN:
        raise Refused(
            f"{key}: its angles and its matrix are not the same turn", "give both as fitcheck wrote them"
        )
    return Pose(text_of(pose, "to_frame"), text_of(pose, "from_frame"), matrix[:3, :3], matrix[:3, 3])


def read_fill(data: Mapping[str, object]) -> Fill:
    """Read the liquid of a pose."""
    fill = mapping(data.get("fill"), "fill")
    return Fill(*(number(fill, field.name) for field in fields(Fill)))


def read_held(data: Mapping[str, object]) -> Held:
    """Read what a part catches: the pockets one by one, of which the sums are made again."""
    return Held(tuple(_read_pocket(mapping(row, "pockets")) for row in given_rows(data, "pockets")))


def read_place(data: Mapping[str, object], key: str) -> tuple[float, float, float]:
    """Read a place, or a size: x, y, z."""
    place = numbers(data, key)
    if place.shape != (3,) or not np.isfinite(place).all():
        raise Refused(f"{key} is not three numbers", "give its x, y and z")
    x, y, z = place.tolist()
    return x, y, z


def _read_pocket(row: Mapping[str, object]) -> Pocket:
    volume_l, error_l, touched_m2 = (number(row, key) for key in ("volume_l", "error_l", "touched_m2"))
    kind, spill_mm = choice(row, "kind", Pocket), number(row, "spill_mm")
    return Pocket(kind, volume_l, error_l, touched_m2, read_place(row, "top_mm"), spill_mm)


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
