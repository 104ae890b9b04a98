"""Answers as JSON that are changed in one place: what reads them, and what proves them, is to see it."""

from __future__ import annotations

import copy
import json
import math
from collections.abc import Callable, Collection, Iterator
from pathlib import Path
from typing import Any

from fitcheck.cli.main import run

Change = Callable[[Any], object]
Places = tuple[str | int, ...]


def proved(folder: Path, name: str, change: Change | None = None) -> int:
    """Return the exit code of `prove` on an answer of `folder/shop.toml`, with a change made to it."""
    data = json.loads((folder / name).read_text(encoding="utf-8"))
    if change is not None:
        before = copy.deepcopy(data)
        change(data)
        assert data != before
    (folder / "told.json").write_text(json.dumps(data), encoding="utf-8")
    return run(["prove", str(folder / "shop.toml"), str(folder / "told.json")])


def keys_in(data: object, at: Places = ()) -> Iterator[Places]:
    """Give where each key of an answer stands, of a list those of its first row."""
    if isinstance(data, dict):
        for key, value in data.items():
            yield (*at, key)
            yield from keys_in(value, (*at, key))
    elif isinstance(data, list) and data:
        yield from keys_in(data[0], (*at, 0))


def spoilt(data: Any, optional: Collection[str]) -> Iterator[tuple[str, Any]]:
    """Give each key with the answer without it, with a wrong type under it, and not finite where a number.

    optional: keys that may be absent.
    """
    for places in keys_in(data):
        *above, key = places
        assert isinstance(key, str)
        for change in ("gone", "mistyped", "not finite"):
            changed = copy.deepcopy(data)
            table = changed
            for step in above:
                table = table[step]
            if change == "gone":
                if key in optional:
                    continue
                del table[key]
            elif change == "mistyped":
                table[key] = [] if isinstance(table[key], dict) else {"odd": [None]}
            elif isinstance(table[key], float):
                table[key] = math.nan
            else:
                continue
            yield key, changed
