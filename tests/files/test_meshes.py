"""Mesh files: read whole or refused by name, mended only where there is no doubt, and in the right unit."""

from __future__ import annotations

import importlib.util
import io
import json
import math
import zipfile
from collections.abc import Callable
from pathlib import Path

import manifold3d
import numpy as np
import pytest
import trimesh
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fitcheck.files import mesh_3mf, meshes
from fitcheck.files.mesh_formats import MOST_TRIANGLES
from fitcheck.files.meshes import STEP_CHORD_MM, MeshRead, read_mesh
from fitcheck.geometry.mesh.bodies import solid_from
from fitcheck.geometry.mesh.measure import measures, sealed_mm3
from fitcheck.geometry.mesh.mesh_repair import joined_up
from fitcheck.words.errors import Refused

MESHES = Path(__file__).parents[2] / "meshes"
BRACKET_MM3 = 120.0 * 60.0 * 5.0 + 120.0 * 5.0 * 35.0 - 2.0 * math.pi * 6.0**2 * 5.0
Trimesh = trimesh.Trimesh


def box(size: float = 2.0, at: tuple[float, float, float] = (0.0, 0.0, 0.0), inward: bool = False) -> Trimesh:
    mesh = trimesh.creation.box((size, size, size))
    mesh.apply_translation(at)
    if inward:
        mesh.invert()
    return mesh


def mirrored(mesh: Trimesh) -> Trimesh:
    """Return the mesh on the other side of the plane x = 1."""
    other = mesh.copy()
    other.vertices = np.array(mesh.vertices) * [-1.0, 1.0, 1.0] + [2.0, 0.0, 0.0]
    other.faces = np.array(mesh.faces)[:, ::-1]
    return other


def read_as(folder: Path, mesh: Trimesh, kind: str = "stl", unit: str | None = "mm") -> MeshRead:
    path = folder / f"part.{kind}"
    mesh.export(path)
    return read_mesh(path, unit)


def refusal(path: Path, unit: str | None = "mm", sheet_mm: float | None = None) -> Refused:
    with pytest.raises(Refused) as caught:
        read_mesh(path, unit, sheet_mm)
    assert path.name in caught.value.problem
    assert caught.value.cure
    assert "\n" not in str(caught.value)
    return caught.value


# Volumes as in meshes/SOURCES.md.
@pytest.mark.parametrize(
    ("name", "litres", "size_mm"),
    [
        ("pipe_1", 0.0674038, (56.44, 181.26, 123.22)),
        ("pump_base", 0.7679056, (103.15, 110.00, 110.00)),
        ("tray", 7.2328332, (500.00, 700.00, 363.97)),
    ],
)
def test_real_parts(name: str, litres: float, size_mm: tuple[float, float, float]) -> None:
    read = read_mesh(MESHES / f"{name}.stl", "m")
    assert measures(read.solid).volume_mm3 == pytest.approx(litres * 1e6, rel=1e-6)
    np.testing.assert_allclose(np.ptp(read.solid.vertices_mm, axis=0), size_mm, atol=0.005)
    other = trimesh.load_mesh(MESHES / f"{name}.stl")
    trimesh.repair.fix_normals(other)
    assert other.volume * 1e9 == pytest.approx(measures(read.solid).volume_mm3, rel=1e-6)
    mesh = manifold3d.Mesh64(np.array(read.solid.vertices_mm), read.solid.triangles.astype(np.uint64))
    assert manifold3d.Manifold(mesh).volume() == pytest.approx(measures(read.solid).volume_mm3, rel=1e-9)
    assert read.chord_mm == 0.0
    turned = ("34 triangles turned to face the same way as the neighbours",) if name == "tray" else ()
    assert read.notes == turned


@pytest.mark.parametrize("kind", ["stl", "obj", "ply", "3mf", "glb", "step"])
def test_bracket_in_every_format(kind: str) -> None:
    unit = "mm" if kind in ("stl", "obj", "ply") else None
    read = read_mesh(MESHES / f"bracket.{kind}", unit)
    found = measures(read.solid)
    # Single precision keeps 6e-8 of each coordinate. STEP flats lie within the chord of the holes' surface.
    slack = 1e-6 * BRACKET_MM3 + read.chord_mm * 2.0 * math.pi * 12.0 * 5.0
    assert found.volume_mm3 == pytest.approx(BRACKET_MM3, abs=slack)
    assert read.chord_mm == (STEP_CHORD_MM if kind == "step" else 0.0)
    np.testing.assert_allclose(read.solid.vertices_mm.min(axis=0), 0.0, atol=1e-4)
    np.testing.assert_allclose(read.solid.vertices_mm.max(axis=0), [120.0, 60.0, 40.0], atol=1e-4)
    # The upright leg is at y = 0 and the flat one at z = 0: the axes are where they belong.
    assert found.centre_mm[1] == pytest.approx(19.891, abs=0.01)
    assert found.centre_mm[2] == pytest.approx(9.820, abs=0.01)
    assert any("y is up" in note for note in read.notes) is (kind == "glb")


