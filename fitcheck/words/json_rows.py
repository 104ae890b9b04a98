"""Flat rows of an answer read back: each field as its type says, or `Refused` with its dotted key."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields
from functools import cache
from types import UnionType
from typing import Any, Literal, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from fitcheck.words.errors import Refused
from fitcheck.words.json_values import MOST

Row = TypeVar("Row")
Told = float | str | bool | None
AS_WRITTEN = "give the answer as fitcheck wrote it"
# Numbers that are told twice agree but for rounding.
SAME = 1e-9


def row_of(noun: type[Row], data: object, name: str = "", **known: object) -> Row:
    """Return a flat row as `row_json` wrote it, its fields read by their types.

    name: where it stands, for messages. known: fields that are read already. Keyword-only fields are left at
    their defaults; a field that may be None may be absent. Raises `Refused`, naming the key, for a key that
    is missing, of another type, or no finite number.
    """
    if not isinstance(data, Mapping):
        raise Refused(f"{name or 'the answer'} is missing or is not a table", AS_WRITTEN)
    kinds = _kinds(cast(Any, noun))
    read = {key: _field(kind, data, key, name) for key, kind in kinds.items() if key not in known}
    return noun(**read, **known)


def row_list(data: Mapping[str, object], key: str, name: str = "") -> Sequence[object]:
    """Return a list that must be there; raises `Refused`, naming the key, for anything else."""
    value = data.get(key)
    if not isinstance(value, list):
        raise Refused(f"{_dotted(name, key)} is missing or is not a list", AS_WRITTEN)
    return value


def rows_of(noun: type[Row], data: Mapping[str, object], key: str, name: str = "") -> tuple[Row, ...]:
    """Return a list of flat rows; raises `Refused` as `row_of` does."""
    whole = _dotted(name, key)
    return tuple(row_of(noun, row, f"{whole}[{k}]") for k, row in enumerate(row_list(data, key, name)))


def value_of(kind: Any, value: object, name: str) -> Any:
    """Return one value of a type: a number, a text, true or false, one of some words, or a list of those.

    Raises `Refused`, naming it, for anything else.
    """
    try:
        return _value(kind, value)
    except TypeError as fault:
        raise Refused(f"{name} is missing or is not {fault}", AS_WRITTEN) from None


def check_agrees(data: Mapping[str, object], key: str, value: Told, name: str = "") -> None:
    """Check a key that says again what others say; raises `Refused` where it does not, or is missing."""
    told = data.get(key)
    if isinstance(value, float) and isinstance(told, int | float) and not isinstance(told, bool):
        # A whole number of JSON may be larger than any double.
        agrees = abs(told) < MOST and math.isclose(told, value, rel_tol=SAME)
    else:
        agrees = type(told) is type(value) and told == value
    if not agrees:
        raise Refused(f"{_dotted(name, key)} is missing or is not what the rest of it says", AS_WRITTEN)


@cache
def _kinds(noun: Any) -> Mapping[str, Any]:
    """Return the types of the fields that are read, by name."""
    hints = get_type_hints(noun)
    return {field.name: hints[field.name] for field in fields(noun) if not field.kw_only}


def _dotted(name: str, key: str) -> str:
    return f"{name}.{key}" if name else key


def _field(kind: Any, data: Mapping[str, object], key: str, name: str) -> object:
    if get_origin(kind) in {Union, UnionType}:
        if data.get(key) is None:
            return None
        kind = next(each for each in get_args(kind) if each is not type(None))
    return value_of(kind, data.get(key), _dotted(name, key))


def _value(kind: Any, value: object) -> object:
    """Return a value of a type; raises TypeError that says what it should be."""
    if get_origin(kind) is Literal:
        if value not in get_args(kind) or not isinstance(value, str):
            raise TypeError(f"one of {', '.join(get_args(kind))}")
        return value
    if get_origin(kind) is tuple:
        return _tuple(get_args(kind), value)
    return _PLAIN[kind](value)


def _tuple(kinds: tuple[Any, ...], value: object) -> tuple[object, ...]:
    if not isinstance(value, list):
        raise TypeError("a list")
    if len(kinds) == 2 and kinds[1] is Ellipsis:
        return tuple(_value(kinds[0], each) for each in value)
    if len(value) != len(kinds):
        raise TypeError(f"a list of {len(kinds)}")
    return tuple(_value(kind, each) for kind, each in zip(kinds, value, strict=True))


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < MOST:
        raise TypeError("a number")
    return float(value)


def _count(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not abs(value) < MOST:
        raise TypeError("a whole number")
    return value


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError("a text")
    return value


def _truth(value: object) -> bool:
    if not isinstance(value, bool):
        raise TypeError("true or false")
    return value


_PLAIN: Mapping[type, Callable[[object], object]] = {float: _number, int: _count, str: _text, bool: _truth}
