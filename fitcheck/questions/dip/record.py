"""A dip answer to JSON and back: mm, litres, m2, kg, degrees.

Only the cells of a proof are in radians, so that not a bit of them is lost. A key that has no value in this
case is absent; a bound that is infinite (nothing was proven) is absent too. Floats are written with all their
digits, so an answer that is read back is the same.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import get_args

from fitcheck.questions.dip.answer import (
    Advice,
    Cure,
    Deciding,
    DipAnswer,
    DoesNotFit,
    Effort,
    Fits,
    LeastLevel,
    MeasureAgain,
    NotFound,
    Spare,
)
from fitcheck.things.answer import Verdict
from fitcheck.things.records import (
    held_json,
    pose_json,
    proof_json,
    read_fill,
    read_held,
    read_pose,
    read_proof,
    row_json,
)
from fitcheck.things.shop import Shop
from fitcheck.things.way_in import WayIn
from fitcheck.words.errors import Refused
from fitcheck.words.json_values import Json, choice, mapping, number, rows, text_of, without_absent


def to_dict(answer: DipAnswer) -> Json:
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
    return without_absent(data | {"effort": row_json(answer.effort)})


def _advice_json(advice: Advice) -> Json:
    return {
        "pose": pose_json(advice.pose) | {"spare_mm": advice.spare_mm},
        "fill": row_json(advice.fill),
        **held_json(advice.held),
        "uplift_n": advice.uplift_n,
        "wet_mass_kg": advice.wet_mass_kg,
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
    return {"way_in": without_absent(told)}


def from_dict(data: Mapping[str, object], _shop: Shop) -> DipAnswer:
    """Return the answer that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    verdict = text_of(data, "verdict")
    reader = _READERS.get(verdict)
    if reader is None:
        raise Refused(
            f"verdict is {verdict!r}", f"an answer has one of {', '.join(map(repr, get_args(Verdict)))}"
        )
    return reader(data)


def _read_way(data: Mapping[str, object]) -> WayIn | None:
    if "way_in" not in data:
        return None
    way = mapping(data["way_in"], "way_in")
    poses = tuple(read_pose({"pose": row}, "pose") for row in rows(way, "poses"))
    if not poses:
        raise Refused("way_in.poses is empty", "give the answer as fitcheck wrote it")
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
    )


def _read_measure_again(data: Mapping[str, object]) -> MeasureAgain:
    return MeasureAgain(
        *_read_head(data),
        advice=_read_advice(data),
        deciding=_read_deciding(data),
        least=_read_least(data),
    )


def _read_not_found(data: Mapping[str, object]) -> NotFound:
    return NotFound(
        *_read_head(data),
        nearest=read_pose(data, "nearest_pose"),
        next_try=text_of(data, "next_try"),
        deciding=_read_deciding(data),
    )


_READERS: Mapping[str, Callable[[Mapping[str, object]], DipAnswer]] = {
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
    return text_of(data, "part"), text_of(data, "tank"), text_of(data, "reason"), spare, seen


def _read_advice(data: Mapping[str, object]) -> Advice:
    spare_mm = number(mapping(data.get("pose"), "pose"), "spare_mm")
    uplift_n, wet_mass_kg = number(data, "uplift_n"), number(data, "wet_mass_kg")
    return Advice(read_pose(data, "pose"), spare_mm, read_fill(data), read_held(data), uplift_n, wet_mass_kg)


def _read_least(data: Mapping[str, object]) -> LeastLevel | None:
    if "least_level_mm" not in data:
        return None
    at_least_mm = number(data, "least_level_at_least_mm", absent=-math.inf)
    return LeastLevel(number(data, "least_level_mm"), at_least_mm, read_pose(data, "least_level_pose"))


def _read_deciding(data: Mapping[str, object]) -> tuple[Deciding, ...]:
    found = (mapping(row, "deciding") for row in rows(data, "deciding"))
    return tuple(Deciding(choice(row, "side", Deciding), number(row, "spare_mm")) for row in found)
