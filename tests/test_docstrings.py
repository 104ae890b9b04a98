"""Public docstrings are complete: the question, every argument and number with its unit, no answer, errors.

What is looked for is words; whether they are true is for the other tests and for readers.
"""

from __future__ import annotations

import dataclasses
import inspect
import re
import typing
from collections.abc import Callable

import pytest

import fitcheck as fc

PUBLIC = {name: getattr(fc, name) for name in fc.__all__}
FUNCTIONS = {name: thing for name, thing in PUBLIC.items() if inspect.isfunction(thing)}
CLASSES = {name: thing for name, thing in PUBLIC.items() if inspect.isclass(thing)}
# A number says its unit by its name.
UNITS = r"_(mm|mm2|mm3|m2|l|kg|kg_l|n|rad|share|s|per_l)$"
# Nouns that mean the same wherever they stand: things of the shop, and what every answer has.
NOUNS = {
    "part",
    "parts",
    "tank",
    "shop",
    "rack",
    "room",
    "route",
    "rules",
    "pose",
    "name",
    "verdict",
    "reason",
}
NOUNS |= {"cautions", "notes", "path"}
# What tells that there may be no answer, or that there always is one.
NO_ANSWER = r"not found|does not fit|measure again|None|none|left out|Refused|Always answers|InputFault"


def words_of(thing: object) -> str:
    return inspect.getdoc(thing) or ""


def is_named(name: str, text: str) -> bool:
    return re.search(rf"\b{name}\b", text) is not None


def lacking(function: Callable[..., object]) -> list[str]:
    """Return what the docstring of a function does not tell."""
    text, lacks = words_of(function), []
    if not re.match(r"(Tell|Return|Place|Ask) ", text):
        lacks.append("the question that it answers, in its first words")
    lacks += [
        f"argument {name}"
        for name in inspect.signature(function).parameters
        if name not in NOUNS and not is_named(name, text)
    ]
    if "Raises" not in text:
        lacks.append("what it raises")
    if not re.search(NO_ANSWER, text):
        lacks.append("what comes back when there is no answer")
    return lacks


def unexplained(noun: type) -> list[str]:
    """Return the fields of a class that neither its docstring nor their own name explains."""
    text = words_of(noun)
    fields = dataclasses.fields(noun) if dataclasses.is_dataclass(noun) else ()
    hints = typing.get_type_hints(noun)
    return [
        field.name
        for field in fields
        if not (field.name.startswith("_") or field.name in NOUNS or is_named(field.name, text))
        and not re.search(UNITS, field.name)
        and not _is_our_own(hints[field.name])
    ]


def _is_our_own(hint: object) -> bool:
    """Tell whether a type is one of ours, or a collection of one, which has a docstring of its own."""
    if getattr(hint, "__module__", "").startswith("fitcheck."):
        return True
    return any(_is_our_own(inner) for inner in typing.get_args(hint))


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_function_tells_all(name: str) -> None:
    assert lacking(FUNCTIONS[name]) == []


@pytest.mark.parametrize("name", CLASSES)
def test_a_noun_explains_its_fields(name: str) -> None:
    noun = CLASSES[name]
    assert len(words_of(noun)) > len(name) + 20
    assert not words_of(noun).startswith(f"{name}("), "it has only what dataclasses writes"
    assert unexplained(noun) == []


def test_what_is_left_out_is_seen() -> None:
    def half(part: object, level: float) -> float:
        """Tell how much."""
        return level

    assert lacking(half) == ["argument level", "what it raises", "what comes back when there is no answer"]

    @dataclasses.dataclass
    class Half:
        """Half of something; see how_wide_mm."""

        how_wide_mm: float
        weight: float

    assert unexplained(Half) == ["weight"]