def test_step_flats_keep_to_the_stated_chord() -> None:
    read = read_mesh(MESHES / "bracket.step")
    a, b, c = (read.solid.vertices_mm[read.solid.triangles[:, k]] for k in range(3))
    for start, end in ((a, b), (b, c), (c, a)):
        middle = (start + end) / 2.0
        from_axis = np.hypot(middle[:, 0] - 90.0, middle[:, 1] - 35.0)
        on_hole = (np.hypot(start[:, 0] - 90.0, start[:, 1] - 35.0) < 6.01) & (from_axis < 6.01)
        on_hole &= np.hypot(end[:, 0] - 90.0, end[:, 1] - 35.0) < 6.01
        assert on_hole.any()
        assert (6.0 - from_axis[on_hole]).max() < STEP_CHORD_MM


def test_sample_meshes_are_what_the_script_writes(tmp_path: Path) -> None:
    spec = importlib.util.spec_from_file_location("make", MESHES / "make.py")
    assert spec is not None
    assert spec.loader is not None
    make = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(make)
    make.HERE = tmp_path
    make.write_bracket()
    make.write_cowl()
    made = sorted(tmp_path.iterdir())
    assert len(made) == 6
    for path in made:
        unit = "mm" if path.suffix in (".stl", ".obj", ".ply") else None
        sheet_mm = 0.8 if path.stem == "cowl" else None
        new, kept = (read_mesh(folder / path.name, unit, sheet_mm).solid for folder in (tmp_path, MESHES))
        np.testing.assert_array_equal(new.triangles, kept.triangles)
        np.testing.assert_allclose(new.vertices_mm, kept.vertices_mm, atol=1e-9)


def test_open_sheet_becomes_a_thin_solid() -> None:
    read = read_mesh(MESHES / "cowl.obj", "mm", 0.8)
    true = math.pi / 2.0 * (80.4**2 - 79.6**2) * 400.0
    # 36 flats of a half turn fall short of it by (pi / 36)2 / 24.
    assert measures(read.solid).volume_mm3 == pytest.approx(true, rel=(math.pi / 36) ** 2 / 24 * 1.01)
    assert "0.8 mm" in read.notes[-1]


def test_open_surface_is_refused_with_its_place_and_the_sheet_key() -> None:
    fault = refusal(MESHES / "cowl.obj")
    # 2 x 2 edges along x, 2 x 36 round the ends.
    assert "76 open edges" in fault.problem
    assert "mm" in fault.problem
    assert "sheet" in fault.cure


def test_sheet_of_a_closed_mesh_is_refused() -> None:
    assert "closed" in refusal(MESHES / "bracket.stl", "mm", 0.8).problem


@pytest.mark.parametrize(
    ("size", "unit"), [((140.0, 90.0, 60.0), "mm"), ((0.7, 0.5, 0.36), "m"), ((24.0, 6.0, 4.0), "in")]
)
@pytest.mark.parametrize("kind", ["stl", "obj", "ply"])
def test_missing_unit_is_refused_with_a_guess(
    tmp_path: Path, size: tuple[float, float, float], unit: str, kind: str
) -> None:
    path = tmp_path / f"part.{kind}"
    trimesh.creation.box(size).export(path)
    fault = refusal(path, None)
    assert " x ".join(f"{side:g}" for side in size) in fault.problem
    assert f'unit = "{unit}"' in fault.cure


@pytest.mark.parametrize(
    ("unit", "mm"), [("mm", 1.0), ("cm", 10.0), ("m", 1000.0), ("in", 25.4), ("ft", 304.8)]
)
def test_unit_stated(tmp_path: Path, unit: str, mm: float) -> None:
    read = read_as(tmp_path, box(), "stl", unit)
    np.testing.assert_allclose(np.ptp(read.solid.vertices_mm, axis=0), 2.0 * mm, rtol=1e-12)


