"""Answers kept from one command to the next, by the content of what was asked.

A key is the hash of all that the answer depends on: the bytes of part and tank, the rules, and the program
itself down to its source, so that no answer outlives a change of any of them. A file an answer, as JSON,
written beside its place and then moved there: two commands at once do not disturb each other.
"""

from __future__ import annotations

import contextlib
import dataclasses
import hashlib
import json
import os
import platform
import tomllib
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import numpy as np

from fitcheck.files.shop_words import LARGEST_BYTES, file_in
from fitcheck.files.written import write_text
from fitcheck.questions.chart.answer import ChartRow
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused

PACKAGE = Path(__file__).parents[2]
Rows = dict[tuple[str, str], ChartRow]
# What is kept of a row. It has no cautions, and the shop asked is at hand when it is wanted again.
_KEPT = ("part", "tank", "verdict", "spare_mm", "spare_at_most_mm", "tilt_rad", "least_level_mm")


def user_folder() -> Path:
    """Return the folder for what may be computed again (XDG base directory specification)."""
    named = os.environ.get("XDG_CACHE_HOME", "")
    if named and Path(named).is_absolute():
        return Path(named) / "fitcheck" / "answers"
    try:
        return Path.home() / ".cache" / "fitcheck" / "answers"
    except RuntimeError:  # a user without a home keeps nothing
        return Path(os.devnull) / "answers"


class AnswerStore:
    """The folder of answers. What cannot be read there is computed; what cannot be written is not kept."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def get(self, key: str) -> object:
        """Return what was kept under a key; None where there is nothing, or nothing that can be read."""
        try:
            return json.loads((self.folder / f"{key}.json").read_bytes())
        except (OSError, ValueError):
            return None

    def put(self, key: str, data: object) -> None:
        """Keep data under a key."""
        with contextlib.suppress(OSError, Refused):
            self.folder.mkdir(parents=True, exist_ok=True)
            write_text(self.folder / f"{key}.json", json.dumps(data))

    def rows(self, keys: dict[tuple[str, str], str]) -> Rows:
        """Return the rows kept, of those asked for by part and tank."""
        found = {names: row_from(self.get(key), names) for names, key in keys.items()}
        return {names: row for names, row in found.items() if row is not None}


def keys_of(shop: Shop) -> dict[tuple[str, str], str]:
    """Return the key of every row of a shop's chart, by part and tank."""
    parts = {name: content(part) for name, part in shop.parts.items()}
    tanks = {name: content(tank) for name, tank in shop.tanks.items()}
    return {(p, t): _hash([program(), parts[p], tanks[t]]) for p in parts for t in tanks}


def key_of_file(path: Path) -> str | None:
    """Return the key of all that a shop file says, its meshes included; None where one cannot be had."""
    try:
        if not path.is_file() or path.stat().st_size > LARGEST_BYTES:
            return None
        text = path.read_bytes()
        tables = tomllib.loads(text.decode("utf-8-sig"))
        things = [thing for kind in ("tanks", "parts") for thing in tables.get(kind, {}).values()]
        read = file_in(path.parent)
        meshes = [read(thing["mesh"]) for thing in things if "mesh" in thing]
        if not all(mesh.is_file() for mesh in meshes):
            return None
        return _hash([program(), path.name.encode(), text, *(mesh.read_bytes() for mesh in meshes)])
    except (OSError, ValueError, AttributeError, TypeError, RecursionError, Refused):
        return None  # reading the file properly will tell what is wrong with it


def kept_row(row: ChartRow) -> dict[str, object]:
    """Return a row as it is kept: with its kind, in radians, and infinite bounds too, to the last digit."""
    return {"kind": row.kind} | {name: getattr(row, name) for name in _KEPT}


def row_from(data: object, names: tuple[str, str]) -> ChartRow | None:
    """Return the row that was kept as JSON; None where it is none, or not the one of that part and tank."""
    if not isinstance(data, dict) or set(data) != {"kind", *_KEPT}:
        return None
    if data["kind"] != ChartRow.kind or (data["part"], data["tank"]) != names:
        return None
    return ChartRow(**{name: data[name] for name in _KEPT})


def content(thing: Part | Tank) -> bytes:
    """Return the hash of all that a part or a tank is."""
    return _hash(_bytes_of(thing)).encode()


@cache
def program() -> bytes:
    """Return the hash of the program: its source, and what it computes with."""
    files = sorted(PACKAGE.rglob("*.py"))
    told = f"{platform.python_version()} {platform.machine()} {np.__version__}".encode()
    return _hash([told, *(file.read_bytes() for file in files)]).encode()


def _bytes_of(value: object) -> Iterable[bytes]:
    if isinstance(value, np.ndarray):
        yield f"{value.dtype} {value.shape}".encode()
        yield np.ascontiguousarray(value).tobytes()
    elif dataclasses.is_dataclass(value):
        yield type(value).__name__.encode()
        for field in dataclasses.fields(value):
            yield field.name.encode()
            yield from _bytes_of(getattr(value, field.name))
    elif isinstance(value, tuple):
        yield f"{len(value)}".encode()
        for item in value:
            yield from _bytes_of(item)
    else:
        yield repr(value).encode()


def _hash(pieces: Iterable[bytes]) -> str:
    """Return the hash of pieces, each with its length, so that none runs into the next."""
    digest = hashlib.sha256()
    for piece in pieces:
        digest.update(len(piece).to_bytes(8, "little"))
        digest.update(piece)
    return digest.hexdigest()
