"""The answer to `carry` as JSON: mm and degrees."""

from __future__ import annotations

from fitcheck.rim.files.answer_json import Json
from fitcheck.things.carrying import CarryAnswer
from fitcheck.words.units import RAD_PER_DEGREE


def carry_json(answer: CarryAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    data: Json = {
        "verdict": answer.verdict,
        "part": answer.part,
        "route": answer.route,
        "reason": answer.reason,
        "path": [
            {
                "at_mm": list(step.at_mm),
                "swing_deg": step.swing_rad / RAD_PER_DEGREE,
                "tilt_deg": step.tilt_rad / RAD_PER_DEGREE,
            }
            for step in answer.path
        ],
        "width_spare_mm": answer.width_spare_mm,
        "width_spare_at_most_mm": answer.width_spare_at_most_mm,
        "pinch_mm": None if answer.pinch_mm is None else list(answer.pinch_mm),
        "slices": answer.slices,
        "cautions": list(answer.cautions),
    }
    return {key: value for key, value in data.items() if value is not None}