def test_unknown_unit_is_refused() -> None:
    assert "cubit" in refusal(MESHES / "bracket.stl", "cubit").problem


def test_unit_against_the_files_own(tmp_path: Path) -> None:
    read = read_as(tmp_path, box(20.0), "glb", "mm")
    assert np.ptp(read.solid.vertices_mm, axis=0) == pytest.approx(20.0)
    assert any("as stated" in note for note in read.notes)
    assert "leave unit out" in refusal(MESHES / "bracket.step", "in").cure


def test_strange_size_is_noted(tmp_path: Path) -> None:
    assert any("check the unit" in note for note in read_as(tmp_path, box(0.5)).notes)
    assert not read_as(tmp_path, box(500.0)).notes


def test_3mf_in_inches(tmp_path: Path) -> None:
    raw = (MESHES / "bracket.3mf").read_bytes()
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(raw)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            new.writestr(name, old.read(name).replace(b'unit="millimeter"', b'unit="inch"'))
    path = tmp_path / "inch.3mf"
    path.write_bytes(out.getvalue())
    assert measures(read_mesh(path).solid).volume_mm3 == pytest.approx(BRACKET_MM3 * 25.4**3, rel=1e-9)


def test_objects_of_a_scene_stand_in_their_places(tmp_path: Path) -> None:
    scene = trimesh.Scene()
    for shift in ([0.0, 0.0, 0.0], [0.0, 5.0, 0.0]):
        scene.add_geometry(box(), transform=trimesh.transformations.translation_matrix(shift))
    path = tmp_path / "two.glb"
    scene.export(path)
    read = read_mesh(path)
    assert measures(read.solid).volume_mm3 == pytest.approx(16e9)
    # 5 m up the file's y is 5 m up in z.
    np.testing.assert_allclose(np.ptp(read.solid.vertices_mm, axis=0), [2000.0, 2000.0, 7000.0])


def test_text_stl(tmp_path: Path) -> None:
    path = tmp_path / "text.stl"
    path.write_text(box(5.0).export(file_type="stl_ascii"), encoding="ascii")
    assert measures(read_mesh(path, "mm").solid).volume_mm3 == pytest.approx(125.0)
    path.write_text(path.read_text(encoding="ascii")[:-120], encoding="ascii")
    assert "cut off" in refusal(path).problem


def test_binary_stl_that_starts_with_solid(tmp_path: Path) -> None:
    path = tmp_path / "named.stl"
    raw = box(5.0).export(file_type="stl")
    path.write_bytes(b"solid facet".ljust(80) + raw[80:] + b"left over")
    # Bytes left over are no reason to refuse, but then only its first word tells text from numbers.
    assert "cut off" in refusal(path).problem
    path.write_bytes(b"solid facet".ljust(80) + raw[80:])
    assert measures(read_mesh(path, "mm").solid).volume_mm3 == pytest.approx(125.0)
    path.write_bytes(raw + b"left over")
    assert measures(read_mesh(path, "mm").solid).volume_mm3 == pytest.approx(125.0)


def test_bad_files_are_refused_by_name(tmp_path: Path) -> None:
    def told(name: str, content: bytes | str) -> str:
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return refusal(path).problem

    corners = "v 0 0 0\nv 10 0 0\nv 0 10 0\nv 0 0 10\n"
    faces = "f 1 3 2\nf 1 2 4\nf 1 4 3\nf 2 3 4\n"
    assert "vertex 2" in told("nan.obj", corners.replace("10 0 0", "nan 0 0") + faces)
    assert "vertex 3" in told("inf.obj", corners.replace("0 10 0", "0 inf 0") + faces)
    assert "empty" in told("empty.stl", "")
    assert "empty" in told("blank.obj", " \n")
    assert "no triangles" in told("points.obj", corners)
    assert "without area" in told("thin.obj", corners + "f 1 1 2\nf 1 2 2\n")
    assert "cannot be read" in told("far.obj", corners + faces.replace("4", "9"))
    assert "open" in told("one.obj", corners + "f 1 2 3\n")
    assert "no triangles" in told("none.stl", b"\0" * 84)
    cut = b"\0" * 80 + (1000).to_bytes(4, "little") + b"\0" * 50
    assert "cut off: it says 1000 triangles and holds 1" in told("cut.stl", cut)
    for kind in ("stl", "obj", "ply", "3mf", "glb", "step", "stp"):
        told(f"junk.{kind}", "hello, this is no mesh at all")
    assert "docx" in told("part.docx", "hello")
    flat = corners.replace("0 0 10", "10 10 0") + faces
    assert "no volume" in told("flat.obj", flat)
    (tmp_path / "folder.stl").mkdir()
    refusal(tmp_path / "folder.stl")
    assert "no such file" in refusal(tmp_path / "none_there.stl").problem


