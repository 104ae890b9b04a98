"""The answer to `tank-for` as JSON and back: mm, litres."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fitcheck.questions.tank_for.answer import NewTank, TankForAnswer
from fitcheck.things.answer import Verdict
from fitcheck.things.records import row_json
from fitcheck.things.shop import Shop
from fitcheck.things.stock import Panel
from fitcheck.words.errors import Refused
from fitcheck.words.json_rows import AS_WRITTEN, row_list, row_of, rows_of, value_of
from fitcheck.words.json_values import Json, mapping, texts


def to_dict(answer: TankForAnswer) -> Json:
    """Return one answer as JSON; in_two is null where no tank for two passes was found on less liquid."""
    return {
        "parts": list(answer.parts),
        "tanks": [_tank_json(tank) for tank in answer.tanks],
        "at_least_l": answer.at_least_l,
        "proven_parts": dict(answer.proven_parts),
        "checked": dict(answer.checked),
        "in_two": None if answer.in_two is None else _tank_json(answer.in_two),
        "in_two_passes": dict(answer.in_two_passes),
        "board_mm": answer.board_mm,
    }


def from_dict(data: Mapping[str, object], _shop: Shop) -> TankForAnswer:
    """Return the answer that `to_dict` wrote; raises `Refused`, naming the key, for anything else."""
    tanks = tuple(_read_tank(row, f"tanks[{k}]") for k, row in enumerate(row_list(data, "tanks")))
    if not tanks:
        raise Refused("tanks is empty", AS_WRITTEN)
    if "in_two" not in data:
        raise Refused("in_two is missing", AS_WRITTEN)
    return row_of(
        TankForAnswer,
        data,
        tanks=tanks,
        proven_parts=_by_part(float, data, "proven_parts"),
        checked=_by_part(Verdict, data, "checked"),
        in_two=None if data["in_two"] is None else _read_tank(data["in_two"], "in_two"),
        in_two_passes=_by_part(int, data, "in_two_passes"),
    )


def _tank_json(tank: NewTank) -> Json:
    return row_json(tank) | {"panels": [row_json(panel) for panel in tank.panels]}


def _read_tank(data: object, name: str) -> NewTank:
    row = mapping(data, name)
    return row_of(NewTank, row, name, panels=rows_of(Panel, row, "panels", name))


def _by_part(kind: Any, data: Mapping[str, object], key: str) -> tuple[tuple[str, Any], ...]:
    """Return what a table says of each part, in its order; of two passes it may say nothing at all."""
    table = mapping(data.get(key), key)
    if set(table) != set(texts(data, "parts")) and (table or key != "in_two_passes"):
        raise Refused(f"{key} is not of the parts that are named in parts", AS_WRITTEN)
    return tuple((part, value_of(kind, value, f"{key}.{part}")) for part, value in table.items())
