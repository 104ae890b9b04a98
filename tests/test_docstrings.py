"""Public docstrings are complete, in numpydoc form, and their examples run.

What is looked for is words; whether they are true is for the other tests and for readers. The form is that of
numpydoc's style guide: sections with a line of dashes under their names.
"""

from __future__ import annotations

import dataclasses
import doctest
import inspect
import re
import typing
from collections.abc import Callable
from pathlib import Path

import pytest

import fitcheck as fc

PUBLIC = {name: getattr(fc, name) for name in fc.__all__}
FUNCTIONS = {name: thing for name, thing in PUBLIC.items() if inspect.isfunction(thing)}
CLASSES = {name: thing for name, thing in PUBLIC.items() if inspect.isclass(thing)}
# What a user makes, by its fields or by these methods; answers come from questions.
BUILT = {
    name: CLASSES[name]
    for name in ("Angles", "BayRack", "Liquid", "Part", "Pose", "RailRack", "Room", "Route", "Rules", "Shop")
} | {"Solid": fc.Solid, "Tank": fc.Tank}
MAKERS = {
    f"{name}.{method}": getattr(noun, method)
    for name, noun in (BUILT | {"Caution": fc.Caution}).items()
    for method, held in vars(noun).items()
    if isinstance(held, classmethod) and not method.startswith("_")
} | {"Solid.to_trimesh": fc.Solid.to_trimesh}
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
NO_ANSWER = r"not found|does not fit|measure again|None|none|no verdict|left out|Refused|lways|InputFault"


def words_of(thing: object) -> str:
    return inspect.getdoc(thing) or ""


def is_named(name: str, text: str) -> bool:
    return re.search(rf"\b{name}\b", text) is not None


def sections_of(text: str) -> dict[str, str]:
    """Return the sections of a docstring in numpydoc form, what stands before the first one under ""."""
    parts = re.split(r"^([A-Z][A-Za-z ]+)\n-{3,}$", text, flags=re.MULTILINE)
    return {"": parts[0], **dict(zip(parts[1::2], parts[2::2], strict=True))}


def told_in(section: str) -> set[str]:
    """Return the names that a section of parameters has, each at the start of a line: `a, b : float`."""
    heads = re.findall(r"^(\S[^:\n]*?)(?: *:.*)?$", section, re.MULTILINE)
    return {name.strip().lstrip("*") for head in heads for name in head.split(",")}


def lacking(function: Callable[..., object]) -> list[str]:
    """Return what the docstring of a function does not tell."""
    text, lacks = words_of(function), []
    sections = sections_of(text)
    if not re.match(r"(Tell|Return|Place|Ask|Search|Lay) ", text):
        lacks.append("the question that it answers, in its first words")
    arguments = set(inspect.signature(function).parameters) - {"self"}
    told = told_in(sections.get("Parameters", ""))
    lacks += [f"argument {name}" for name in sorted(arguments - told)]
    lacks += [f"{name}, which is no argument" for name in sorted(told - arguments - {""})]
    if not sections.get("Returns", "").strip():
        lacks.append("what it returns")
    if "Raises" not in sections and "Raises nothing" not in text:
        lacks.append("what it raises")
    if ">>> " not in sections.get("Examples", ""):
        lacks.append("an example")
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


@pytest.mark.parametrize("name", MAKERS)
def test_a_maker_tells_all(name: str) -> None:
    missing = lacking(MAKERS[name])
    # A noun is not an answer: there is one, or an error.
    assert [each for each in missing if "no answer" not in each] == []


@pytest.mark.parametrize("name", BUILT)
def test_a_noun_that_is_built_tells_its_parameters(name: str) -> None:
    noun = BUILT[name]
    sections = sections_of(words_of(noun))
    assert told_in(sections["Parameters"]) - {""} == set(inspect.signature(noun).parameters)
    assert ">>> " in sections["Examples"]
    if "raise Refused" in inspect.getsource(noun) or "_check_" in inspect.getsource(noun):
        assert "Refused" in sections["Raises"]


@pytest.mark.parametrize("name", CLASSES)
def test_a_noun_explains_its_fields(name: str) -> None:
    noun = CLASSES[name]
    assert len(words_of(noun)) > len(name) + 20
    assert not words_of(noun).startswith(f"{name}("), "it has only what dataclasses writes"
    assert unexplained(noun) == []


def failures_of(name: str, thing: object) -> str:
    """Return what the examples of a docstring give otherwise than they say; those of a class's methods too."""
    runner = doctest.DocTestRunner(verbose=False)
    heard: list[str] = []
    for example in doctest.DocTestFinder(recurse=inspect.isclass(thing)).find(thing, name, globs={}):
        if example.examples:
            assert "import fitcheck as fc" in (example.docstring or ""), f"{example.name} starts from nowhere"
            runner.run(example, out=heard.append)
    return "".join(heard)


@pytest.mark.parametrize("name", FUNCTIONS | CLASSES)
def test_the_examples_run(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert failures_of(name, PUBLIC[name]) == ""
    assert list(tmp_path.iterdir()) == [], "an example leaves files behind"


def test_what_is_left_out_is_seen() -> None:
    def half(part: object, level: float, more: int) -> float:
        """Tell how much.

        Parameters
        ----------
        part : object
            The part; its level counts.
        more, over : int
            More.

        Examples
        --------
        >>> import fitcheck as fc
        >>> 1 + 1
        3
        """
        return level

    assert lacking(half) == [
        "argument level",
        "over, which is no argument",
        "what it returns",
        "what it raises",
        "what comes back when there is no answer",
    ]
    assert "Expected:\n    3\nGot:\n    2" in failures_of("half", half)

    @dataclasses.dataclass
    class Half:
        """Half of something; see how_wide_mm."""

        how_wide_mm: float
        weight: float

    assert unexplained(Half) == ["weight"]
