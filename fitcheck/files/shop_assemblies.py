"""The [assemblies] of a shop file: parts put together, which are carried as one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from fitcheck.files.shop_words import any_length
from fitcheck.files.toml_table import Table, amount, one_of
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.solid import Solid
from fitcheck.words.units import read_angle

_AT = '["0 in", "0 in", "0 in"]'
_PARTS = '[{ part = "boom", at = ["0 in", "0 in", "0 in"], swing = "90 deg" }]'


def read_assembly(table: Table, parts: Mapping[str, Part | None], names: list[str]) -> Part | None:
    """Return the parts of an assembly as one part, or None where it has a fault.

    Each is turned first and then put with the low corner of the room that it takes up at `at`.
    """
    table.only(("parts",), "an assembly")
    table.need("parts", _PARTS)
    rows = table.rows("parts")
    if "parts" in table and not rows and not table.has_fault("parts"):
        table.entry("parts").fault("nothing is in this assembly", f"write parts = {_PARTS}")
    placed = [_placed(row, parts, names) for row in rows]
    found = [each for each in placed if each is not None]
    if not found or len(found) < len(placed):
        return None
    return _as_one(table.name, found)


def _placed(row: Table, parts: Mapping[str, Part | None], names: list[str]) -> tuple[Part, Solid] | None:
    row.only(("part", "at", "tilt", "roll", "swing"), "a part of an assembly")
    entry, corner = row.need("part", '"boom"'), row.need("at", _AT)
    name = entry.read(one_of(names)) if entry else None
    at = corner.read_all(any_length, 3, _AT) if corner else None
    tilt, roll, swing = (row.read(key, amount(read_angle)) or 0.0 for key in ("tilt", "roll", "swing"))
    part = parts.get(name) if name else None
    if part is None or at is None:
        return None
    turned = part.solid.moved(rotation_from(Angles(tilt, roll, swing)), np.zeros(3))
    low = turned.vertices_mm.min(axis=0)
    return part, turned.moved(np.eye(3), np.array(at) - low)


def _as_one(name: str, found: list[tuple[Part, Solid]]) -> Part:
    from fitcheck.geometry.mesh.measure import weighed
    from fitcheck.shapes.manifold import manifold_of, solid_of

    whole = manifold_of(found[0][1])
    for _, solid in found[1:]:
        whole = whole + manifold_of(solid)
    part = weighed(name, solid_of(whole, name), 1.0)
    return replace(part, mass_kg=sum(each.mass_kg for each, _ in found))
