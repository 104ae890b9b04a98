"""What a part measures as JSON and back: mm, litres, m2, kg."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.questions.measure.answer import Measured
from fitcheck.things.records import read_place
from fitcheck.things.shop import Shop
from fitcheck.words.json_values import Json, flag, given_rows, number, text_of, texts


def to_dict(answer: Measured) -> Json:
    """Return one answer as JSON."""
    return {
        "part": answer.part,
        "size_mm": list(answer.size_mm),
        "volume_l": answer.volume_l,
        "area_m2": answer.area_m2,
        "mass_kg": answer.mass_kg,
        "closed": answer.closed,
        "sealed_l": answer.sealed_l,
        "notes": list(answer.notes),
    }


def from_dict(data: Mapping[str, object], _shop: Shop) -> Measured:
    """Return the answer that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    given_rows(data, "notes")
    return Measured(
        part=text_of(data, "part"),
        size_mm=read_place(data, "size_mm"),
        volume_l=number(data, "volume_l"),
        area_m2=number(data, "area_m2"),
        mass_kg=number(data, "mass_kg"),
        closed=flag(data, "closed"),
        sealed_l=number(data, "sealed_l"),
        notes=texts(data, "notes"),
    )
