"""Check of mesh files before they are read: whole, of the format they claim, not too large.

The layout of each header: binary STL, 80 bytes, a count, 50 bytes a triangle (common practice, no standard);
PLY, text lines up to end_header (G. Turk, The PLY polygon file format, 1994); glTF 2.0 (ISO/IEC 12113:2022),
section 4.4, binary glTF; STEP, ISO 10303-21, first and last line; 3MF, a ZIP archive.
"""

from __future__ import annotations

import difflib
import io
import json
import os
import re
import struct
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any, BinaryIO, Final

import numpy as np

from fitcheck.files.mesh_3mf import placed_triangles
from fitcheck.words.errors import Refused

MOST_TRIANGLES: Final = 10_000_000
# What reading takes at its height, seen with binary STL files of two and of ten million triangles.
MEMORY_A_TRIANGLE: Final = 550
# A triangle of a text STL takes some 250 letters: this is ten million of them.
MOST_BYTES: Final = 3_000_000_000
# Does the format say in which unit its numbers are?
SAYS_UNIT: Final = {
    ".stl": False,
    ".obj": False,
    ".ply": False,
    ".3mf": True,
    ".glb": True,
    ".step": True,
    ".stp": True,
}
_STL_HEADER, _STL_TRIANGLE = 84, 50
# No more corners than three to a triangle are of use.
_CORNERS = 3
_AGAIN = "export or copy it again"


def whole_file(path: Path) -> bytes:
    """Return the bytes of a mesh file that looks whole.

    Raises `Refused`, naming the file, where the format is not known, where there is no such file, and where
    it is empty, cut off, of another format than its name says, too large, or of over ten million triangles.
    """
    name, kind = path.name, path.suffix.lower()
    if kind not in SAYS_UNIT:
        raise Refused(
            f"{name}: {kind or 'a name without an ending'} is not a mesh format known here",
            f"use one of {' '.join(SAYS_UNIT)}",
        )
    try:
        with path.open("rb") as file:
            _refuse_too_large(name, os.fstat(file.fileno()).st_size)
            _refuse_too_many(name, _declared_triangles(kind, file))
            file.seek(0)
            raw = file.read()
    except OSError as fault:
        reason = "there is no such file" if isinstance(fault, FileNotFoundError) else f"{fault.strerror}"
        raise Refused(f"{name}: {reason}", f"{_instead(path)}looked for it at {path}") from fault
    if not raw.strip():
        raise Refused(f"{name}: the file is empty", _AGAIN)
    return _CHECKS[kind](name, raw)


def _instead(path: Path) -> str:
    """Return the file of the same folder that is named most like one that is not there."""
    if not path.parent.is_dir():
        return ""
    names = {each.name.casefold(): each.name for each in path.parent.iterdir() if each.is_file()}
    near = difflib.get_close_matches(path.name.casefold(), names, n=1)
    return f"did you mean {names[near[0]]}? " if near else ""


def _refuse_too_large(name: str, size: int) -> None:
    if size > MOST_BYTES:
        raise Refused(
            f"{name}: {size // 10**6} MB are more than the {MOST_BYTES // 10**6} that are read",
            "export it coarser",
        )


def _refuse_too_many(name: str, triangles: int) -> None:
    if triangles > MOST_TRIANGLES:
        raise Refused(
            f"{name}: {triangles} triangles are more than the {MOST_TRIANGLES} that are read",
            "export it with a coarser tolerance; a tenth of a millimetre is finer than a tape",
        )
    needed, free = triangles * MEMORY_A_TRIANGLE, _free_bytes()
    if free is not None and needed > free:
        told = f"{name}: to read {triangles} triangles takes some {needed / 1e9:.1f} GB"
        raise Refused(f"{told}, and {free / 1e9:.1f} are free", "export it with a coarser tolerance")


def _free_bytes() -> int | None:
    """Return how much memory this machine has free; None where it does not say (Linux does)."""
    try:
        found = re.search(r"MemAvailable:\s+(\d+) kB", Path("/proc/meminfo").read_text(encoding="ascii"))
    except OSError:
        return None
    return 1024 * int(found[1]) if found else None


