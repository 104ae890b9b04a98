"""The answer to `as-built` as JSON and back: mm, litres, square metres."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.questions.as_built.answer import AsBuilt, Change, corrected_tank
from fitcheck.things.reading import Reading
from fitcheck.things.records import read_place, row_json
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.json_rows import check_agrees, row_list, row_of, rows_of
from fitcheck.words.json_values import Json, mapping, number, text_of
from fitcheck.words.units import MM2_PER_M2


def to_dict(answer: AsBuilt) -> Json:
    """Return one answer as JSON; what has no value in this case is absent.

    The plan stands there twice: in square metres for people, in mm2 so that not a digit of it is lost.
    """
    data = {
        "tank": answer.tank.name,
        "inside_was_mm": list(answer.tank.size_mm),
        "inside_mm": list(answer.corrected.size_mm),
        "tape_tank_mm": answer.corrected.rules.tape_tank_mm,
        "plan_m2": answer.floor_mm2 / MM2_PER_M2,
        "plan_error_m2": answer.floor_error_mm2 / MM2_PER_M2,
        "bow_mm": answer.bow_mm,
        "bow_error_mm": answer.bow_error_mm,
        "misfit": answer.misfit,
        "readings": [
            row_json(reading) | {"left_l": left}
            for reading, left in zip(answer.readings, answer.left_l, strict=True)
        ],
        "card": answer.card,
        "changes": [row_json(change) | {"changed": change.is_one} for change in answer.changes],
        "floor_mm2": answer.floor_mm2,
        "floor_error_mm2": answer.floor_error_mm2,
        "shows_bow": answer.shows_bow,
    }
    return {key: value for key, value in data.items() if value is not None}


def from_dict(data: Mapping[str, object], shop: Shop) -> AsBuilt:
    """Return the answer that `to_dict` wrote, of a tank of this shop.

    Raises `Refused`, naming the key, for anything else, and where the shop has no such tank of that size.
    """
    tank = _tank(data, shop)
    readings = rows_of(Reading, data, "readings")
    answer = row_of(
        AsBuilt,
        data,
        tank=tank,
        corrected=corrected_tank(tank, read_place(data, "inside_mm"), number(data, "tape_tank_mm")),
        readings=readings,
        left_l=tuple(number(mapping(row, "readings"), "left_l") for row in row_list(data, "readings")),
        changes=rows_of(Change, data, "changes"),
    )
    check_agrees(data, "plan_m2", answer.floor_mm2 / MM2_PER_M2)
    check_agrees(data, "plan_error_m2", answer.floor_error_mm2 / MM2_PER_M2)
    check_agrees(data, "card", answer.card)
    for k, (row, change) in enumerate(zip(row_list(data, "changes"), answer.changes, strict=True)):
        check_agrees(mapping(row, "changes"), "changed", change.is_one, f"changes[{k}]")
    return answer


def _tank(data: Mapping[str, object], shop: Shop) -> Tank:
    """Return the tank as it was taped; the shop must have it still."""
    name = text_of(data, "tank")
    if name not in shop.tanks:
        raise Refused(f"tank is {name!r}, which this shop does not have", "give the shop that was asked of")
    tank = shop.tanks[name]
    if read_place(data, "inside_was_mm") != tank.size_mm:
        raise Refused(
            f"inside_was_mm is not what the shop has of {name}", "give the shop as it was when it was asked"
        )
    return tank
