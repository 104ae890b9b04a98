"""A posed part in its tank as a mesh file for other programs: STL, GLB or 3MF."""

from __future__ import annotations

import io
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from fitcheck.files.written import check_place, write_bytes
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.solid import Solid
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM_PER_METRE

KINDS = (".stl", ".glb", ".3mf")


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """One thing of a mesh file: its name, and its solid in the tank's frame, mm."""

    name: str
    solid: Solid


def bodies(part: Part, tank: Tank, pose: Pose) -> tuple[Body, ...]:
    """Return the part at its pose, the clear inside of the tank, and each thing that stands in it."""
    return (
        Body(part.name, part.solid.moved(pose.rotation, pose.shift_mm)),
        Body(f"{tank.name} inside", tank.inside),
        *(Body(thing.name, thing.solid) for thing in tank.standing),
    )


def write_bodies(path: Path, these: Sequence[Body], *, over: bool = False) -> None:
    """Write bodies to a .stl, .glb or .3mf file, whole or not at all.

    3MF is in millimetres, STL too though it cannot say so; GLB is in metres with y up, as its standard asks
    (Khronos glTF 2.0, 3.4). GLB and 3MF keep the bodies and their names apart, STL has all triangles in one
    list, body after body. over: a file that is there is written over. Raises `Refused` where one is there
    and may not be, for another kind of file, and where the disk does not take it.
    """
    check_target(path, over=over)
    write_bytes(path, _content(path.suffix.lower(), these))


def check_target(path: Path, *, over: bool) -> None:
    """Refuse a file that could not be written, before any work is done for it."""
    if path.suffix.lower() not in KINDS:
        raise Refused(f"{path}: is not a kind of mesh written here", f"end its name in {', '.join(KINDS)}")
    check_place(path)
    if path.exists() and not over:
        raise Refused(f"{path}: is there already", "name another file, or say --overwrite")


def _content(kind: str, these: Sequence[Body]) -> bytes:
    import trimesh

    scene = trimesh.Scene()
    for body in these:
        vertices = np.array(body.solid.vertices_mm)
        if kind == ".glb":
            vertices = np.column_stack([vertices[:, 0], vertices[:, 2], -vertices[:, 1]]) / MM_PER_METRE
        mesh = trimesh.Trimesh(vertices, np.array(body.solid.triangles), process=False)
        name = _free_name(body.name, scene.geometry)
        scene.add_geometry(mesh, node_name=name, geom_name=name)
    store = io.BytesIO()
    if kind == ".stl":
        merged = trimesh.util.concatenate(list(scene.geometry.values()))
        merged.export(store, file_type="stl")  # type: ignore[no-untyped-call]
    else:
        # What 3MF is written in stands in its head: millimetres, whatever the scene says.
        scene.export(store, file_type=kind[1:])  # type: ignore[no-untyped-call]
    return store.getvalue()


def _free_name(name: str, taken: Collection[str]) -> str:
    """Return a name that no body before it has: two blocks may be called alike."""
    free, k = name, 2
    while free in taken:
        free, k = f"{name} ({k})", k + 1
    return free