def _declared_triangles(kind: str, file: BinaryIO) -> int:
    """Return how many triangles the header says there are; 0 where it does not say."""
    head = file.read(65536)
    if kind == ".stl" and not _is_text_stl(head) and len(head) >= _STL_HEADER:
        return int(struct.unpack_from("<I", head, 80)[0])
    if kind == ".ply":
        header = head.split(b"end_header")[0]
        found = {kind: int(count) for kind, count in re.findall(rb"element (face|vertex) (\d{1,18})", header)}
        return max(found.get(b"face", 0), found.get(b"vertex", 0) // _CORNERS)
    if kind == ".glb" and len(head) >= 20:
        return _glb_triangles(head, file)
    return 0


def _glb_scene(head: bytes, file: BinaryIO) -> Any:
    """Return the JSON chunk of a binary glTF; raises ValueError or RecursionError where there is none."""
    file.seek(20)
    return json.loads(file.read(struct.unpack_from("<I", head, 12)[0]))


def _glb_triangles(head: bytes, file: BinaryIO) -> int:
    """Return the triangles of all meshes that the JSON chunk of a binary glTF lists, where they stand.

    A mesh counts as often as nodes place it. A list of numbers that no mesh uses takes memory too.
    """
    try:
        scene = _glb_scene(head, file)
        accessors = scene["accessors"]
        meshes = [
            sum(
                int(accessors[p["indices"] if "indices" in p else p["attributes"]["POSITION"]]["count"]) // 3
                for p in mesh["primitives"]
            )
            for mesh in scene["meshes"]
        ]
        placed = [int(node["mesh"]) for node in scene.get("nodes", []) if "mesh" in node]
        largest = max(int(accessor["count"]) for accessor in accessors) // _CORNERS
        return max(sum(meshes), sum(meshes[k] for k in placed), largest)
    except (ValueError, KeyError, TypeError, IndexError, AttributeError, RecursionError):
        return 0  # not a scene: the reader will say what is wrong with it


def _is_text_stl(raw: bytes) -> bool:
    return raw[:5].lower() == b"solid" and b"facet" in raw[:4096].lower()


def _check_stl(name: str, raw: bytes) -> bytes:
    count = stl_count(raw)
    whole = _STL_HEADER + _STL_TRIANGLE * count
    if len(raw) != whole and _is_text_stl(raw):
        if b"endsolid" not in raw[-1024:].lower():
            raise Refused(f"{name}: the file is cut off: its last line is not endsolid", _AGAIN)
        _refuse_too_many(name, raw.count(b"endfacet") + raw.count(b"ENDFACET"))
        return raw
    if len(raw) < _STL_HEADER:
        raise Refused(f"{name}: {len(raw)} bytes are no STL file, or one that is cut off", _AGAIN)
    if len(raw) < whole:
        held = (len(raw) - _STL_HEADER) // _STL_TRIANGLE
        raise Refused(f"{name}: the file is cut off: it says {count} triangles and holds {held}", _AGAIN)
    return raw[:whole]


def stl_count(raw: bytes) -> int:
    """Return how many triangles a binary STL file says that it has; 0 where it has no whole header."""
    return int(struct.unpack_from("<I", raw, 80)[0]) if len(raw) >= _STL_HEADER else 0


def is_binary_stl(raw: bytes) -> bool:
    """Tell whether the bytes are as many as a binary STL file of its count of triangles has."""
    return len(raw) >= _STL_HEADER and len(raw) == _STL_HEADER + _STL_TRIANGLE * stl_count(raw)


def stl_corners(raw: bytes) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Return the corners (3 x triangles, 3) of a binary STL file, three a triangle.

    Read here, since a reader that keeps normals and colours too takes twice the memory.
    """
    record = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
    rows = np.frombuffer(raw, record, stl_count(raw), _STL_HEADER)
    return rows["corners"].reshape(-1, 3).astype(np.float64)


def _check_obj(name: str, raw: bytes) -> bytes:
    _refuse_too_many(name, raw.count(b"\nf "))
    return raw


def _check_ply(name: str, raw: bytes) -> bytes:
    if not raw.startswith(b"ply"):
        raise Refused(f"{name}: this is no PLY file: its first line is not ply", _AGAIN)
    if b"end_header" not in raw:
        raise Refused(f"{name}: the file is cut off in its header", _AGAIN)
    return raw


def _check_glb(name: str, raw: bytes) -> bytes:
    if raw[:4] != b"glTF":
        raise Refused(f"{name}: this is no GLB file: it does not start with glTF", _AGAIN)
    whole = struct.unpack_from("<I", raw, 8)[0] if len(raw) >= 12 else 12
    if len(raw) < whole:
        raise Refused(f"{name}: the file is cut off: it says {whole} bytes and holds {len(raw)}", _AGAIN)
    try:
        buffers = _glb_scene(raw[:20], io.BytesIO(raw))["buffers"]
        elsewhere = [b["uri"] for b in buffers if not str(b.get("uri", "data:")).startswith("data:")]
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError, struct.error):
        return raw  # the reader will say what is wrong with it
    if elsewhere:
        raise Refused(f"{name}: its numbers are in another file", "export it as one file, with all in it")
    return raw


def _check_3mf(name: str, raw: bytes) -> bytes:
    if not zipfile.is_zipfile(io.BytesIO(raw)):
        raise Refused(f"{name}: this is no 3MF file (a ZIP archive), or one that is cut off", _AGAIN)
    _refuse_too_many(name, placed_triangles(raw))
    return raw


def _check_step(name: str, raw: bytes) -> bytes:
    if not raw.lstrip().startswith(b"ISO-10303-21"):
        raise Refused(f"{name}: this is no STEP file: it does not start with ISO-10303-21", _AGAIN)
    if b"END-ISO-10303-21" not in raw[-1024:]:
        raise Refused(f"{name}: the file is cut off: its last line is not END-ISO-10303-21", _AGAIN)
    return raw


_CHECKS: Final[dict[str, Callable[[str, bytes], bytes]]] = {
    ".stl": _check_stl,
    ".obj": _check_obj,
    ".ply": _check_ply,
    ".3mf": _check_3mf,
    ".glb": _check_glb,
    ".step": _check_step,
    ".stp": _check_step,
}
