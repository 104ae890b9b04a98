"""The [parts] of a shop file."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

import numpy as np

from fitcheck.files.meshes import read_mesh
from fitcheck.files.shop_springing import SPRING_KEYS, alloy_of, spring_of
from fitcheck.files.shop_words import (
    POINT,
    angle_up_to,
    any_length,
    count_from,
    density_above_zero,
    file_in,
    length_above_zero,
    length_from_zero,
    mass_above_zero,
    volume_from_zero,
    yes_or_no,
)
from fitcheck.files.toml_table import Entry, Table, attempt, name_of, one_of
from fitcheck.geometry.mesh.measure import volume_mm3, weighed
from fitcheck.shapes.catalogue import SHAPES, Key, build
from fitcheck.shapes.holes import Axis, Hole, drilled
from fitcheck.shapes.shape import Shape
from fitcheck.things.metals import METALS
from fitcheck.things.part import AIR_AT_MOST_L, Attitude, Part
from fitcheck.things.solid import Floats
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM3_PER_LITRE

_MESH_KEYS = ("mesh", "unit", "sheet")
_WEIGHT_KEYS = ("metal", "density", "mass")
_LIMIT_KEYS = ("tilt_at_most", "roll_at_most", "swing_at_most")
_OTHER_KEYS = ("count", "picks", "holes", "tape_part", "air_at_most")
_COMMON_KEYS = (*_WEIGHT_KEYS, *_LIMIT_KEYS, *_OTHER_KEYS, *SPRING_KEYS)
_AXES: tuple[Axis, ...] = ("x", "y", "z")

# The density in kg/l of a part of so many litres.
Weigh = Callable[[float], float]


@dataclass(frozen=True, slots=True, eq=False)
class _Drawn:
    """A part's shape, and what was noted when it was read."""

    shape: Shape
    notes: tuple[str, ...] = ()


def read_part(table: Table, folder: Path, opens_mesh: bool = True) -> Part | None:
    """Return a part, or None where it has a fault, or a mesh that is not to be opened.

    Meshes are read from `folder`.
    """
    _check_keys(table)
    drawn = _mesh_shape(table, folder, opens_mesh) if "mesh" in table else _built_shape(table)
    drawn = _with_holes(table, drawn)
    weigh = _weight_of(table)
    spring = spring_of(table)
    attitude = _attitude_of(table)
    picks = _picks_of(table)
    count = table.read("count", count_from(1))
    tape = table.read("tape_part", length_from_zero)
    air = table.read("air_at_most", volume_from_zero)
    if drawn is None or weigh is None:
        return None
    solid = drawn.shape.solid
    density = weigh(volume_mm3(solid) / MM3_PER_LITRE)
    part = attempt(table, lambda: weighed(table.name, solid, density))
    if part is None:
        return None
    return replace(
        part,
        size_mm=drawn.shape.size_mm,
        tape_mm=tape,
        chord_mm=drawn.shape.chord_mm,
        attitude=attitude,
        picks_mm=picks,
        count=count or 1,
        air_at_most_l=AIR_AT_MOST_L if air is None else air,
        notes=drawn.notes,
        spring=spring,
    )


def _check_keys(table: Table) -> None:
    """Note the keys that do not belong to a part of this shape."""
    shape = table.values.get("shape")
    if "mesh" in table:
        table.only((*_MESH_KEYS, "shape", *_COMMON_KEYS), "a mesh part")
    elif isinstance(shape, str) and shape in SHAPES:
        table.only(("shape", *(key.name for key in SHAPES[shape]), *_COMMON_KEYS), f"a {shape}")
    else:
        every = dict.fromkeys(key.name for keys in SHAPES.values() for key in keys)
        table.only(("shape", *every, *_MESH_KEYS, *_COMMON_KEYS), "a part")


def _mesh_shape(table: Table, folder: Path, opens: bool) -> _Drawn | None:
    if "shape" in table:
        table.entry("shape").fault("shape and mesh are both given", "take one of them out")
    path = table.read("mesh", file_in(folder))
    unit = table.read("unit", name_of)
    sheet = table.read("sheet", length_above_zero)
    if path is None or not opens or any(table.has_fault(key) for key in _MESH_KEYS):
        return None
    mesh = attempt(table.entry("mesh"), lambda: read_mesh(path, unit, sheet))
    if mesh is None:
        return None
    length, width, height = np.ptp(mesh.solid.vertices_mm, axis=0).tolist()
    return _Drawn(Shape(mesh.solid, (length, width, height), mesh.chord_mm), mesh.notes)


