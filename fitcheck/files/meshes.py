"""Mesh files of parts and tanks, read into solids in mm."""

from __future__ import annotations

import io
import subprocess
import sys
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from fitcheck.files.mesh_formats import (
    MOST_BYTES,
    MOST_TRIANGLES,
    SAYS_UNIT,
    is_binary_stl,
    stl_corners,
    whole_file,
)
from fitcheck.files.written import scratch_folder
from fitcheck.geometry.mesh.bodies import solid_from
from fitcheck.geometry.mesh.mesh_repair import Surface, check_numbers, joined_up
from fitcheck.shapes.sheet import thickened
from fitcheck.things.solid import Floats, Indices, Solid
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM_PER_METRE, read_length

# How far the flats of a STEP file's round faces may lie from the true ones: far finer than a tape, and coarse
# enough that a part of a metre has some thousands of triangles.
STEP_CHORD_MM = 0.05
_STEP_READER = (
    "import sys, cascadio\n"
    "try:\n"
    "    import resource\n"
    "    resource.setrlimit(resource.RLIMIT_AS, (int(sys.argv[4]),) * 2)\n"
    "    resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[5]),) * 2)\n"
    "except ImportError: pass\n"  # not on Windows
    "cascadio.step_to_glb(*sys.argv[1:3], tol_linear=float(sys.argv[3]), merge_primitives=True)"
)
# A part outside of these is more likely one whose unit is wrong.
_SMALLEST_PART_MM, _LARGEST_PART_MM = 3.0, 50_000.0
# A thousand kilometres: there a double tells millionths of a millimetre apart, and no more than that.
_FARTHEST_MM = 1e9
# A STEP file of a part is read in seconds. Its reader gets so much time and memory, and may write so much.
_STEP_SECONDS, _STEP_BYTES = 600, 8_000_000_000


@dataclass(frozen=True, slots=True, eq=False)
class MeshRead:
    """What a mesh file holds.

    chord_mm: how far its flats may lie from the true round faces where the reader makes them (STEP); 0 for
    files that hold the flats themselves. notes: what was mended or taken for granted, one line each.
    """

    solid: Solid
    chord_mm: float
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Numbers:
    """Triangles as they stand in a file or in memory, z up, in their own unit; mm_per_unit: None for none."""

    points: Floats
    triangles: Indices
    mm_per_unit: float | None
    notes: tuple[str, ...] = ()


def read_mesh(path: Path | str, unit: str | None = None, sheet_mm: float | None = None) -> MeshRead:
    """Return the solid in a mesh file: .stl .obj .ply .3mf .glb .step .stp, in the file's own coordinates.

    unit: that of the file's numbers ("mm", "in" ...); must be given for STL, OBJ and PLY, and overrides what
    3MF and GLB files say. sheet_mm: thickness of the metal where the file holds an open surface, which
    becomes a thin solid with that surface in its middle. GLB files, y up by their standard, are turned z up.
    Raises `Refused`, naming the file, for one that cannot be used.
    """
    path = Path(path)
    try:
        return _read(path, unit, sheet_mm)
    except Refused as fault:
        if path.name in fault.problem:
            raise
        raise Refused(f"{path.name}: {fault.problem}", fault.cure) from fault


def _read(path: Path, unit: str | None, sheet_mm: float | None) -> MeshRead:
    kind = path.suffix.lower()
    loose = _parsed(path.name, kind, whole_file(path))
    read = solid_of_numbers(path.name, loose, unit, sheet_mm, kind)
    return replace(read, chord_mm=STEP_CHORD_MM if kind in (".step", ".stp") else 0.0)


def solid_of_numbers(
    name: str, numbers: Numbers, unit: str | None, sheet_mm: float | None, kind: str = ""
) -> MeshRead:
    """Return the solid of triangles, mended, in mm; kind: the ending of their file, empty where it is none.

    unit, sheet_mm: as for `read_mesh`. Raises `Refused`, naming `name`, for triangles that cannot be used.
    """
    check_numbers(numbers.points, numbers.triangles, name)
    if len(numbers.triangles) > MOST_TRIANGLES:
        raise Refused(f"{name}: it has {len(numbers.triangles)} triangles", "export it coarser")
    points_mm, notes = _in_mm(name, kind, numbers, unit)
    surface = joined_up(points_mm, numbers.triangles, name)
    solid, mended = solid_from(surface) if sheet_mm is None else _sheet(surface, sheet_mm)
    return MeshRead(solid, 0.0, notes + mended)


