"""The [rules], [liquids] and [tanks] of a shop file."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from pathlib import Path

import numpy as np

from fitcheck.files.meshes import read_mesh
from fitcheck.files.shop_words import (
    POINT,
    any_length,
    file_in,
    length_above_zero,
    length_from_zero,
    mass_above_zero,
)
from fitcheck.files.toml_table import Table, attempt, name_of, spoken
from fitcheck.geometry.convex.concavities import concavities_of
from fitcheck.geometry.mesh.measure import is_convex, volume_mm3
from fitcheck.shapes.basin import basin
from fitcheck.shapes.block import block
from fitcheck.shapes.shape import Shape, Size
from fitcheck.things.liquid import Liquid
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Rim, Rules, Standing, Tank
from fitcheck.words.errors import Refused

RULE_KEYS = tuple(field.name.removesuffix("_mm") for field in fields(Rules))
_TANK_KEYS = (
    "inside",
    "mesh",
    "unit",
    "liquid",
    "rim_height",
    "hook_height",
    "hoist",
    "fillet",
    "lip",
    "fittings",
    "blocks",
)
_INSIDE = '["24 ft", "1 ft 4 in", "2 ft"]'
# Sums of lengths in double precision are right to far less than this, and no tape sees it.
_ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Yard:
    """What tanks and parts are read against: the shop's folder, its rules, and its liquids by name.

    A liquid that the file names but that has a fault of its own is None.
    """

    folder: Path
    rules: Rules
    liquids: Mapping[str, Liquid | None]


def read_rules(table: Table, shop_wide: Rules) -> Rules:
    """Return `shop_wide` with the rules that this table repeats."""
    read = {f"{key}_mm": table.read(key, length_from_zero) for key in RULE_KEYS}
    return replace(shop_wide, **{name: value for name, value in read.items() if value is not None})


def read_tank(table: Table, yard: Yard) -> Tank | None:
    """Return a tank, or None where it has a fault."""
    table.only((*_TANK_KEYS, *RULE_KEYS), "a tank")
    rules = read_rules(table, yard.rules)
    liquid = _liquid_of(table, yard.liquids)
    space = _mesh_inside(table, yard.folder) if "mesh" in table else _box_inside(table)
    inside, juts = space if isinstance(space, tuple) else (space, ())
    rim = _rim_of(table, inside)
    fittings = _standing_in(table, "fittings", inside)
    blocks = _standing_in(table, "blocks", inside)
    _check_names(table)
    _check_apart(table, fittings + blocks)
    if inside is None:
        return None
    tank = Tank(
        table.name,
        inside.solid,
        inside.size_mm,
        # Stands in for a liquid with a fault, so that the rest of the tank is checked all the same.
        liquid or Liquid("unknown"),
        rim=rim,
        fittings=(*juts, *fittings),
        blocks=blocks,
        fillet_mm=table.read("fillet", length_from_zero) or 0.0 if "inside" in table else 0.0,
        chord_mm=inside.chord_mm,
        is_box=_is_box(inside),
    )
    # The rules come last: they are what may leave no room in a tank that is sound in itself.
    place = table.entry("mesh" if "mesh" in table else "inside")
    ruled = attempt(place, lambda: replace(tank, rules=rules))
    if ruled is not None:
        _check_room_left(table, ruled)
    return ruled


def _liquid_of(table: Table, liquids: Mapping[str, Liquid | None]) -> Liquid | None:
    known = ", ".join(liquids) or "none yet: write [liquids.water]"
    entry = table.need("liquid", f'"..."; known are {known}')
    name = entry.read(name_of) if entry else None
    if entry and name is not None and name not in liquids:
        entry.fault(f"there is no liquid {spoken(name)}", f"known are {known}")
    return liquids.get(name) if name is not None else None


def _box_inside(table: Table) -> Shape | None:
    """Return the space inside by its sizes, its corners rounded to the fillet."""
    if "unit" in table:
        table.entry("unit").fault("unit goes with mesh", "take it out, or give the inside as a mesh")
    entry = table.need("inside", f"{_INSIDE} (clear length, width, depth)")
    read = entry.read_all(length_above_zero, 3, _INSIDE) if entry else None
    fillet = table.read("fillet", length_from_zero)
    if read is None:
        return None
    size: Size = (read[0], read[1], read[2])
    place = table.entry("inside" if fillet is None else "fillet")
    return attempt(place, lambda: basin(size, fillet or 0.0))


def _mesh_inside(table: Table, folder: Path) -> tuple[Shape, tuple[Standing, ...]] | None:
    """Return the space inside by its mesh, its low corner moved to the origin, and what juts into it."""
    for key in ("inside", "fillet"):
        if key in table:
            table.entry(key).fault(
                f"{key} and mesh are both given", "the mesh has the inside: give one of them"
            )
    path = table.read("mesh", file_in(folder))
    unit = table.read("unit", name_of)
    if path is None or table.has_fault("unit"):
        return None
    return attempt(table.entry("mesh"), lambda: _space_in(path, unit))


def _space_in(path: Path, unit: str | None) -> tuple[Shape, tuple[Standing, ...]]:
    """Return the convex space around a tank's inside, and what juts into it."""
    try:
        mesh = read_mesh(path, unit, None)
    except Refused as refused:
        if "the mesh is open" not in refused.problem:
            raise
        raise Refused(
            refused.problem, "a tank's mesh is the space inside it: close it with a flat lid at the rim"
        ) from refused
    if any("inside-out" in note for note in mesh.notes):
        raise Refused(
            f"{path.name}: the mesh is inside-out",
            "flip its triangles so that they face out of the space inside",
        )
    solid = mesh.solid.moved(np.eye(3), -mesh.solid.vertices_mm.min(axis=0))
    length, width, depth = np.ptp(solid.vertices_mm, axis=0).tolist()
    if is_convex(solid):
        return Shape(solid, (length, width, depth), mesh.chord_mm), ()
    around, juts = concavities_of(replace(solid, source=path.name))
    names = (f"step {k + 1}" for k in range(len(juts)))
    standing = tuple(Standing(name, jut) for name, jut in zip(names, juts, strict=True))
    return Shape(around, (length, width, depth), mesh.chord_mm), standing


