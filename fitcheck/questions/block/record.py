"""The answer to `block` as JSON: mm, litres, N, kg."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.questions.block.answer import BlockAnswer, Design
from fitcheck.things.records import pose_json, row_json
from fitcheck.words.json_values import Json


def block_json(answer: BlockAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    data: Json = {
        "tank": answer.tank,
        "parts": list(answer.parts),
        "without_l": answer.without_l,
        "bound_l": answer.bound_l,
        "saves_share": answer.saves_share,
        "designs": [_design(design, answer.parts) for design in answer.designs],
        "load": {
            **row_json(answer.load),
            "floor_sags": [row_json(sag) for sag in answer.load.floor_sags],
        },
        "ways_tried": answer.ways_tried,
        "unbuilt": list(answer.unbuilt),
        "cautions": list(answer.cautions),
    }
    if answer.price_per_l is not None and answer.designs:
        data["saves_money"] = answer.designs[0].saves_l * answer.price_per_l
    return data


def _design(design: Design, parts: Sequence[str]) -> Json:
    data = {
        "kind": design.kind,
        "pieces": [row_json(piece) for piece in design.pieces],
        "pose": pose_json(design.pose),
        "poses": [
            {"part": name, "pose": pose_json(pose)} for name, pose in zip(parts, design.poses, strict=True)
        ],
        "level_mm": design.level_mm,
        "liquid_l": design.liquid_l,
        "saves_l": design.saves_l,
        "uplift_n": design.uplift_n,
        "hold_down_n": design.hold_down_n,
        "ballast_kg": design.ballast_kg,
        "thrust_n": design.thrust_n,
        "empty_mass_kg": design.empty_mass_kg,
        "lifts_at_mm": design.lifts_at_mm,
        "metacentre_mm": design.metacentre_mm,
        "bending": None if design.bending is None else row_json(design.bending),
        "ballast": None if design.ballast is None else row_json(design.ballast),
        "filling": [row_json(step) for step in design.filling],
        "reason": design.reason,
        "panels": [row_json(panel) for panel in design.panels],
        "sheets": [[row_json(cut) for cut in sheet.cuts] for sheet in design.sheets],
        "sheets_at_least": design.sheets_at_least,
    }
    return {key: value for key, value in data.items() if value is not None}
