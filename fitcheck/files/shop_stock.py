"""The [stock] of a shop file: what blocks are made of, and what one person lifts."""

from __future__ import annotations

from dataclasses import fields, replace

from fitcheck.files.shop_words import length_above_zero, length_from_zero, mass_above_zero
from fitcheck.files.toml_table import Table
from fitcheck.things.stock import Stock

_LENGTHS = {"sheet_thickness": "sheet_thickness_mm", "thinnest": "thinnest_mm"}
_FROM_ZERO = {"lining": "lining_mm", "gap": "gap_mm"}
_KEYS = ("sheet", *_LENGTHS, *_FROM_ZERO, "lift")


def read_stock(table: Table) -> Stock:
    """Return what the shop says of its stock; what it does not say is as `Stock` has it."""
    table.only(_KEYS, "[stock]")
    told: dict[str, object] = {}
    for key, field in _LENGTHS.items():
        told[field] = table.read(key, length_above_zero)
    for key, field in _FROM_ZERO.items():
        told[field] = table.read(key, length_from_zero)
    told["lift_kg"] = table.read("lift", mass_above_zero)
    if "sheet" in table:
        sides = [item.read(length_above_zero) for item in table.entry("sheet").items('["8 ft", "4 ft"]')]
        if len(sides) == 2 and sides[0] is not None and sides[1] is not None:
            told["sheet_mm"] = max(sides[0], sides[1]), min(sides[0], sides[1])
        elif None not in sides:
            table.entry("sheet").fault("a sheet has a length and a width", 'write sheet = ["8 ft", "4 ft"]')
    stock = Stock()
    known = {field.name for field in fields(stock)}
    return replace(stock, **{key: value for key, value in told.items() if value is not None and key in known})  # type: ignore[arg-type]
