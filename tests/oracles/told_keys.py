"""Answers as JSON, spoilt key by key: what is read back must refuse each, and name what is wrong."""

from __future__ import annotations

import copy
import math
from collections.abc import Iterator, Sequence
from typing import Any

Way = tuple[Any, ...]


def keys_of(data: Any, path: Way = ()) -> Iterator[Way]:
    """Return the way to every key of an answer; of lists, to those of their first row."""
    if isinstance(data, dict):
        for key, value in data.items():
            yield (*path, key)
            yield from keys_of(value, (*path, key))
    elif isinstance(data, list) and data and isinstance(data[0], dict | list):
        yield from keys_of(data[0], (*path, 0))


def spoilt(data: Any, may_be_absent: Sequence[str], counts: Sequence[str] = ()) -> Iterator[tuple[str, Any]]:
    """Return the name of a key and the answer without it, with another type there, or with no finite number.

    counts: keys of whole numbers, which no half may take the place of.
    """
    for path in keys_of(data):
        key = str(path[-1])
        if key not in may_be_absent:
            yield key, changed(data, path, ...)
        value = value_at(data, path)
        yield key, changed(data, path, 3 if isinstance(value, str) or value is None else "x")
        if isinstance(value, int | float) and not isinstance(value, bool):
            for bad in (math.nan, math.inf, 10**400, True):
                yield key, changed(data, path, bad)
        if key in counts:
            yield key, changed(data, path, value + 0.5)


def value_at(data: Any, path: Way) -> Any:
    """Return what stands at the end of a way."""
    for key in path:
        data = data[key]
    return data


def changed(data: Any, path: Way, value: object) -> Any:
    """Return an answer with another value at the end of a way; `...` takes the key out."""
    copied = copy.deepcopy(data)
    place = value_at(copied, path[:-1])
    if value is ...:
        del place[path[-1]]
    else:
        place[path[-1]] = value
    return copied
