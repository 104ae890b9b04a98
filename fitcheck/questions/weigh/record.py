"""A weighing to JSON and back: kg, N, litres, degrees."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields

from fitcheck.questions.weigh.answer import WeighAnswer
from fitcheck.things.pose import Angles
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused
from fitcheck.words.json_values import Json, number, text_of
from fitcheck.words.units import RAD_PER_DEGREE

# In the order in which they stand.
FIGURES = tuple(field.name for field in fields(WeighAnswer) if field.type == "float")


def to_dict(answer: WeighAnswer) -> Json:
    """Return an answer as JSON."""
    return {
        "part": answer.part,
        "tank": answer.tank,
        "tilt_deg": answer.angles.tilt_rad / RAD_PER_DEGREE,
        "roll_deg": answer.angles.roll_rad / RAD_PER_DEGREE,
        "swing_deg": answer.angles.swing_rad / RAD_PER_DEGREE,
        "advised": answer.advised,
        **{name: getattr(answer, name) for name in FIGURES},
    }


def from_dict(data: Mapping[str, object], _shop: Shop) -> WeighAnswer:
    """Return the answer that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    if not isinstance(data.get("advised"), bool):
        raise Refused("advised is missing or is not true or false", "give the answer as fitcheck wrote it")
    turned = (number(data, f"{name}_deg") * RAD_PER_DEGREE for name in ("tilt", "roll", "swing"))
    figures = (number(data, name) for name in FIGURES)
    advised = data["advised"] is True
    return WeighAnswer(text_of(data, "part"), text_of(data, "tank"), Angles(*turned), advised, *figures)
