"""Rows read back by the types of their fields: what is right comes back, what is not is named."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from typing import Any, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.words.errors import Refused
from fitcheck.words.json_rows import check_agrees, row_of, rows_of


@dataclass(frozen=True)
class Shelf:
    """A row with a field of each type."""

    name: str
    kind: Literal["open", "shut"]
    size_mm: tuple[float, float]
    holds: tuple[str, ...]
    count: int
    is_level: bool
    load_kg: float | None = None


shelves = st.builds(
    Shelf,
    st.text(),
    st.sampled_from(["open", "shut"]),
    st.tuples(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6)),
    st.lists(st.text(), max_size=3).map(tuple),
    st.integers(-(10**6), 10**6),
    st.booleans(),
    st.none() | st.floats(0.0, 1e6),
)


@given(shelves)
def test_a_row_comes_back_as_it_was(shelf: Shelf) -> None:
    assert row_of(Shelf, json.loads(json.dumps(asdict(shelf)))) == shelf


GOOD: dict[str, Any] = asdict(Shelf("top", "open", (1.0, 2.0), ("a",), 3, True, 4.0))
GOOD |= {"size_mm": [1.0, 2.0], "holds": ["a"]}


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("name", None), ("name", 3), ("kind", "ajar"), ("kind", ["open"]), ("size_mm", [1.0]),
        ("size_mm", [1.0, "2"]), ("size_mm", [1.0, float("nan")]), ("size_mm", 1.0), ("holds", "a"),
        ("holds", [1]), ("count", 3.5), ("count", True), ("is_level", 1), ("load_kg", "4"),
        ("load_kg", float("inf")), ("load_kg", True), ("load_kg", 10**400), ("count", 10**400),
    ],
)  # fmt: skip
def test_what_is_no_such_value_is_named(key: str, value: object) -> None:
    with pytest.raises(Refused, match=rf"shelves\[1\]\.{key} "):
        rows_of(Shelf, {"shelves": [GOOD, GOOD | {key: value}]}, "shelves")


@pytest.mark.parametrize("key", [key for key in GOOD if key != "load_kg"])
def test_what_is_missing_is_named(key: str) -> None:
    with pytest.raises(Refused, match=f"{key} is missing"):
        row_of(Shelf, {name: value for name, value in GOOD.items() if name != key})


def test_what_may_be_absent_is_none() -> None:
    assert row_of(Shelf, {key: value for key, value in GOOD.items() if key != "load_kg"}).load_kg is None


@pytest.mark.parametrize(
    ("told", "value", "agrees"),
    [
        (0.1 + 0.2, 0.3, True), (3, 3.0, True), (0.3001, 0.3, False), (True, 1.0, False), ("a", "a", True),
        ("a", "b", False), (True, True, True), (1, True, False), (None, None, True), (10**400, 1.0, False),
        (float("nan"), 1.0, False), (None, 1.0, False),
    ],
)  # fmt: skip
def test_what_is_told_twice_agrees(told: object, value: Any, agrees: bool) -> None:
    if agrees:
        check_agrees({"key": told}, "key", value)
        return
    with pytest.raises(Refused, match="key"):
        check_agrees({"key": told}, "key", value)
