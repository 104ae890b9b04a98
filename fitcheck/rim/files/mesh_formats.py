"""Mesh files looked over before they are read: whole, of the format they claim, and not too large.

The layout of each header: binary STL, 80 bytes, a count, 50 bytes a triangle (common practice, no standard);
PLY, text lines up to end_header (G. Turk, The PLY polygon file format, 1994); glTF 2.0 (ISO/IEC 12113:2022),
section 4.4, binary glTF; STEP, ISO 10303-21, first and last line; 3MF, a ZIP archive.
"""

from __future__ import annotations

import io
import json
import re
import struct
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO, Final

from fitcheck.words.errors import Refused

MOST_TRIANGLES: Final = 10_000_000
# A 3MF triangle takes about 60 letters and its share of a corner as many again: this is some ten million.
MOST_UNPACKED_BYTES: Final = 1_500_000_000
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
_AGAIN = "export or copy it again"


def whole_file(path: Path) -> bytes:
    """Return the bytes of a mesh file that looks whole.

    Raises `Refused`, naming the file, where the format is not known, where there is no such file, and where
    it is empty, cut off, of another format than its name says, or says it has over ten million triangles.
    """
    name, kind = path.name, path.suffix.lower()
    if kind not in SAYS_UNIT:
        raise Refused(
            f"{name}: {kind or 'a name without an ending'} is not a mesh format known here",
            f"use one of {' '.join(SAYS_UNIT)}",
        )
    try:
        with path.open("rb") as file:
            _refuse_too_many(name, _declared_triangles(kind, file))
            file.seek(0)
            raw = file.read()
    except OSError as fault:
        reason = "there is no such file" if isinstance(fault, FileNotFoundError) else f"{fault.strerror}"
        raise Refused(f"{name}: {reason}", f"looked for it at {path}") from fault
    if not raw.strip():
        raise Refused(f"{name}: the file is empty", _AGAIN)
    return _CHECKS[kind](name, raw)


def _refuse_too_many(name: str, triangles: int) -> None:
    if triangles > MOST_TRIANGLES:
        raise Refused(
            f"{name}: {triangles} triangles are more than the {MOST_TRIANGLES} that are read",
            "export it with a coarser tolerance; a tenth of a millimetre is finer than a tape",
        )


def _declared_triangles(kind: str, file: BinaryIO) -> int:
    """Return how many triangles the header says there are; 0 where it does not say."""
    head = file.read(65536)
    if kind == ".stl" and not _is_text_stl(head) and len(head) >= _STL_HEADER:
        return int(struct.unpack_from("<I", head, 80)[0])
    if kind == ".ply":
        found = re.search(rb"element face (\d+)", head.split(b"end_header")[0])
        return int(found[1]) if found else 0
    if kind == ".glb" and len(head) >= 20:
        return _glb_triangles(head, file)
    return 0


def _glb_triangles(head: bytes, file: BinaryIO) -> int:
    """Return the triangles of all meshes that the JSON chunk of a binary glTF lists."""
    length = struct.unpack_from("<I", head, 12)[0]
    file.seek(20)
    try:
        scene = json.loads(file.read(length))
        accessors = scene["accessors"]
        primitives = [p for mesh in scene["meshes"] for p in mesh["primitives"]]
        listed = [p["indices"] if "indices" in p else p["attributes"]["POSITION"] for p in primitives]
        return sum(int(accessors[k]["count"]) // 3 for k in listed)
    except (ValueError, KeyError, TypeError, IndexError, AttributeError):
        return 0  # not a scene: the reader will say what is wrong with it


def _is_text_stl(raw: bytes) -> bool:
    return raw[:5].lower() == b"solid" and b"facet" in raw[:4096].lower()


def _check_stl(name: str, raw: bytes) -> bytes:
    count = struct.unpack_from("<I", raw, 80)[0] if len(raw) >= _STL_HEADER else 0
    whole = _STL_HEADER + _STL_TRIANGLE * count
    if len(raw) != whole and _is_text_stl(raw):
        if b"endsolid" not in raw[-1024:].lower():
            raise Refused(f"{name}: the file is cut off: its last line is not endsolid", _AGAIN)
        return raw
    if len(raw) < _STL_HEADER:
        raise Refused(f"{name}: {len(raw)} bytes are no STL file, or one that is cut off", _AGAIN)
    if len(raw) < whole:
        held = (len(raw) - _STL_HEADER) // _STL_TRIANGLE
        raise Refused(f"{name}: the file is cut off: it says {count} triangles and holds {held}", _AGAIN)
    return raw[:whole]


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
    return raw


def _check_step(name: str, raw: bytes) -> bytes:
    if not raw.lstrip().startswith(b"ISO-10303-21"):
        raise Refused(f"{name}: this is no STEP file: it does not start with ISO-10303-21", _AGAIN)
    if b"END-ISO-10303-21" not in raw[-1024:]:
        raise Refused(f"{name}: the file is cut off: its last line is not END-ISO-10303-21", _AGAIN)
    return raw


def _check_3mf(name: str, raw: bytes) -> bytes:
    if not zipfile.is_zipfile(io.BytesIO(raw)):
        raise Refused(f"{name}: this is no 3MF file (a ZIP archive), or one that is cut off", _AGAIN)
    # What the archive says of itself; a member that holds more than it says ends in a fault of its reader.
    with zipfile.ZipFile(io.BytesIO(raw)) as archive:
        unpacked = sum(member.file_size for member in archive.infolist())
    if unpacked > MOST_UNPACKED_BYTES:
        told = f"{name}: it unpacks to {unpacked // 10**6} MB"
        raise Refused(
            f"{told}, more than the {MOST_UNPACKED_BYTES // 10**6} that are read",
            "export it coarser, or as STL",
        )
    return raw


_CHECKS: Final[dict[str, Callable[[str, bytes], bytes]]] = {
    ".stl": _check_stl,
    ".obj": lambda _, raw: raw,
    ".ply": _check_ply,
    ".3mf": _check_3mf,
    ".glb": _check_glb,
    ".step": _check_step,
    ".stp": _check_step,
}
