"""The answer to `mix` as JSON and back: mm, litres, kg, square metres."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fitcheck.questions.mix.answer import Carried, MixAnswer, Rinse, StaticRinse
from fitcheck.things.liquid import Recipe
from fitcheck.things.make_up import MakeUp
from fitcheck.things.records import row_json
from fitcheck.things.shop import Shop
from fitcheck.words.json_rows import row_of, rows_of
from fitcheck.words.json_values import Json, mapping
from fitcheck.words.strength import Strength


def to_dict(answer: MixAnswer) -> Json:
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
        "left_over": made.left_over,
        "recipe": _recipe_json(answer.recipe),
    }
    return {key: value for key, value in data.items() if value is not None}


def from_dict(data: Mapping[str, object], _shop: Shop) -> MixAnswer:
    """Return the answer that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    recipe = _read_recipe(data)
    return row_of(
        MixAnswer,
        data,
        make_up=row_of(MakeUp, data, strength=recipe.strength),
        carried=rows_of(Carried, data, "carried"),
        drip=tuple((row.seconds, row.drag_out_l) for row in rows_of(_Drip, data, "drip")),
        rinses=rows_of(Rinse, data, "rinses"),
        static=row_of(StaticRinse, data["static_rinse"], "static_rinse") if "static_rinse" in data else None,
        left_out=tuple((row.part, row.reason) for row in rows_of(_LeftOut, data, "left_out")),
        recipe=recipe,
    )


@dataclass(frozen=True, slots=True)
class _Drip:
    seconds: float
    drag_out_l: float


@dataclass(frozen=True, slots=True)
class _LeftOut:
    part: str
    reason: str


def _recipe_json(recipe: Recipe) -> Json:
    told = row_json(recipe)
    return told if recipe.strength is None else told | {"strength": row_json(recipe.strength)}


def _read_recipe(data: Mapping[str, object]) -> Recipe:
    recipe = mapping(data.get("recipe"), "recipe")
    strength = row_of(Strength, recipe["strength"], "recipe.strength") if "strength" in recipe else None
    return row_of(Recipe, recipe, "recipe", strength=strength)
