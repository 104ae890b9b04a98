"""The answer to `hang` as JSON: lengths in mm, forces in N, masses in kg, angles in degrees."""

from __future__ import annotations

from fitcheck.questions.hang.answer import HangAnswer, Lower, Swung
from fitcheck.things.pose import Angles
from fitcheck.things.records import held_json, pose_json, row_json
from fitcheck.words.json_values import Json
from fitcheck.words.units import RAD_PER_DEGREE


def hang_json(answer: HangAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    hook = answer.hook
    data: Json = {
        "verdict": answer.verdict,
        "part": answer.part,
        "tank": answer.tank,
        "reason": answer.reason,
        "faults": list(answer.faults),
        "asked": _angles(answer.asked),
        "pose": pose_json(answer.pose),
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
    data |= {"notes": list(answer.notes), "cautions": list(answer.cautions)}
    return {key: value for key, value in data.items() if value is not None}


def _turned(answer: HangAnswer, swung: Swung, state: str) -> Json:
    """Return by how much the part turns in a state; nothing where it floats."""
    if swung.angles is None or swung.turn_rad is None:
        return {}
    return {
        f"{state}tilt_change_deg": (swung.angles.tilt_rad - answer.angles.tilt_rad) / RAD_PER_DEGREE,
        f"{state}roll_change_deg": (swung.angles.roll_rad - answer.angles.roll_rad) / RAD_PER_DEGREE,
        f"{state}turn_deg": swung.turn_rad / RAD_PER_DEGREE,
    }


def _lower(lower: Lower) -> Json:
    return _angles(lower.angles) | {"hook_mm": lower.hook_mm, "goes_under": lower.goes_under}


def _angles(angles: Angles) -> Json:
    return {
        "tilt_deg": angles.tilt_rad / RAD_PER_DEGREE,
        "roll_deg": angles.roll_rad / RAD_PER_DEGREE,
    }
