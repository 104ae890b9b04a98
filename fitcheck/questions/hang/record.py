"""The answer to `hang` as JSON and back: lengths in mm, forces in N, masses in kg, angles in degrees.

The three ways it hangs stand there in radians too, so that not a bit of them is lost: by how much it turns is
the difference of two of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast, get_args

import numpy as np

from fitcheck.questions.hang.answer import HangAnswer, HangFault, Leg, Lower, Rig, Swung
from fitcheck.things.hook import Hook
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.records import (
    SAME_TURN,
    held_json,
    pose_json,
    read_held,
    read_place,
    read_pose,
    row_json,
)
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused
from fitcheck.words.json_values import (
    Json,
    choice,
    flag,
    given_rows,
    mapping,
    number,
    numbers,
    text_of,
    texts,
)
from fitcheck.words.units import RAD_PER_DEGREE, radians_of

AS_WRITTEN = "give the answer as fitcheck wrote it"
# Told of the rest: read back, they must follow from it.
_TURNS = ("tilt_change_deg", "roll_change_deg")
_SUMS = ("air_l", "air_error_l", "bare_m2", "carry_out_l", "carry_out_error_l")
FOLLOW = (*_TURNS, *(f"breakout_{key}" for key in _TURNS), *_SUMS)


def to_dict(answer: HangAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    hook = answer.hook
    data: Json = {
        "verdict": answer.verdict,
        "part": answer.part,
        "tank": answer.tank,
        "reason": answer.reason,
        "faults": list(answer.faults),
        "asked": _angles(answer.wanted),
        "pose": pose_json(answer.pose),
        "angles_rad": list(answer.angles),
        "legs": [row_json(leg) for leg in answer.legs],
        "proposed": answer.proposed,
        "rise_mm": answer.rise_mm,
        "least_rise_mm": answer.least_rise_mm,
        "hook_at_mm": list(answer.hook_at_mm),
        "over_top_mm": answer.over_top_mm,
        "hook_mm": hook.needed_mm,
        "hook_height_mm": hook.height_mm,
        "hook_spare_mm": hook.spare_mm,
        "least_hook_mm": hook.least_mm,
        "rim_clear_mm": hook.clear_mm,
        "tape_mm": hook.tape_mm,
        "missing": list(answer.missing),
        "mass_kg": answer.mass_kg,
        "wet_mass_kg": answer.wet_mass_kg,
        "dry_n": answer.dry_n,
        "under_n": answer.under.hook_n,
        "breakout_n": answer.breakout.hook_n,
        "below_picks_mm": answer.below_mm,
        **_turned(answer, answer.under, ""),
        **_turned(answer, answer.breakout, "breakout_"),
        **held_json(answer.held),
        "sag_mm": answer.sag_mm,
        "rigs": [row_json(rig) for rig in answer.rigs],
    }
    if answer.lower is not None:
        data["lower"] = _lower(answer.lower)
    data["notes"] = list(answer.notes)
    return {key: value for key, value in data.items() if value is not None}


def _turned(answer: HangAnswer, swung: Swung, state: str) -> Json:
    """Return by how much the part turns in a state; nothing where it floats."""
    if swung.angles is None or swung.turn_rad is None:
        return {}
    return {
        f"{state}tilt_change_deg": (swung.angles.tilt_rad - answer.angles.tilt_rad) / RAD_PER_DEGREE,
        f"{state}roll_change_deg": (swung.angles.roll_rad - answer.angles.roll_rad) / RAD_PER_DEGREE,
        f"{state}turn_deg": swung.turn_rad / RAD_PER_DEGREE,
        f"{state or 'under_'}angles_rad": list(swung.angles),
    }


def _lower(lower: Lower) -> Json:
    return _angles(lower.angles) | {"hook_mm": lower.hook_mm, "goes_under": lower.goes_under}


def _angles(angles: Angles) -> Json:
    return {
        "tilt_deg": angles.tilt_rad / RAD_PER_DEGREE,
        "roll_deg": angles.roll_rad / RAD_PER_DEGREE,
    }


def from_dict(data: Mapping[str, object], _shop: Shop) -> HangAnswer:
    """Return the answer that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    pose, angles = read_pose(data, "pose"), _read_angles(data, "angles_rad")
    under, missing = _read_swung(data, "under_"), _read_texts(data, "missing")
    if np.abs(rotation_from(angles) - pose.rotation).max() > SAME_TURN:
        raise Refused("angles_rad and pose are not the same turn", AS_WRITTEN)
    answer = HangAnswer(
        part=text_of(data, "part"),
        tank=text_of(data, "tank"),
        verdict=choice(data, "verdict", HangAnswer),
        reason=text_of(data, "reason"),
        faults=_read_faults(data),
        wanted=_read_way(mapping(data.get("asked"), "asked")),
        angles=angles,
        pose=pose,
        hook_at_mm=read_place(data, "hook_at_mm"),
        rise_mm=number(data, "rise_mm"),
        least_rise_mm=number(data, "least_rise_mm"),
        over_top_mm=number(data, "over_top_mm"),
        below_mm=number(data, "below_picks_mm"),
        proposed=flag(data, "proposed"),
        legs=tuple(_read_leg(mapping(row, "legs"), under) for row in given_rows(data, "legs")),
        hook=_read_hook(data, missing),
        mass_kg=number(data, "mass_kg"),
        wet_mass_kg=number(data, "wet_mass_kg"),
        dry_n=number(data, "dry_n"),
        under=under,
        breakout=_read_swung(data, "breakout_"),
        held=read_held(data),
        sag_mm=number(data, "sag_mm") if "sag_mm" in data else None,
        rigs=tuple(_read_rig(mapping(row, "rigs"), missing) for row in given_rows(data, "rigs")),
        lower=_read_lower(mapping(data["lower"], "lower")) if "lower" in data else None,
        missing=missing,
        notes=_read_texts(data, "notes"),
    )
    told = to_dict(answer)
    for key in FOLLOW:
        if data.get(key) != told.get(key):
            raise Refused(f"{key} does not follow from the rest of the answer", AS_WRITTEN)
    return answer


