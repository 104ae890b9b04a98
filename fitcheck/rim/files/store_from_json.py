"""What `store --json` wrote, read back. Whether it is true is not looked at here."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.rim.files.json_values import choice, mapping, number, numbers, read_pose, rows, text, texts
from fitcheck.things.stored import ToldPlace, ToldStore
from fitcheck.words.errors import Refused


def store_from_json(data: object) -> ToldStore:
    """Return the answer that was told; raises `Refused`, naming the key, for anything else."""
    whole = mapping(data, "the answer")
    left = [mapping(row, "left_out") for row in rows(whole, "left_out")]
    return ToldStore(
        text(whole, "rack"),
        choice(whole, "verdict", ToldStore),
        tuple(_place(mapping(row, "places")) for row in rows(whole, "places")),
        tuple((text(row, "part"), round(number(row, "count"))) for row in left),
        round(number(whole, "at_least_racks")) if "at_least_racks" in whole else None,
        texts(whole, "parts") if "parts" in whole else None,
    )


def _place(row: Mapping[str, object]) -> ToldPlace:
    where = round(number(row, "rail")) - 1 if "rail" in row else text(row, "bay")
    size = numbers(row, "size_mm")
    if size.shape != (3,):
        raise Refused("size_mm is not three lengths", "give the answer as fitcheck wrote it")
    hook = number(row, "hook_kg") if "hook_kg" in row else None
    sides = (float(size[0]), float(size[1]), float(size[2]))
    return ToldPlace(
        text(row, "part"),
        round(number(row, "number")),
        where,
        read_pose(row, "pose"),
        number(row, "along_mm"),
        sides,
        hook,
    )
