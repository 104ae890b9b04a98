"""The answer to `lot` as JSON: lengths in mm, volumes in litres, masses in kg, angles in degrees."""

from __future__ import annotations

from fitcheck.rim.files.answer_json import Json, pose_json, row_json
from fitcheck.things.lots import Lot, LotAnswer, LotPart


def lot_json(answer: LotAnswer) -> Json:
    """Return one answer as JSON."""
    return {
        "verdict": answer.verdict,
        "lots": [one_lot_json(lot) for lot in answer.lots],
        "at_least_lots": answer.at_least_lots,
        "works": [row_json(work) for work in answer.works],
        "left_out": [row_json(each) for each in answer.left_out],
        "cautions": list(answer.cautions),
    }


def one_lot_json(lot: Lot) -> Json:
    """Return one load; the gap is absent for a part alone."""
    data: Json = {
        "work": lot.work,
        "tank": lot.tank,
        "parts": [_part(each) for each in lot.parts],
        "level_mm": lot.level_mm,
        "rise_mm": lot.rise_mm,
        "liquid_l": lot.liquid_l,
        "air_l": lot.air_l,
        "wet_kg": lot.wet_kg,
        "gap_mm": lot.gap_mm,
    }
    return {key: value for key, value in data.items() if value is not None}


def _part(each: LotPart) -> Json:
    hook: Json = {} if each.hook_mm is None else {"hook_mm": each.hook_mm}
    return {"part": each.part, "number": each.number, "pose": pose_json(each.pose), **hook}
