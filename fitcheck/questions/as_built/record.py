"""The answer to `as-built` as JSON, and the tank's corrected lines for the shop file."""

from __future__ import annotations

from fitcheck.questions.as_built.answer import AsBuilt
from fitcheck.things.records import row_json
from fitcheck.words.json_values import Json
from fitcheck.words.units import MM2_PER_M2


def as_built_json(answer: AsBuilt) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    tape = answer.corrected.rules.tape_tank_mm
    data = {
        "tank": answer.tank.name,
        "inside_was_mm": list(answer.tank.size_mm),
        "inside_mm": list(answer.corrected.size_mm),
        "tape_tank_mm": tape,
        "plan_m2": answer.floor_mm2 / MM2_PER_M2,
        "plan_error_m2": answer.floor_error_mm2 / MM2_PER_M2,
        "bow_mm": answer.bow_mm,
        "bow_error_mm": answer.bow_error_mm,
        "misfit": answer.misfit,
        "readings": [
            row_json(reading) | {"left_l": left}
            for reading, left in zip(answer.readings, answer.left_l, strict=True)
        ],
        "card": tank_card(answer),
        "changes": [row_json(change) | {"changed": change.is_one} for change in answer.changes],
        "cautions": list(answer.cautions),
    }
    return {key: value for key, value in data.items() if value is not None}


def tank_card(answer: AsBuilt) -> str:
    """Return the lines that stand for the tank's own in the shop file."""
    sides = ", ".join(f'"{side:.1f} mm"' for side in answer.corrected.size_mm)
    name = answer.tank.name
    heading = name if name.isidentifier() else f'"{name}"'
    tape = answer.corrected.rules.tape_tank_mm
    return f'[tanks.{heading}]\ninside    = [{sides}]\ntape_tank = "{tape:.1f} mm"'
