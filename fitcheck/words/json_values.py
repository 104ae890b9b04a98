"""Values of an answer as JSON: each read as it must be, or `Refused` with its key."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, cast, get_args, get_type_hints

import numpy as np
from numpy.typing import NDArray

from fitcheck.words.errors import Refused

Json = dict[str, Any]
# Larger than any yard in mm; sums of it stay finite.
MOST = 1e12


def has_value(value: object) -> bool:
    """Tell whether a value is told: None and what is not finite are absent in JSON."""
    return value is not None and not (isinstance(value, float) and not math.isfinite(value))


def without_absent(data: Mapping[str, object]) -> Json:
    """Return a table without the keys that have no value."""
    return {key: value for key, value in data.items() if has_value(value)}


def all_finite(data: object) -> bool:
    """Tell whether every number of an answer is one that can be reckoned with."""
    stack = [data]
    while stack:
        value = stack.pop()
        if isinstance(value, dict):
            stack += value.values()
        elif isinstance(value, list):
            stack += value
        elif isinstance(value, int | float) and not abs(value) < MOST:
            return False
    return True


def mapping(value: object, name: str) -> Mapping[str, object]:
    """Return a value that must be a table."""
    if not isinstance(value, dict):
        raise Refused(f"{name} is missing or is not a table", "give the answer as fitcheck wrote it")
    return value


def rows(data: Mapping[str, object], key: str) -> Sequence[object]:
    """Return a list; an empty one where it is absent."""
    value = data.get(key, [])
    if not isinstance(value, list):
        raise Refused(f"{key} is not a list", "give the answer as fitcheck wrote it")
    return value


def given_rows(data: Mapping[str, object], key: str) -> Sequence[object]:
    """Return a list that must be there."""
    if key not in data:
        raise Refused(f"{key} is missing", "give the answer as fitcheck wrote it")
    return rows(data, key)


def flag(data: Mapping[str, object], key: str) -> bool:
    """Return true or false."""
    value = data.get(key)
    if not isinstance(value, bool):
        raise Refused(f"{key} is missing or is not true or false", "give the answer as fitcheck wrote it")
    return value


def texts(data: Mapping[str, object], key: str) -> tuple[str, ...]:
    """Return a list of texts."""
    found = rows(data, key)
    if not all(isinstance(row, str) for row in found):
        raise Refused(f"{key} is not a list of texts", "give the answer as fitcheck wrote it")
    return tuple(cast(Iterable[str], found))


def text_of(data: Mapping[str, object], key: str) -> str:
    """Return a text."""
    value = data.get(key)
    if not isinstance(value, str):
        raise Refused(f"{key} is missing or is not a text", "give the answer as fitcheck wrote it")
    return value


def number(data: Mapping[str, object], key: str, absent: float | None = None) -> float:
    """Return a finite number, or `absent` where there is none."""
    if key not in data and absent is not None:
        return absent
    value = data.get(key)
    try:
        read = float(value) if isinstance(value, int | float) and not isinstance(value, bool) else math.nan
    except OverflowError:  # a whole number of JSON may be larger than any double
        read = math.inf
    if not math.isfinite(read):
        raise Refused(f"{key} is missing or is not a number", "give the answer as fitcheck wrote it")
    return read


def whole_number(data: Mapping[str, object], key: str) -> int:
    """Return a number that must be whole."""
    read = number(data, key)
    if not read.is_integer():
        raise Refused(f"{key} is not a whole number", "give the answer as fitcheck wrote it")
    return int(read)


def numbers(data: Mapping[str, object], key: str) -> NDArray[np.float64]:
    """Return rows of numbers as an array, its shape still to be checked."""
    try:
        return np.array(rows(data, key), dtype=np.float64)
    except (TypeError, ValueError, OverflowError) as error:
        raise Refused(
            f"{key} is not made of rows of numbers", "give the answer as fitcheck wrote it"
        ) from error


def choice(data: Mapping[str, object], key: str, noun: type) -> Any:
    """Return a word that must be one of those that the noun's own field allows."""
    value = text_of(data, key)
    words = get_args(get_type_hints(noun)[key])
    if value not in words:
        raise Refused(f"{key} is {value!r}", f"it is one of {', '.join(words)}")
    return value