def _is_box(inside: Shape) -> bool:
    """Return whether the inside fills the box around it: a convex space of the box's volume is the box."""
    # The sums are right to about 1e-15; rounded corners of 1/10000 of the width already take off 1e-8.
    return math.isclose(volume_mm3(inside.solid), math.prod(inside.size_mm), rel_tol=1e-12)


def _rim_of(table: Table, inside: Shape | None) -> Rim:
    lip = table.read("lip", length_from_zero) or 0.0
    if inside and 2.0 * lip >= min(inside.size_mm[:2]):
        table.entry("lip").fault(
            "a lip this wide closes the tank", "make it smaller or check the inside sizes"
        )
    rim, hook = table.read("rim_height", length_above_zero), table.read("hook_height", length_above_zero)
    return Rim(rim, hook, lip, table.read("hoist", mass_above_zero))


def _standing_in(table: Table, key: str, inside: Shape | None) -> tuple[Standing, ...]:
    """Return the fittings or blocks of a tank, each a box; those with a fault are left out."""
    found = (_standing(row, _standing_name(row, i), inside) for i, row in enumerate(table.rows(key)))
    return tuple(thing for thing in found if thing is not None)


def _standing_name(row: Table, index: int) -> str:
    kind = str(row.path[-2]).removesuffix("s")
    return row.read("name", name_of) or f"{kind} {index + 1}"


def _standing(row: Table, name: str, inside: Shape | None) -> Standing | None:
    is_block = row.path[-2] == "blocks"
    keys = ("name", "size", "at", "mass") if is_block else ("name", "size", "at")
    row.only(keys, "a block" if is_block else "a fitting")
    weight = row.read("mass", mass_above_zero) if is_block else None
    size_entry = row.need("size", '["6 in", "4 in", "3 in"]')
    at_entry = row.need("at", f"{POINT} (its low corner in the tank)")
    size = size_entry.read_all(length_above_zero, 3, '["6 in", "4 in", "3 in"]') if size_entry else None
    at = at_entry.read_all(any_length, 3, POINT) if at_entry else None
    if size is None or at is None:
        return None
    low, high = np.array(at), np.array(at) + np.array(size)
    if inside is not None and not _stands_inside(low, high, inside):
        row.fault(f"{name} stands outside the tank", "check its size and at, and the inside of the tank")
        return None
    box: Size = (size[0], size[1], size[2])
    solid = attempt(row, lambda: block(box).solid.moved(np.eye(3), low))
    return Standing(name, replace(solid, source=name), weight) if solid is not None else None


def _stands_inside(low: Floats, high: Floats, inside: Shape) -> bool:
    """Return whether a box lies within the inside's sizes, its middle within the inside itself.

    A square thing pushed into a rounded or sloping corner is drawn over the wall there; that is let pass.
    """
    if (low < -_ROUNDING_MM).any() or (high > np.array(inside.size_mm) + _ROUNDING_MM).any():
        return False
    a, b, c = (inside.solid.vertices_mm[inside.solid.triangles[:, i]] for i in range(3))
    outward = np.cross(b - a, c - a)
    return bool((np.einsum("ij,ij->i", outward, (low + high) / 2.0 - a) <= 0.0).all())


def _check_names(table: Table) -> None:
    """Note a fitting or block that has another's name."""
    seen: set[object] = set()
    for row in (*table.rows("fittings"), *table.rows("blocks")):
        name = row.values.get("name")
        if isinstance(name, str) and name in seen:
            row.entry("name").fault(
                f"{spoken(name)} is the name of two things in this tank", "give each its own"
            )
        seen.add(name if isinstance(name, str) else None)


def _check_apart(table: Table, things: tuple[Standing, ...]) -> None:
    """Note two boxes that stand in each other."""
    for one, other in itertools.combinations(things, 2):
        low = np.maximum(one.solid.vertices_mm.min(axis=0), other.solid.vertices_mm.min(axis=0))
        high = np.minimum(one.solid.vertices_mm.max(axis=0), other.solid.vertices_mm.max(axis=0))
        if (high - low > _ROUNDING_MM).all():
            table.fault(f"{one.name} and {other.name} overlap", "check the size and at of both")


def _check_room_left(table: Table, tank: Tank) -> None:
    """Note a box that leaves no room for anything beside, under or over it once clearances are kept."""
    rules, size = tank.rules, np.array(tank.size_mm)
    first = np.array([rules.side_clearance_mm, rules.side_clearance_mm, rules.bottom_clearance_mm])
    last = np.array([rules.side_clearance_mm, rules.side_clearance_mm, rules.cover_mm + rules.freeboard_mm])
    for thing in tank.standing:
        low, high = thing.solid.vertices_mm.min(axis=0), thing.solid.vertices_mm.max(axis=0)
        most = max((low - first).max(), (size - high - last).max()) - rules.side_clearance_mm
        if most <= 0.0:
            table.fault(
                f"{thing.name} blocks the whole tank: with the clearances kept there is no room beside it",
                "check its size and at, or take it out",
            )
