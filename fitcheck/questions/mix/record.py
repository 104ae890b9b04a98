"""The answer to `mix` as JSON: mm, litres, kg, square metres."""

from __future__ import annotations

from fitcheck.questions.mix.answer import MixAnswer
from fitcheck.things.records import row_json
from fitcheck.words.json_values import Json


def mix_json(answer: MixAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    made = answer.make_up
    data = {
        "tank": answer.tank,
        "liquid": answer.liquid,
        "level_mm": answer.level_mm,
        "liquid_l": answer.liquid_l,
        "concentrate_l": made.concentrate_l,
        "concentrate_kg": made.concentrate_kg,
        "water_l": made.water_l,
        "top_up_l": made.top_up_l,
        "top_up_kg": made.top_up_kg,
        "containers": made.containers,
        "drag_out_l": answer.drag_out_l,
        "drag_out_most_l": answer.drag_out_most_l,
        "carried": [row_json(row) for row in answer.carried],
        "drip": [{"seconds": seconds, "drag_out_l": litres} for seconds, litres in answer.drip],
        "rinse_ratio": answer.rinse_ratio,
        "rinse_stages": answer.rinse_stages,
        "rinse_flow_l": answer.rinse_flow_l,
        "rinses": [row_json(row) for row in answer.rinses],
        "static_rinse": row_json(answer.static) if answer.static else None,
        "area_m2": answer.area_m2,
        "area_at_most_m2": answer.area_at_most_m2,
        "left_out": [{"part": part, "reason": reason} for part, reason in answer.left_out],
        "cautions": list(answer.cautions),
    }
    return {key: value for key, value in data.items() if value is not None}
