"""How a bath is made up of concentrate and water, and what is bought for it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fitcheck.things.gist import Noun
from fitcheck.things.liquid import Recipe
from fitcheck.words.strength import Strength


@dataclass(frozen=True, slots=True, repr=False)
class MakeUp(Noun):
    """How a bath is mixed and what is bought.

    concentrate_l or concentrate_kg: in the bath, by volume or by weight; both None without a strength.
    water_l: added to it (volumes taken as adding up; a powder as taking up no room). top_up_l, top_up_kg:
    concentrate for what the parts carry off. containers: whole ones for both; left_over: in them, in the
    container's own measure; None where no container is known.
    """

    strength: Strength | None
    concentrate_l: float | None
    concentrate_kg: float | None
    water_l: float
    top_up_l: float | None
    top_up_kg: float | None
    containers: int | None
    left_over: float | None


def make_up(recipe: Recipe, liquid_l: float, drag_out_l: float = 0.0) -> MakeUp:
    """Return concentrate, water and whole containers for a bath, topped up for what is carried off."""
    strength = recipe.strength
    if strength is None:
        return MakeUp(None, None, None, liquid_l, None, None, None, None)
    if strength.share is not None:
        concentrate, top_up = strength.share * liquid_l, strength.share * drag_out_l
        count, left = _containers(concentrate + top_up, recipe.container_l)
        return MakeUp(strength, concentrate, None, liquid_l - concentrate, top_up, None, count, left)
    by_weight = strength.kg_l or 0.0
    count, left = _containers(by_weight * (liquid_l + drag_out_l), recipe.container_kg)
    return MakeUp(strength, None, by_weight * liquid_l, liquid_l, None, by_weight * drag_out_l, count, left)


def _containers(amount: float, size: float | None) -> tuple[int | None, float | None]:
    if size is None:
        return None, None
    # An amount that is a whole number of containers but for rounding does not need one more.
    count = max(1, math.ceil(amount / size * (1.0 - 1e-12)))
    return count, count * size - amount