def _parsed(name: str, kind: str, raw: bytes) -> Numbers:
    """Return the triangles of the file's bytes, all of its objects in their places."""
    if kind == ".stl" and is_binary_stl(raw):
        corners = stl_corners(raw)
        return Numbers(corners, np.arange(len(corners)).reshape(-1, 3), None)
    import trimesh

    try:
        if kind in (".step", ".stp"):
            glb = io.BytesIO(_glb_of_step(raw))
            scene = trimesh.load_scene(glb, file_type="glb", process=False, merge_primitives=True)
        else:
            scene = trimesh.load_scene(io.BytesIO(raw), file_type=kind[1:], process=False)
        mesh = scene.to_mesh()
        points = np.array(mesh.vertices, dtype=np.float64).reshape(-1, 3)
        triangles = np.array(mesh.faces, dtype=np.int64).reshape(-1, 3)
    except Exception as fault:  # the reader raises whatever its parsers do
        reason = str(fault).strip().partition("\n")[0] or type(fault).__name__
        raise Refused(
            f"{name}: it cannot be read as {kind[1:].upper()} ({reason})", "export it again"
        ) from fault
    if not SAYS_UNIT[kind]:
        return Numbers(points, triangles, None)
    mm_per_unit = MM_PER_METRE * float(trimesh.units.unit_conversion(scene.units or "meters", "meters"))
    if kind != ".glb":
        return Numbers(points, triangles, mm_per_unit)
    upright = np.column_stack([points[:, 0], -points[:, 2], points[:, 1]])
    return Numbers(upright, triangles, mm_per_unit, ("y is up in a GLB file: turned so that z is up",))


def _in_mm(name: str, kind: str, loose: Numbers, unit: str | None) -> tuple[Floats, tuple[str, ...]]:
    """Return the file's points in mm, and notes about the unit."""
    notes, size = loose.notes, np.ptp(loose.points, axis=0)
    mm_per_unit = mm_of_unit(name, loose, unit, kind)
    if unit is not None and loose.mm_per_unit not in (None, mm_per_unit):
        whose = "file" if kind else "mesh"
        notes += (f"its numbers were taken as {unit}, as stated, though the {whose} says otherwise",)
    largest_mm = float(size.max()) * mm_per_unit
    if not max(largest_mm, float(np.abs(loose.points).max()) * mm_per_unit) <= _FARTHEST_MM:
        raise Refused(
            f"{name}: {largest_mm:.3g} mm large, or farther than {_FARTHEST_MM:g} mm from its origin",
            "check its unit, or draw it near the origin",
        )
    if not _SMALLEST_PART_MM <= largest_mm <= _LARGEST_PART_MM:
        notes += (f"its largest size is {largest_mm:.6g} mm: check the unit",)
    return loose.points * mm_per_unit, notes


def mm_of_unit(name: str, numbers: Numbers, unit: str | None, kind: str = "") -> float:
    """Return the mm of the unit that is given, else of the numbers' own; raises `Refused` without either."""
    if unit is not None and kind in (".step", ".stp"):
        raise Refused(f"{name}: a STEP file says its own unit", "leave unit out")
    mm_per_unit = numbers.mm_per_unit if unit is None else read_length(f"1 {unit}")
    if mm_per_unit is None:
        sizes = " x ".join(f"{length:.4g}" for length in np.ptp(numbers.points, axis=0))
        whose = (
            f"{kind[1:].upper()} files do not say their unit" if kind else "the mesh does not say its unit"
        )
        raise Refused(
            f"{name}: {whose}; it is {sizes} of something",
            f'unit = "{_likely_unit(float(np.ptp(numbers.points, axis=0).max()))}" is likely',
        )
    return mm_per_unit


def _likely_unit(largest: float) -> str:
    """Return the unit in which a part of this largest number would be between a hand and a truck in size."""
    if largest < 10.0:
        return "m"
    return "in" if largest < 40.0 else "mm"


def _sheet(surface: Surface, sheet_mm: float) -> tuple[Solid, tuple[str, ...]]:
    """Return the open surface as thin sheet, with all notes."""
    if surface.closed:
        raise Refused(f"{surface.source}: the mesh is closed, so it has its thickness", "leave sheet out")
    solid = thickened(surface.vertices_mm, surface.triangles, sheet_mm, surface.source)
    note = f"an open surface, taken as the middle of sheet {sheet_mm:g} mm thick"
    return solid, (*surface.notes, note)


def _glb_of_step(raw: bytes) -> bytes:
    """Return a STEP file's surfaces as GLB, in flats.

    The reader is compiled code that prints what it likes, and that a damaged file can break off: it works in
    a process of its own. Raises ValueError with the reason where nothing comes out.
    """
    with scratch_folder() as folder:
        step, glb = folder / "part.step", folder / "part.glb"
        step.write_bytes(raw)
        words = [sys.executable, "-c", _STEP_READER, str(step), str(glb), str(STEP_CHORD_MM)]
        words += [str(_STEP_BYTES), str(MOST_BYTES)]
        nowhere = subprocess.DEVNULL
        try:
            done = subprocess.run(  # noqa: S603 - our own words
                words, stdin=nowhere, stdout=nowhere, stderr=nowhere, timeout=_STEP_SECONDS, check=False
            )
        except subprocess.TimeoutExpired as late:
            raise ValueError(f"its surfaces are not ready after {_STEP_SECONDS} s") from late
        if done.returncode < 0:
            raise ValueError("the reader breaks off: it is damaged")
        if done.returncode or not glb.is_file():
            raise ValueError("no surface comes out of it")
        return glb.read_bytes()
