"""The [racks] of a shop file."""

from __future__ import annotations

from collections.abc import Collection

from fitcheck.files.shop_words import any_length, length_above_zero, length_from_zero, mass_above_zero
from fitcheck.files.toml_table import Table, attempt, name_of, nearest, one_of, spoken
from fitcheck.things.rack import Bay, BayRack, Rack, Rail, RailRack, Upright

_KINDS = ("rail", "bay")
_COMMON = ("kind", "part_gap", "load", "needed")
_RAIL_KEYS = (*_COMMON, "rails", "apart", "drop", "over_floor")
_BAY_KEYS = (*_COMMON, "bays")
_INSIDE = '["5 ft", "14 in", "14 in"]'
_ROUNDING_MM = 1e-6


def read_rack(table: Table, part_gap_mm: float, parts: Collection[str]) -> Rack | None:
    """Return a rack, or None where it has a fault. parts: the names that `needed` may have."""
    entry = table.need("kind", '"rail" or "bay"')
    kind = entry.read(one_of(_KINDS)) if entry else None
    if kind is None:
        return None
    table.only(_RAIL_KEYS if kind == "rail" else _BAY_KEYS, f"a {kind} rack")
    gap = table.read("part_gap", length_from_zero)
    gap = part_gap_mm if gap is None else gap
    load, needed = table.read("load", mass_above_zero), _needed(table, parts)
    if kind == "rail":
        rails = _rails(table)
        apart, drop = table.read("apart", length_above_zero), table.read("drop", length_from_zero) or 0.0
        over = table.read("over_floor", length_from_zero) or 0.0
        if rails is None:
            return None
        return attempt(table, lambda: RailRack(table.name, rails, gap, load, apart, drop, over, needed))
    bays = _bays(table)
    if bays is None:
        return None
    return attempt(table, lambda: BayRack(table.name, bays, gap, load, needed=needed))


def _needed(table: Table, parts: Collection[str]) -> tuple[str, ...]:
    if "needed" not in table:
        return ()
    items = table.entry("needed").items('["boom", "rib"] (the first needed first)')
    names = []
    for item in items:
        name = item.read(name_of)
        if name is not None and name not in parts:
            item.fault(f"there is no part {spoken(name)}", nearest(name, parts))
        elif name is not None:
            names.append(name)
    return tuple(dict.fromkeys(names))


def _rails(table: Table) -> tuple[Rail, ...] | None:
    example = '[{ length = "20 ft", height = "7 ft" }]'
    entry = table.need("rails", example)
    if entry is None:
        return None
    rails = []
    items = entry.items(example)
    for item in items:
        row = item.table()
        if row is None:
            continue
        row.only(("length", "height"), "a rail")
        length, height = row.need("length", '"20 ft"'), row.need("height", '"7 ft" (over the floor)')
        long = length.read(length_above_zero) if length else None
        high = height.read(length_above_zero) if height else None
        if long is not None and high is not None:
            rails.append(Rail(long, high))
    if not items and isinstance(entry.value, list):
        entry.fault("there are no rails in it", f"write {example}")
    return tuple(rails) if rails and len(rails) == len(items) else None


def _bays(table: Table) -> tuple[Bay, ...] | None:
    example = f'[{{ name = "A1", inside = {_INSIDE} }}]'
    entry = table.need("bays", example)
    if entry is None:
        return None
    items = entry.items(example)
    bays = [_bay(row, i) for i, item in enumerate(items) if (row := item.table()) is not None]
    if not items and isinstance(entry.value, list):
        entry.fault("there are no bays in it", f"write {example}")
    whole = tuple(bay for bay in bays if bay is not None)
    names = [bay.name for bay in whole]
    for i, bay in enumerate(whole):
        if bay.name in names[:i]:
            items[i].fault(f"{spoken(bay.name)} is the name of two bays", "give each its own")
    return whole if whole and len(whole) == len(items) else None


def _bay(row: Table, index: int) -> Bay | None:
    row.only(("name", "inside", "supports", "uprights"), "a bay")
    name = row.read("name", name_of) or f"bay {index + 1}"
    entry = row.need("inside", f"{_INSIDE} (length, depth, height)")
    inside = entry.read_all(length_above_zero, 3, _INSIDE) if entry else None
    supports = row.read("supports", length_above_zero)
    if inside is None:
        return None
    size = (inside[0], inside[1], inside[2])
    uprights = [_upright(post, size) for post in row.rows("uprights")]
    return Bay(name, size, tuple(post for post in uprights if post), supports)


def _upright(row: Table, inside: tuple[float, float, float]) -> Upright | None:
    row.only(("at", "size"), "an upright")
    at_entry, size_entry = row.need("at", '["2 ft", "0 in"]'), row.need("size", '["2 in", "2 in"]')
    at = at_entry.read_all(any_length, 2, '["2 ft", "0 in"]') if at_entry else None
    size = size_entry.read_all(length_above_zero, 2, '["2 in", "2 in"]') if size_entry else None
    if at is None or size is None:
        return None
    for k in (0, 1):
        if at[k] < -_ROUNDING_MM or at[k] + size[k] > inside[k] + _ROUNDING_MM:
            row.fault("this upright stands outside its bay", "check its at and size, and the bay's inside")
            return None
    return Upright((at[0], at[1]), (size[0], size[1]))
