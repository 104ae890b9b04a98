"""A posed part goes out as a mesh and comes back the same, within the precision of its file."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import trimesh

import fitcheck as fc
from fitcheck.files.meshes import read_mesh
from fitcheck.files.posed_mesh import Body, bodies, write_bodies
from fitcheck.proving.exact_gaps import recheck
from fitcheck.things.solid import Floats
from fitcheck.words.errors import Refused

YARD = Path(__file__).resolve().parents[2] / "examples" / "yard"
# STL and GLB keep 24 bits of a number (IEEE 754 binary32): half of the last of them, of metres in mm.
SINGLE = 2.0**-24


@pytest.fixture(scope="module")
def posed() -> tuple[Body, ...]:
    """Return the boom in the long tank with its side blocks."""
    shop = fc.read_shop(YARD / "blocks.toml")
    part, tank = shop.parts["P01"], shop.tanks["T1"]
    answer = fc.dip(part, tank)
    assert isinstance(answer, fc.Fits)
    pose = answer.advice.pose
    assert recheck(part, tank, pose).holds
    these = bodies(part, tank, pose)
    # A block of the same name once more: it stays a body of its own.
    return (*these, *(replace(body) for body in these[2:3]))


def corners(body: Body) -> Floats:
    return body.solid.vertices_mm[body.solid.triangles].reshape(-1, 3)


def test_stl_holds_all_triangles_in_mm(posed: tuple[Body, ...], tmp_path: Path) -> None:
    path = tmp_path / "posed.stl"
    write_bodies(path, posed)
    mesh = trimesh.load(path, process=False)
    wanted = np.vstack([corners(body) for body in posed])
    found = mesh.vertices[mesh.faces].reshape(-1, 3)
    assert found.shape == wanted.shape
    assert np.abs(found - wanted).max() <= SINGLE * np.abs(wanted).max()


def test_glb_keeps_bodies_apart_in_metres_y_up(posed: tuple[Body, ...], tmp_path: Path) -> None:
    path = tmp_path / "posed.glb"
    write_bodies(path, posed)
    scene = trimesh.load_scene(path, process=False)
    assert len(scene.geometry) == len(posed)
    assert posed[0].name in scene.geometry
    for body, mesh in zip(posed, scene.geometry.values(), strict=True):
        x, y, z = mesh.vertices[mesh.faces].reshape(-1, 3).T * 1000.0
        found, wanted = np.column_stack([x, -z, y]), corners(body)
        assert np.abs(found - wanted).max() <= 4.0 * SINGLE * np.abs(wanted).max()


def test_3mf_keeps_bodies_apart_in_mm(posed: tuple[Body, ...], tmp_path: Path) -> None:
    path = tmp_path / "posed.3mf"
    write_bodies(path, posed)
    scene = trimesh.load_scene(path, process=False)
    assert scene.units in ("millimeter", "mm")
    assert len(scene.geometry) == len(posed)
    sizes = sorted(tuple(np.ptp(mesh.vertices, axis=0).round(3)) for mesh in scene.geometry.values())
    assert sizes == sorted(tuple(np.ptp(body.solid.vertices_mm, axis=0).round(3)) for body in posed)


@pytest.mark.parametrize("kind", [".stl", ".glb", ".3mf"])
def test_a_part_comes_back_as_it_went(posed: tuple[Body, ...], tmp_path: Path, kind: str) -> None:
    """Written alone and read by fitcheck's own reader it has the same place, size and volume."""
    path = tmp_path / f"part{kind}"
    write_bodies(path, posed[:1])
    back = read_mesh(path, "mm" if kind == ".stl" else None).solid
    solid = posed[0].solid
    reach = np.abs(solid.vertices_mm).max()
    for extreme in (np.min, np.max):
        off = extreme(back.vertices_mm, axis=0) - extreme(solid.vertices_mm, axis=0)
        assert np.abs(off).max() <= 4.0 * SINGLE * reach


def test_what_is_there_is_not_written_over(posed: tuple[Body, ...], tmp_path: Path) -> None:
    path = tmp_path / "mine.stl"
    path.write_text("mine")
    with pytest.raises(Refused, match="is there already"):
        write_bodies(path, posed)
    assert path.read_text() == "mine"
    write_bodies(path, posed, over=True)
    assert path.read_bytes()[80:84] != b""
    with pytest.raises(Refused, match="not a kind of mesh"):
        write_bodies(tmp_path / "posed.dwg", posed)
    with pytest.raises(Refused, match="no folder"):
        write_bodies(tmp_path / "no" / "posed.stl", posed)
    assert [p.name for p in tmp_path.iterdir()] == ["mine.stl"]


def test_the_command_writes_the_pose_it_tells(
    fitcheck_command: Callable[..., object], tmp_path: Path
) -> None:
    path = tmp_path / "P08.stl"
    done = fitcheck_command("export", YARD / "yard.toml", "P08", "T1", "--to", path, "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["verdict"] == "fits"
    assert told["bodies"] == ["P08", "T1 inside"]
    part = fc.read_shop(YARD / "yard.toml").parts["P08"]
    matrix = np.array(told["pose"]["matrix"])
    wanted = part.solid.vertices_mm @ matrix[:3, :3].T + matrix[:3, 3]
    mesh = trimesh.load(path, process=False)
    placed = mesh.vertices[mesh.faces][: len(part.solid.triangles)].reshape(-1, 3)
    assert np.abs(placed - wanted[part.solid.triangles].reshape(-1, 3)).max() < 1e-2
