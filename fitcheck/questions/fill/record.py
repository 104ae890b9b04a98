"""The dip-stick of a tank as JSON and back: mm, litres."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields

from fitcheck.questions.fill.answer import FillAnswer, FillRow
from fitcheck.things.records import row_json
from fitcheck.things.shop import Shop
from fitcheck.words.json_values import Json, given_rows, mapping, number, text_of


def to_dict(answer: FillAnswer) -> Json:
    """Return one answer as JSON."""
    return {"tank": answer.tank, "rows": [row_json(row) for row in answer.rows]}


def from_dict(data: Mapping[str, object], _shop: Shop) -> FillAnswer:
    """Return the answer that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    found = (mapping(row, "rows") for row in given_rows(data, "rows"))
    names = [field.name for field in fields(FillRow)]
    rows = tuple(FillRow(*(number(row, name) for name in names)) for row in found)
    return FillAnswer(text_of(data, "tank"), rows)
