"""The answer to `pass` as JSON: mm, litres, degrees."""

from __future__ import annotations

from fitcheck.rim.files.answer_json import Json, pose_json, row_json
from fitcheck.things.passes import Pass, PassAnswer, Window
from fitcheck.words.units import RAD_PER_DEGREE


def pass_json(answer: PassAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    data: Json = {
        "verdict": answer.verdict,
        "part": answer.part,
        "tank": answer.tank,
        "reason": answer.reason,
        "passes": [_pass(each) for each in answer.passes],
    }
    if answer.turn is not None:
        data["turn"] = answer.turn
    if answer.overlap_mm is not None:
        data["overlap_mm"] = answer.overlap_mm
    data |= {
        "windows": [_window(each) for each in answer.windows],
        "covered": answer.covered,
        "at_least_passes": answer.at_least,
        "cautions": list(answer.cautions),
    }
    return data


def _pass(each: Pass) -> Json:
    return {
        "pose": pose_json(each.pose),
        "level_mm": each.level_mm,
        "covers": each.covers,
        "fill": row_json(each.fill),
    }


def _window(window: Window) -> Json:
    return {
        "turn": window.turn,
        "tilt_deg": [window.low_rad / RAD_PER_DEGREE, window.high_rad / RAD_PER_DEGREE],
    }
