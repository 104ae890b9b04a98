"""Damaged, endless and hostile files: an answer or one clear line, never a traceback, never a file elsewhere."""

from __future__ import annotations

import io
import json
import re
import struct
import zipfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from strategies.damage import MESHES, WAYS

from fitcheck.files import mesh_3mf, mesh_formats, meshes
from fitcheck.files.meshes import read_mesh
from fitcheck.words.errors import Refused

CORNERS, FACES = "v 0 0 0\nv 10 0 0\nv 0 10 0\nv 0 0 10\n", "f 1 3 2\nf 1 2 4\nf 1 4 3\nf 2 3 4\n"


def told(path: Path, content: bytes | str, unit: str | None = None) -> str:
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    with pytest.raises(Refused) as caught:
        read_mesh(path, unit)
    assert path.name in caught.value.problem
    assert "\n" not in str(caught.value)
    return caught.value.problem


# The nightly run has thousands of each.
@pytest.mark.parametrize(("way", "seeds"), [("mesh", 100), ("shop", 6), ("quantity", 200), ("answer", 4)])
def test_a_damaged_file_ends_in_an_answer_or_in_one_line(way: str, seeds: int, tmp_path: Path) -> None:
    for seed in range(seeds):
        WAYS[way](np.random.default_rng([seed, 1]), tmp_path)


def archive_of(change: Mapping[bytes, bytes]) -> bytes:
    """Return the bracket as 3MF, with stretches of its XML changed."""
    store = io.BytesIO()
    with (
        zipfile.ZipFile(MESHES / "bracket.3mf") as old,
        zipfile.ZipFile(store, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for member in old.namelist():
            xml = old.read(member)
            for one, other in change.items():
                xml = xml.replace(one, other)
            new.writestr(member, xml)
    return store.getvalue()


ITEM, END, HEAD = b'objectid="1" transform', b"</resources>", b"<model "


def doubled(times: int) -> bytes:
    """Return objects, each of which is the one before it twice."""
    rows = (
        f'<object id="{k + 2}"><components>{f"""<component objectid="{k + 1}"/>""" * 2}</components></object>'
        for k in range(times)
    )
    return "".join(rows).encode() + END


@pytest.mark.parametrize(
    ("change", "problem"),
    [
        (
            {HEAD: b'<!DOCTYPE m [<!ENTITY x SYSTEM "file:///etc/passwd">]><model '},
            "document type definition",
        ),
        ({ITEM: b'objectid="41" transform', END: doubled(40)}, "more than the 10000000"),
        ({ITEM: b'objectid="2" transform', END: doubled(1).replace(b'"1"', b'"2"')}, "made of itself"),
    ],
    ids=["names a file elsewhere", "doubles forty times", "is made of itself"],
)
def test_a_small_archive_that_would_not_end_is_refused(
    tmp_path: Path, change: Mapping[bytes, bytes], problem: str
) -> None:
    assert problem in told(tmp_path / "part.3mf", archive_of(change))


def test_objects_of_objects_are_read_and_counted() -> None:
    raw = (MESHES / "bracket.3mf").read_bytes()
    once = mesh_3mf.placed_triangles(raw)
    assert once == 612
    assert (
        mesh_3mf.placed_triangles(archive_of({ITEM: b'objectid="4" transform', END: doubled(3)})) == 8 * once
    )


def scene() -> tuple[Any, bytes]:
    """Return the JSON of the bracket as GLB, and what follows it."""
    raw = (MESHES / "bracket.glb").read_bytes()
    length = struct.unpack_from("<I", raw, 12)[0]
    return json.loads(raw[20 : 20 + length]), raw[20 + length :]


def glb_of(told: Any, rest: bytes) -> bytes:
    text = json.dumps(told).encode()
    text += b" " * (-len(text) % 4)
    head = struct.pack("<4sIII4s", b"glTF", 2, 20 + len(text) + len(rest), len(text), b"JSON")
    return head + text + rest


def test_a_scene_that_names_files_elsewhere_or_has_no_end_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "part.glb"
    data, rest = scene()
    buffers = [{**data["buffers"][0], "uri": "../../../etc/passwd"}]
    assert "in another file" in told(path, glb_of({**data, "buffers": buffers}, rest))
    often = {**data, "nodes": [{"mesh": 0}] * 20_000}
    assert "12240000 triangles" in told(path, glb_of(often, rest))
    wide = {
        **data,
        "accessors": [*data["accessors"], {"componentType": 5126, "type": "VEC3", "count": 10**12}],
    }
    assert "more than" in told(path, glb_of(wide, rest))
    deep = b'{"a":' * 5000 + b"0" + b"}" * 5000
    told(path, struct.pack("<4sIII4s", b"glTF", 2, 20 + len(deep), len(deep), b"JSON") + deep)


def test_what_is_larger_than_stated_is_refused_before_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "part.obj"
    with path.open("wb") as file:
        file.truncate(mesh_formats.MOST_BYTES + 1)  # takes no room on the disk
    with pytest.raises(Refused, match="3000 MB are more than"):
        read_mesh(path, "mm")
    monkeypatch.setattr(mesh_formats, "MOST_TRIANGLES", 3)
    assert "4 triangles are more than the 3" in told(path, CORNERS + FACES, "mm")
    facet = "facet normal 0 0 0\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\n"
    assert "4 triangles" in told(tmp_path / "part.stl", f"solid a\n{facet * 4}endsolid a\n", "mm")


def test_what_the_machine_has_no_memory_for_is_refused_before_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(mesh_formats, "_free_bytes", lambda: 100_000)
    (tmp_path / "part.stl").write_bytes((MESHES / "bracket.stl").read_bytes())
    with pytest.raises(Refused, match=r"612 triangles takes some 0\.0 GB"):
        read_mesh(tmp_path / "part.stl", "mm")


@pytest.mark.parametrize("power", ["e12", "e200", "e308", "e-200"])
def test_coordinates_beyond_any_part_are_refused(tmp_path: Path, power: str) -> None:
    told(tmp_path / "part.obj", re.sub(r"\b10\b", f"1{power}", CORNERS) + FACES, "mm")


def test_a_part_drawn_too_far_from_its_origin_is_refused(tmp_path: Path) -> None:
    away = re.sub(r"v (\d+)", lambda found: f"v {1e9 + int(found[1])}", CORNERS)
    assert "farther than" in told(tmp_path / "part.obj", away + FACES, "mm")


def test_a_step_reader_that_does_not_end_is_ended(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # It never ends by itself, so that the limit is reached on any machine.
    monkeypatch.setattr(meshes, "_STEP_READER", "import signal; signal.pause()")
    monkeypatch.setattr(meshes, "_STEP_SECONDS", 0.3)
    assert "not ready after" in told(tmp_path / "part.step", (MESHES / "bracket.step").read_bytes())


def test_a_step_reader_that_takes_all_memory_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So much is not enough even to load it; the limit of another process is not that of this one."""
    monkeypatch.setattr(meshes, "_STEP_BYTES", 20_000_000)
    told(tmp_path / "part.step", (MESHES / "bracket.step").read_bytes())
