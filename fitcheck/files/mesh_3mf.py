"""Check of a 3MF archive before it is unpacked: how much is in it, and how often it is placed.

3MF Core Specification (3MF Consortium): a ZIP archive of .model files in XML, in which objects hold triangles
or components, other objects placed; items of the build are placed too. So a few lines can ask for more
triangles than there is memory. Its XML has no document type definition (ECMA-376-2, OPC).
"""

from __future__ import annotations

import io
import re
import struct
import zipfile
import zlib
from collections import Counter
from graphlib import CycleError, TopologicalSorter
from typing import Final

from fitcheck.words.errors import Refused

# A triangle takes about 60 letters and its share of a corner as many again: this is some ten million.
MOST_UNPACKED_BYTES: Final = 1_500_000_000
_PLACED = re.compile(
    rb"""<(?:[\w.-]+:)?(object|component|item)\b[^>]*?\b(?:object)?id\s*=\s*["']([^"']*)["']""", re.ASCII
)
_TRIANGLE, _DTD = b"triangle ", b"<!DOCTYPE"
# Counts may grow beyond anything that can be written out; this is far more than is read.
_ENDLESS = 10**15
# What `zipfile` and `zlib` raise for an archive that is damaged, locked or packed in an unknown way.
_DAMAGED = (
    zipfile.BadZipFile,
    zlib.error,
    struct.error,
    ValueError,
    NotImplementedError,
    RuntimeError,
    OSError,
    EOFError,
)


def placed_triangles(raw: bytes) -> int:
    """Return how many triangles the build of an archive has, an object counted as often as it is placed.

    An object counts as one triangle at least. Returns 0 for an archive that is damaged: its reader will say
    how. Raises `Refused` where it unpacks to more than is read, has a document type definition, or an object
    that is made of itself.
    """
    try:
        models = _models(raw)
    except Refused:
        raise
    except _DAMAGED:
        return 0
    own: Counter[bytes] = Counter()
    made_of: dict[bytes, list[bytes]] = {}
    items: list[bytes] = []
    for xml in models:
        if _DTD in xml[:65536]:
            raise Refused("its XML has a document type definition", "export it again: 3MF has none")
        _read_over(xml, own, made_of, items)
    try:
        order = list(TopologicalSorter(made_of).static_order())
    except CycleError as fault:
        raise Refused("an object in it is made of itself", "export it again") from fault
    total: dict[bytes, int] = {}
    for name in order:
        parts = sum(total.get(part, 1) for part in made_of.get(name, []))
        total[name] = min(max(own[name] + parts, 1), _ENDLESS)
    return min(sum(total.get(name, own[name]) for name in items), _ENDLESS)


def _models(raw: bytes) -> list[bytes]:
    """Return the XML of every model in the archive."""
    with zipfile.ZipFile(io.BytesIO(raw)) as archive:
        members = archive.infolist()
        # What the archive says of itself; a member with more than it says ends in a fault of its reader.
        unpacked = sum(member.file_size for member in members)
        if unpacked > MOST_UNPACKED_BYTES:
            told = f"it unpacks to {unpacked // 10**6} MB"
            raise Refused(
                f"{told}, more than the {MOST_UNPACKED_BYTES // 10**6} that are read",
                "export it coarser, or as STL",
            )
        return [archive.read(member) for member in members if member.filename.lower().endswith(".model")]


def _read_over(
    xml: bytes, own: Counter[bytes], made_of: dict[bytes, list[bytes]], items: list[bytes]
) -> None:
    """Note the triangles of each object of a model, what it is made of, and what the build places."""
    current, start = None, 0
    for found in _PLACED.finditer(xml):
        kind, name = found.groups()
        if kind == b"component":
            made_of.setdefault(current or b"", []).append(name)
            continue
        if current is not None:
            own[current] += xml.count(_TRIANGLE, start, found.start())
        current, start = (name, found.end()) if kind == b"object" else (None, 0)
        if kind == b"object":
            made_of.setdefault(name, [])
        else:
            items.append(name)
    if current is not None:
        own[current] += xml.count(_TRIANGLE, start)
