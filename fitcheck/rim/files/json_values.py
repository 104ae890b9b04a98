"""Values of an answer that was written as JSON: each as it must be, or `Refused` with its key."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields
from typing import Any, cast, get_args, get_type_hints

import numpy as np

from fitcheck.things.answers import Fill
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.solid import Floats
from fitcheck.words.errors import Refused
from fitcheck.words.units import RAD_PER_DEGREE

# Angles taken from a matrix are off by the root of rounding where the part stands on end.
SAME_TURN = 1e-7


def read_pose(data: Mapping[str, object], key: str) -> Pose:
    """Read the matrix, which alone says what the pose is; the three angles beside it must say the same."""
    pose = mapping(data.get(key), key)
    matrix = numbers(pose, "matrix")
    if matrix.shape != (4, 4) or not np.array_equal(matrix[3], [0.0, 0.0, 0.0, 1.0]):
        raise Refused(f"{key}.matrix is not a 4 x 4 move", "give its four rows, the last one 0 0 0 1")
    told = Angles(*(number(pose, f"{name}_deg") * RAD_PER_DEGREE for name in ("tilt", "roll", "swing")))
    if np.abs(rotation_from(told) - matrix[:3, :3]).max() > SAME_TURN:
        raise Refused(
            f"{key}: its angles and its matrix are not the same turn", "give both as fitcheck wrote them"
        )
    return Pose(text(pose, "to_frame"), text(pose, "from_frame"), matrix[:3, :3], matrix[:3, 3])


def read_fill(data: Mapping[str, object]) -> Fill:
    """Read the liquid of a pose."""
    fill = mapping(data.get("fill"), "fill")
    return Fill(*(number(fill, field.name) for field in fields(Fill)))


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


def texts(data: Mapping[str, object], key: str) -> tuple[str, ...]:
    """Return a list of texts."""
    found = rows(data, key)
    if not all(isinstance(row, str) for row in found):
        raise Refused(f"{key} is not a list of texts", "give the answer as fitcheck wrote it")
    return tuple(cast(Iterable[str], found))


def text(data: Mapping[str, object], key: str) -> str:
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


def numbers(data: Mapping[str, object], key: str) -> Floats:
    """Return rows of numbers as an array, its shape still to be looked at."""
    try:
        return np.array(rows(data, key), dtype=np.float64)
    except (TypeError, ValueError, OverflowError) as error:
        raise Refused(
            f"{key} is not made of rows of numbers", "give the answer as fitcheck wrote it"
        ) from error


def choice(data: Mapping[str, object], key: str, noun: type) -> Any:
    """Return a word that must be one of those that the noun's own field allows."""
    value = text(data, key)
    words = get_args(get_type_hints(noun)[key])
    if value not in words:
        raise Refused(f"{key} is {value!r}", f"it is one of {', '.join(words)}")
    return value