def test_unknown_format_lists_the_known(tmp_path: Path) -> None:
    cure = refusal(tmp_path / "part.docx").cure
    for kind in (".stl", ".obj", ".ply", ".3mf", ".glb", ".step", ".stp"):
        assert kind in cure


@pytest.mark.parametrize("kind", ["stl", "obj", "ply", "3mf", "glb"])
@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
    max_examples=30,
    deadline=None,
)
@given(share=st.floats(0.0, 0.999))
def test_a_cut_file_is_refused_by_name(tmp_path: Path, kind: str, share: float) -> None:
    raw = (MESHES / f"bracket.{kind}").read_bytes()
    path = tmp_path / f"cut.{kind}"
    # A text file without its last line end is still whole.
    path.write_bytes(raw[: min(int(share * len(raw)), len(raw) - 20)])
    refusal(path, "mm" if kind in ("stl", "obj", "ply") else None)


@pytest.mark.parametrize("kind", ["stl", "ply", "3mf", "glb"])
@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
    max_examples=20,
    deadline=None,
)
@given(share=st.floats(0.0, 0.99), junk=st.binary(min_size=1, max_size=12))
def test_a_spoiled_file_is_read_or_refused_but_never_a_crash(
    tmp_path: Path, kind: str, share: float, junk: bytes
) -> None:
    raw = bytearray((MESHES / f"bracket.{kind}").read_bytes())
    start = int(share * len(raw))
    raw[start : start + len(junk)] = junk
    path = tmp_path / f"spoiled.{kind}"
    path.write_bytes(raw)
    try:
        read_mesh(path, "mm" if kind in ("stl", "ply") else None)
    except Refused as fault:
        assert path.name in fault.problem


@pytest.mark.parametrize(("share", "junk"), [(0.2, b"(((("), (0.6, b"\x00\xff#"), (0.9, b"#1=#1;")])
def test_a_spoiled_step_file_is_read_or_refused_but_never_a_crash(
    tmp_path: Path, share: float, junk: bytes
) -> None:
    raw = bytearray((MESHES / "bracket.step").read_bytes())
    start = int(share * len(raw))
    raw[start : start + len(junk)] = junk
    path = tmp_path / "spoiled.step"
    path.write_bytes(raw)
    try:
        read_mesh(path, None)
    except Refused as fault:
        assert "spoiled.step" in fault.problem
    path.write_bytes(raw[: int(0.7 * len(raw))])
    refusal(path, None)


def test_an_archive_that_unpacks_to_far_too_much_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Zeros pack into a thousandth; so much of them is not unpacked to be looked at."""
    monkeypatch.setattr(mesh_3mf, "MOST_UNPACKED_BYTES", 1_000_000)
    path = tmp_path / "bomb.3mf"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("3D/3dmodel.model", bytes(2_000_000))
    assert path.stat().st_size < 10_000
    assert "unpacks to 2 MB" in refusal(path, None).problem


def test_a_step_reader_that_breaks_off_takes_nothing_with_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its compiled code can end the process on a damaged file: it has one of its own."""
    monkeypatch.setattr(meshes, "_STEP_READER", "import os; os.abort()")
    path = tmp_path / "part.step"
    path.write_bytes((MESHES / "bracket.step").read_bytes())
    assert "damaged" in refusal(path, None).problem


