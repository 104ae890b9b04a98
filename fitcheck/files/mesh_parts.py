"""Parts and solids from meshes in memory, and solids as meshes of trimesh.

A mesh is mended, refused and noted here as one in a shop file is (`meshes.py`).
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from fitcheck.files.meshes import Numbers, mm_of_unit, read_mesh, solid_of_numbers
from fitcheck.files.toml_table import one_of
from fitcheck.geometry.mesh.measure import volume_mm3, weighed
from fitcheck.geometry.mesh.mesh_repair import check_numbers
from fitcheck.things.metals import METALS
from fitcheck.things.part import Part
from fitcheck.things.solid import Floats, Indices, Solid, TriangleMesh
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM3_PER_LITRE, MM_PER_METRE

AnyMesh = TriangleMesh | tuple[ArrayLike, ArrayLike] | Path | str
# Its metal, its density in kg/l, its mass in kg: one of the three, the others None.
Weight = tuple[str | None, float | None, float | None]
_WEIGHTS = ("metal", "density_kg_l", "mass_kg")


def part_from_mesh(
    mesh: AnyMesh, unit: str | None, weight: Weight, sheet_mm: float | None, name: str | None
) -> Part:
    """Return a part from a mesh, weighed; see `Part.from_mesh`, which says what is refused."""
    if isinstance(mesh, Path | str):
        name = Path(mesh).stem if name is None else name
        read = read_mesh(mesh, unit, sheet_mm)
    else:
        name = "part" if name is None else name
        read = solid_of_numbers(name, _numbers_of(mesh, name), unit, sheet_mm)
    litres = volume_mm3(read.solid) / MM3_PER_LITRE
    part = weighed(name, read.solid, _density_kg_l(name, weight, litres))
    return replace(part, chord_mm=read.chord_mm, notes=read.notes)


def solid_from_trimesh(mesh: TriangleMesh, unit: str | None, source: str) -> Solid:
    """Return the solid of a mesh as it is, in mm; see `Solid.from_trimesh`."""
    numbers = _numbers_of(mesh, source)
    check_numbers(numbers.points, numbers.triangles, source)
    scale = mm_of_unit(source, numbers, unit)
    if numbers.mm_per_unit not in (None, scale):
        raise Refused(f"{source}: its unit is given as {unit}, and it says another", "leave unit out")
    return Solid(numbers.points * scale, numbers.triangles, source)


def trimesh_of(solid: Solid) -> Any:
    """Return a solid as a `trimesh.Trimesh` in mm, its corners and triangles in their order."""
    import trimesh

    mesh = trimesh.Trimesh(np.array(solid.vertices_mm), np.array(solid.triangles), process=False)
    mesh.units = "mm"
    return mesh


def _numbers_of(mesh: TriangleMesh | tuple[ArrayLike, ArrayLike], name: str) -> Numbers:
    """Return the corners and triangles of a mesh, and its own unit where it says one."""
    if isinstance(mesh, tuple):
        if len(mesh) != 2:
            raise Refused(f"{name}: {len(mesh)} things are no mesh", "give vertices and triangles")
        points, triangles = mesh
    elif hasattr(mesh, "vertices") and hasattr(mesh, "faces"):
        points, triangles = mesh.vertices, mesh.faces
    else:
        raise Refused(
            f"{name}: a {type(mesh).__name__} is no mesh of triangles",
            "give a trimesh.Trimesh (of a scene, scene.to_mesh()), a file, or vertices and triangles",
        )
    return Numbers(_points(points, name), _indices(triangles, name), _own_unit_mm(mesh, name))


def _points(points: ArrayLike, name: str) -> Floats:
    try:
        array = np.array(points, dtype=np.float64)
    except (TypeError, ValueError) as fault:
        raise Refused(f"{name}: its vertices are not numbers", "give three numbers for each") from fault
    if array.ndim != 2 or array.shape[1] != 3:
        raise Refused(f"{name}: its vertices are of shape {array.shape}", "give three numbers for each")
    return array


def _indices(triangles: ArrayLike, name: str) -> Indices:
    cure = "give the numbers of three vertices for each, from 0; split faces of four into two"
    try:
        array = np.array(triangles, dtype=np.float64)
    except (TypeError, ValueError) as fault:
        raise Refused(f"{name}: its triangles are not numbers of vertices", cure) from fault
    if array.ndim != 2 or array.shape[1] != 3:
        raise Refused(f"{name}: its triangles are of shape {array.shape}", cure)
    if not (np.isfinite(array).all() and (array == np.round(array)).all()):
        raise Refused(f"{name}: its triangles are not numbers of vertices", cure)
    return array.astype(np.int64)


def _own_unit_mm(mesh: object, name: str) -> float | None:
    """Return the millimetres of the unit that the mesh itself says; None where it says none."""
    said = getattr(mesh, "units", None)
    if said is None:
        return None
    import trimesh

    try:
        return MM_PER_METRE * float(trimesh.units.unit_conversion(said, "meters"))
    except (KeyError, ValueError) as fault:
        raise Refused(f"{name}: its unit {said!r} is not known", 'set its units to "mm", say') from fault


def _density_kg_l(name: str, weight: Weight, litres: float) -> float:
    """Return the density that a weight means; raises `Refused` unless it is given in one way."""
    given = [key for key, value in zip(_WEIGHTS, weight, strict=True) if value is not None]
    if not given:
        raise Refused(
            f"{name}: its weight is not given", 'give metal="aluminium", or density_kg_l, or mass_kg'
        )
    if len(given) > 1:
        raise Refused(f"{name}: {given[0]} and {given[1]} are both given", "give one of them")
    metal, density, mass = weight
    if metal is not None:
        return METALS[one_of(tuple(METALS))(metal)]
    value = density if density is not None else mass
    if value is None or not value > 0.0 or not np.isfinite(value):
        raise Refused(f"{name}: {given[0]} is {value}", "give a number above 0")
    return value if density is not None else value / litres
