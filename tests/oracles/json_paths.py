"""Every key of a JSON answer, and the answer with one of them changed or taken out."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any


def keys_of(data: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Return the way to every key of an answer; of lists, to those of their first row."""
    if isinstance(data, dict):
        for key, value in data.items():
            yield (*path, key)
            yield from keys_of(value, (*path, key))
    elif isinstance(data, list) and data and isinstance(data[0], dict):
        yield from keys_of(data[0], (*path, 0))


def changed(data: Any, path: tuple[Any, ...], value: object) -> Any:
    """Return an answer with another value at the end of a way; `...` takes the key out."""
    copied = copy.deepcopy(data)
    place = copied
    for key in path[:-1]:
        place = place[key]
    if value is ...:
        del place[path[-1]]
    else:
        place[path[-1]] = value
    return copied
