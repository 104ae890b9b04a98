"""The answer to `ladder` as JSON: lengths in mm, volumes in litres, masses in kg, forces in N."""

from __future__ import annotations

from fitcheck.questions.ladder.answer import Build, LadderAnswer, LadderStep
from fitcheck.questions.lot.record import one_lot_json
from fitcheck.things.records import row_json
from fitcheck.words.json_values import Json


def ladder_json(answer: LadderAnswer) -> Json:
    """Return one answer as JSON; what has no value in this case is absent."""
    data: Json = {
        "verdict": answer.verdict,
        "mix_at_most_l": answer.mix_at_most_l,
        "bound_l": answer.bound_l,
        "without_blocks_l": answer.without_blocks_l,
        "mixed_l": answer.mixed_l,
        "steps": [_step(step) for step in answer.steps],
        "baths": [row_json(bath) for bath in answer.baths],
        "builds": [_build(build) for build in answer.builds] or None,
        "left_out": [row_json(each) for each in answer.left_out],
        "cautions": list(answer.cautions),
    }
    return {key: value for key, value in data.items() if value is not None}


def _step(step: LadderStep) -> Json:
    data: Json = {
        "work": step.work,
        "tank": step.tank,
        "lot": one_lot_json(step.lot),
        "blocks": [row_json(piece) for piece in step.blocks],
        "level_mm": step.level_mm,
        "liquid_l": step.liquid_l,
        "add_l": step.add_l,
        "without_l": step.without_l,
        "hold_down_n": step.hold_down_n,
        "can_do": step.can_do,
    }
    return {key: value for key, value in data.items() if value is not None}


def _build(build: Build) -> Json:
    return {
        "work": build.work,
        "tank": build.tank,
        "blocks": [row_json(block) for block in build.blocks],
        "mix_at_most_l": list(build.mix_l),
    }