def test_reading_a_broken_step_file_prints_nothing(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    text = (MESHES / "bracket.step").read_text(encoding="ascii")
    path = tmp_path / "broken.step"
    path.write_text(text.replace("#16 = CLOSED_SHELL('',(", "#16 = CLOSED_SHELL('',(((("), encoding="ascii")
    refusal(path, None)
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize("kind", ["stl", "ply", "glb"])
def test_far_too_many_triangles_are_refused_from_the_header(tmp_path: Path, kind: str) -> None:
    count = MOST_TRIANGLES + 1
    mesh = {"primitives": [{"attributes": {"POSITION": 1}, "indices": 0}]}
    scene = json.dumps({"accessors": [{"count": 3 * count}, {"count": 9}], "meshes": [mesh]}).encode()
    heads: dict[str, bytes] = {
        "stl": b"\0" * 80 + count.to_bytes(4, "little"),
        "ply": f"ply\nformat ascii 1.0\nelement vertex 9\nelement face {count}\nend_header\n".encode(),
        "glb": b"glTF" + b"\2\0\0\0" + b"\0" * 4 + len(scene).to_bytes(4, "little") + b"JSON" + scene,
    }
    path = tmp_path / f"huge.{kind}"
    path.write_bytes(heads[kind])
    fault = refusal(path)
    assert str(count) in fault.problem
    assert "coarser" in fault.cure


Make = Callable[[], list[Trimesh]]


@pytest.mark.parametrize(
    ("parts", "volume", "sealed", "word"),
    [
        (lambda: [box(), box(at=(5, 0, 0))], 16.0, 0.0, ""),
        (lambda: [box(), box(at=(1, 0, 0))], 12.0, 0.0, "overlap"),
        (lambda: [box(), box(at=(0.5, 0.4, 0.3))], 16.0 - 1.5 * 1.6 * 1.7, 0.0, "overlap"),
        (lambda: [box(), box(at=(2, 0, 0))], 16.0, 0.0, ""),  # face to face
        (lambda: [box(), box(at=(2, 2, 0))], 16.0, 0.0, ""),  # edge to edge
        (lambda: [box(), box(at=(2, 2, 2))], 16.0, 0.0, ""),  # corner to corner
        (lambda: [box(), box(1.0, inward=True)], 7.0, 1.0, ""),  # a sealed space
        (lambda: [box(inward=True), box(1.0)], 7.0, 1.0, "inside-out"),
        (lambda: [box(), box(1.0)], 8.0, 0.0, "overlap"),  # metal in metal
        (lambda: [box(), box(1.0, inward=True), box(0.5)], 7.125, 0.875, ""),
        (lambda: [box(inward=True)], 8.0, 0.0, "inside-out"),
        (lambda: [box(inward=True), box(1.0, (5, 0, 0))], 9.0, 0.0, "1 of its bodies"),
        (lambda: [box(), box()], 8.0, 0.0, "on top of another"),
        # Triangle on triangle: the wall between the two goes.
        (lambda: [box(), mirrored(box())], 16.0, 0.0, "on top of another"),
        # A box in a box, each with its own space, and a bar that overlaps the outer one.
        (
            lambda: [box(4.0), box(3.0, inward=True), box(), box(1.0, inward=True), box(4.0, (3.75, 0, 0))],
            64.0 - 27.0 + 7.0 + 64.0 - 0.25 * 16.0,
            28.0 - 8.0,
            "overlap",
        ),
        # A body that reaches into the sealed space of another keeps its share of it.
        (lambda: [box(), box(1.0, inward=True), box(1.0, (0.75, 0.1, 0.1))], None, None, "overlap"),
    ],
)
def test_bodies(tmp_path: Path, parts: Make, volume: float | None, sealed: float | None, word: str) -> None:
    mesh = trimesh.util.concatenate(parts())
    for kind in ("stl", "ply"):
        read = read_as(tmp_path, mesh, kind, "in")
        notes = [note for note in read.notes if "check the unit" not in note]
        assert any(word in note for note in notes) if word else not [n for n in notes if "dropped" not in n]
        if volume is None or sealed is None:
            # The bar takes 0.25 x 0.9 x 0.9 of the space, and stands out by 0.25 x 1 x 1.
            volume, sealed = 7.0 + 0.25 * 0.9 * 0.9 + 0.25, 1.0 - 0.25 * 0.9 * 0.9
        assert measures(read.solid).volume_mm3 == pytest.approx(volume * 25.4**3, rel=1e-6)
        assert sealed_mm3(read.solid) == pytest.approx(sealed * 25.4**3, rel=1e-6)


def test_neighbours_that_disagree_are_turned(tmp_path: Path) -> None:
    mesh = trimesh.creation.icosphere(subdivisions=2, radius=50.0)
    right = mesh.volume
    faces = np.array(mesh.faces)
    faces[::3] = faces[::3, ::-1]
    read = read_as(tmp_path, Trimesh(mesh.vertices, faces, process=False))
    assert measures(read.solid).volume_mm3 == pytest.approx(right, rel=1e-6)
    assert read.notes == (f"{len(faces[::3])} triangles turned to face the same way as the neighbours",)


def test_a_surface_with_one_side_is_refused(tmp_path: Path) -> None:
    turns = np.linspace(0.0, 2.0 * math.pi, 40, endpoint=False)
    across = np.column_stack([np.cos(turns / 2), np.zeros(40), np.sin(turns / 2)]) * 20.0
    ring = np.column_stack([np.cos(turns), np.sin(turns), np.zeros(40)])
    side = across[:, :1] * ring + across[:, 2:] * [0.0, 0.0, 1.0]
    points = np.vstack([100.0 * ring + side, 100.0 * ring - side])
    faces = []
    for k in range(40):
        a, b, c, d = k, k + 40, (k + 1) % 40, (k + 1) % 40 + 40
        if k == 39:
            c, d = d, c
        faces += [(a, b, c), (b, d, c)]
    path = tmp_path / "strip.ply"
    Trimesh(points, faces, process=False).export(path)
    assert "one side" in refusal(path, "mm", 1.0).problem


def test_corners_almost_in_one_place_are_joined_and_noted(tmp_path: Path) -> None:
    mesh = box(100.0)
    loose = np.array(mesh.triangles).reshape(-1, 3)
    loose += np.random.default_rng(5).uniform(-1e-6, 1e-6, loose.shape)
    path = tmp_path / "loose.obj"
    lines = [f"v {x:.9f} {y:.9f} {z:.9f}" for x, y, z in loose]
    lines += [f"f {k} {k + 1} {k + 2}" for k in range(1, len(loose), 3)]
    path.write_text("\n".join(lines), encoding="ascii")
    read = read_mesh(path, "mm")
    assert len(read.solid.vertices_mm) == 8
    assert measures(read.solid).volume_mm3 == pytest.approx(1e6, rel=1e-6)
    assert "joined" in read.notes[0]


def test_corners_farther_apart_stay_open(tmp_path: Path) -> None:
    mesh = box(100.0)
    loose = np.array(mesh.triangles).reshape(-1, 3)
    loose += np.random.default_rng(5).uniform(-0.01, 0.01, loose.shape)
    path = tmp_path / "gaping.ply"
    Trimesh(loose, np.arange(36).reshape(-1, 3), process=False).export(path)
    assert "36 open edges" in refusal(path).problem


def test_spare_triangles_are_dropped_and_noted() -> None:
    mesh = box(100.0)
    thin = [[0, 0, 1], [2, 3, 3]]
    twice = mesh.faces[4:5]
    faces = np.vstack([mesh.faces, thin, twice]).astype(np.int64)
    stray = np.vstack([mesh.vertices, [[9e5, 9e5, 9e5]]])
    solid, notes = solid_from(joined_up(stray, faces, "box"))
    assert len(solid.triangles) == 12
    assert np.ptp(solid.vertices_mm, axis=0) == pytest.approx(100.0)  # the stray vertex is gone
    assert notes == ("2 triangles without area dropped", "1 triangle on top of another dropped")


def test_a_sheet_drawn_with_both_faces_is_one_sheet(tmp_path: Path) -> None:
    square = np.array([[0.0, 0.0, 0.0], [100.0, 0.0, 0.0], [100.0, 80.0, 0.0], [0.0, 80.0, 0.0]])
    faces = [[0, 1, 2], [0, 2, 3], [2, 1, 0], [3, 2, 0]]
    path = tmp_path / "both.ply"
    Trimesh(square, faces, process=False).export(path)
    assert "open" in refusal(path).problem
    assert measures(read_mesh(path, "mm", 1.5).solid).volume_mm3 == pytest.approx(100.0 * 80.0 * 1.5)


@given(st.randoms(use_true_random=False), st.floats(-1e4, 1e4))
def test_the_order_of_triangles_and_a_shift_change_nothing(random: object, shift: float) -> None:
    mesh = trimesh.util.concatenate([box(100.0), box(50.0, inward=True), box(30.0, (200.0, 0.0, 0.0))])
    order = np.arange(len(mesh.faces))
    random.shuffle(order)  # type: ignore[attr-defined]
    points = np.array(mesh.triangles[order]).reshape(-1, 3) + shift
    solid, notes = solid_from(joined_up(points, np.arange(len(points)).reshape(-1, 3), "shuffled"))
    assert notes == ()
    assert measures(solid).volume_mm3 == pytest.approx(1e6 - 125e3 + 27e3, rel=1e-9)
    assert sealed_mm3(solid) == pytest.approx(125e3, rel=1e-9)