def _built_shape(table: Table) -> _Drawn | None:
    """Return the shape that the keys describe; a fault found in building it stands at the key it names."""
    entry = table.need("shape", f'"..." (one of {", ".join(SHAPES)}) or mesh = "file.stl"')
    shape = entry.read(one_of(tuple(SHAPES))) if entry else None
    if shape is None:
        return None
    read = {key.name: _value_of(table, key) for key in SHAPES[shape] if key.required or key.name in table}
    values = {name: value for name, value in read.items() if value is not None}
    if len(values) < len(read):
        return None
    try:
        return _Drawn(build(shape, values))
    except Refused as refused:
        # A message names the key at fault first, and may go on to others.
        named = (re.search(rf"\b{name}\b", refused.problem) for name in values)
        found = min((match for match in named if match), key=lambda match: match.start(), default=None)
        place = found.group() if found else None
        (table.entry(place) if place else table).fault(refused.problem, refused.cure)
        return None


def _value_of(table: Table, key: Key) -> object:
    """Return the value of one key of a shape; None where it is missing or has a fault."""
    example = _example_of(key)
    entry = table.need(key.name, example)
    if entry is None:
        return None
    length = length_from_zero if key.zero else length_above_zero
    match key.kind:
        case "length":
            return entry.read(length)
        case "lengths":
            return entry.read_all(length, key.how_many, example)
        case "points":
            return _points_of(entry, 2, example)
        case "choice":
            return entry.read(one_of(key.choices))
        case "count":
            return entry.read(count_from(0))


def _example_of(key: Key) -> str:
    match key.kind:
        case "length":
            return '"1/8 in"'
        case "lengths":
            return "[" + ", ".join(('"15 ft 6 in"', '"6 in"', '"4 in"')[-key.how_many :]) + "]"
        case "points":
            return '[["0 in", "0 in"], ["2 in", "0 in"], ["0 in", "2 in"]] (corners of the cross-section)'
        case "choice":
            return " or ".join(f'"{choice}"' for choice in key.choices)
        case "count":
            return "2"


def _points_of(entry: Entry, width: int, example: str) -> list[tuple[float, ...]] | None:
    """Return points of so many lengths each; None where any has a fault."""
    points = [item.read_all(any_length, width, example) for item in entry.items(example)]
    whole = [point for point in points if point is not None]
    return whole if isinstance(entry.value, list) and len(whole) == len(points) else None


def _with_holes(table: Table, drawn: _Drawn | None) -> _Drawn | None:
    """Return the shape with its holes drilled, or None where one of them has a fault."""
    for row in table.rows("holes"):
        hole = _hole_of(row)
        if drawn is not None and hole is not None:
            shape = attempt(row, partial(drilled, drawn.shape, hole))
            drawn = replace(drawn, shape=shape) if shape else drawn
    return None if table.has_fault("holes") else drawn


def _hole_of(row: Table) -> Hole | None:
    row.only(("at", "along", "diameter", "through"), "a hole")
    at_entry = row.need("at", POINT)
    along_entry = row.need("along", '"z"')
    diameter_entry = row.need("diameter", '"1/4 in"')
    at = at_entry.read_all(any_length, 3, POINT) if at_entry else None
    along = along_entry.read(one_of(_AXES)) if along_entry else None
    diameter = diameter_entry.read(length_above_zero) if diameter_entry else None
    through = row.read("through", yes_or_no)
    if at is None or along is None or diameter is None:
        return None
    return Hole((at[0], at[1], at[2]), along, diameter, bool(through))


def _weight_of(table: Table) -> Weigh | None:
    """Return how the part is weighed: by its metal, its density, or its own mass."""
    given = [key for key in _WEIGHT_KEYS if key in table]
    alloy = alloy_of(table)
    if not given and alloy is not None:
        return lambda _: METALS[alloy.metal]
    if not given and "alloy" not in table and not any(table.misspells(key) for key in _WEIGHT_KEYS):
        table.fault("its weight is not given", 'write metal = "aluminium", or density, or mass = "24 lb"')
    for extra in given[1:]:
        table.entry(extra).fault(f"{given[0]} and {extra} are both given", "take one of them out")
    metal = table.read("metal", one_of(tuple(METALS)))
    density = table.read("density", density_above_zero)
    mass = table.read("mass", mass_above_zero)
    if mass is not None:
        return lambda litres: mass / litres
    known = METALS[metal] if metal else density
    return None if known is None else lambda _: known


def _attitude_of(table: Table) -> Attitude:
    tilt = table.read("tilt_at_most", angle_up_to(90.0))
    roll = table.read("roll_at_most", angle_up_to(180.0))
    swing = table.read("swing_at_most", angle_up_to(180.0))
    free = Attitude()
    return Attitude(
        free.tilt_rad if tilt is None else tilt,
        free.roll_rad if roll is None else roll,
        free.swing_rad if swing is None else swing,
    )


def _picks_of(table: Table) -> Floats:
    example = f"[{POINT}] (points of the part as drawn)"
    points = _points_of(table.entry("picks"), 3, example) if "picks" in table else None
    return np.array(points or [], dtype=np.float64).reshape(-1, 3)