def _read_texts(data: Mapping[str, object], key: str) -> tuple[str, ...]:
    given_rows(data, key)
    return texts(data, key)


def _read_faults(data: Mapping[str, object]) -> tuple[HangFault, ...]:
    faults = _read_texts(data, "faults")
    if not set(faults) <= set(get_args(HangFault)):
        raise Refused(f"faults are {', '.join(faults)}", f"each is one of {', '.join(get_args(HangFault))}")
    return cast(tuple[HangFault, ...], faults)


def _read_angles(data: Mapping[str, object], key: str) -> Angles:
    """Read tilt, roll and swing in radians."""
    found = numbers(data, key)
    if found.shape != (3,) or not np.isfinite(found).all():
        raise Refused(f"{key} is not three numbers", "give tilt, roll and swing, in radians")
    return Angles(*found.tolist())


def _read_way(row: Mapping[str, object]) -> Angles:
    """Read tilt and roll in degrees; swung it hangs alike."""
    return Angles(*(radians_of(number(row, f"{name}_deg")) for name in ("tilt", "roll")))


def _read_leg(row: Mapping[str, object], under: Swung) -> Leg:
    return Leg(
        pick_mm=read_place(row, "pick_mm"),
        length_mm=number(row, "length_mm"),
        angle_rad=radians_of(number(row, "angle_deg")),
        factor=number(row, "factor"),
        tension_n=number(row, "tension_n"),
        under_n=None if under.angles is None else number(row, "under_n"),
        breakout_n=number(row, "breakout_n"),
        bent=flag(row, "bent"),
    )


def _read_hook(data: Mapping[str, object], missing: tuple[str, ...]) -> Hook:
    """Read how high the hook must go, as far as the heights that it takes are not missing."""
    return Hook(
        needed_mm=_height(data, "hook_mm", "rim_height" not in missing),
        height_mm=_height(data, "hook_height_mm", "hook_height" not in missing),
        spare_mm=_height(data, "hook_spare_mm", not missing),
        least_mm=_height(data, "least_hook_mm", "rim_height" not in missing),
        clear_mm=number(data, "rim_clear_mm"),
        tape_mm=number(data, "tape_mm"),
    )


def _height(data: Mapping[str, object], key: str, is_told: bool) -> float | None:
    if not is_told and key in data:
        raise Refused(f"{key} takes a height that is missing", AS_WRITTEN)
    return number(data, key) if is_told else None


def _read_swung(data: Mapping[str, object], state: str) -> Swung:
    hook_n, key = number(data, f"{state}n"), f"{state}angles_rad"
    if hook_n <= 0.0:
        if key in data:
            raise Refused(f"{key} is told of a part that floats", AS_WRITTEN)
        return Swung(hook_n, None, None)
    turn = f"{state.removeprefix('under_')}turn_deg"
    return Swung(hook_n, _read_angles(data, key), radians_of(number(data, turn)))


def _read_rig(row: Mapping[str, object], missing: tuple[str, ...]) -> Rig:
    kind = choice(row, "kind", Rig)
    spreads = kind == "spreader"
    return Rig(
        kind=kind,
        length_mm=number(row, "length_mm"),
        loads_n=_read_two(row, "loads_n"),
        breakout_n=_read_two(row, "breakout_n"),
        upper_n=_read_two(row, "upper_n") if spreads else None,
        push_n=number(row, "push_n") if spreads else None,
        hook_mm=_height(row, "hook_mm", "rim_height" not in missing),
        hook_spare_mm=_height(row, "hook_spare_mm", not missing),
    )


def _read_two(row: Mapping[str, object], key: str) -> tuple[float, float]:
    found: Any = numbers(row, key)
    if found.shape != (2,) or not np.isfinite(found).all():
        raise Refused(f"{key} is not two numbers", "give the pull in each of the two slings")
    one, other = found.tolist()
    return one, other


def _read_lower(row: Mapping[str, object]) -> Lower:
    return Lower(_read_way(row), number(row, "hook_mm"), flag(row, "goes_under"))
