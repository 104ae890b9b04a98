"""Answers read back from the JSON that `answer_json.py` writes."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import get_args

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
from fitcheck.things.solid import frozen_array
from fitcheck.things.way_in import WayIn
from fitcheck.words.errors import Refused


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
