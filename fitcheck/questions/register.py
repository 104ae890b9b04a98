"""The one list of questions; terminal, `prove`, public names, guides and JSON loop over it.

A question is a room of this folder. Its doors have the same names in every room and are loaded when they are
first asked for, by their dotted names, so that `fitcheck --help` stays quick:

    answer.py   what comes back
    ask.py      the question, a function of the room's name
    prove.py    `prove(answer, shop)`: the answer checked again without searching
    again.py    `again(answer, shop)`: bounds of it worked out again by the same code that found them
    record.py   `to_dict(answer)` and `from_dict(data, shop)`: JSON and back
    say.py      `text(answer, shop)`: the answer in the words of the shop
    draw.py     `draw(answer, shop, path)` and `svg(answer, shop)`: its picture
    page.py     its pages of the printed set
    command.py  its options at the terminal, a function of the room's name
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from fitcheck.words.errors import Refused

if TYPE_CHECKING:
    from fitcheck.things.answer import Answer
    from fitcheck.things.proved import Check, NotChecked, Proved
    from fitcheck.things.shop import Shop
    from fitcheck.words.units import Show


@dataclass(frozen=True, slots=True)
class Question:
    """One question.

    kind: the word to type, and `kind` in its JSON. room: its folder, and its function from Python. types:
    the public types that come back, the answer first. asks: what it asks, for lists.
    """

    kind: str
    room: str
    types: tuple[str, ...]
    asks: str

    def has(self, door: str) -> bool:
        """Tell whether the room has a door."""
        return find_spec(f"fitcheck.questions.{self.room}.{door}") is not None

    def door(self, door: str) -> Any:
        """Return the module of a door; raises `Refused` where the room has none of that name."""
        if not self.has(door):
            raise Refused(f"{self.kind} has no {door}", "ask another question for it")
        return import_module(f"fitcheck.questions.{self.room}.{door}")


QUESTIONS = (
    Question(
        "dip",
        "dip",
        ("Fits", "DoesNotFit", "MeasureAgain", "NotFound"),
        "Does it go under in one pass, hung how, on how much liquid?",
    ),
    Question("chart", "chart", ("Chart", "ChartRow"), "Which part goes in which tank?"),
    Question("pass", "passes", ("PassAnswer",), "If not in one pass, in how many, turned how?"),
    Question(
        "pocket", "pocket", ("PocketAnswer", "Hole"), "Where is air caught going in, and liquid carried out?"
    ),
    Question("block", "block", ("BlockAnswer",), "Which block or dam saves most liquid and stays down?"),
    Question("hang", "hang", ("HangAnswer", "Leg"), "How is it slung, and does the hook go high enough?"),
    Question("weigh", "weigh", ("WeighAnswer",), "What does it weigh dry, under the liquid and lifted out?"),
    Question("lot", "lot", ("LotAnswer", "Lot"), "Which parts go in together?"),
    Question("ladder", "ladder", ("LadderAnswer",), "In what order, with which blocks, on how much liquid?"),
    Question("day", "day", ("DayAnswer",), "When is each load where?"),
    Question("mix", "mix", ("MixAnswer",), "What does a bath take, lose, and need to rinse?"),
    Question("as-built", "as_built", ("AsBuilt",), "What size is the tank really?"),
    Question("tank-for", "tank_for", ("TankForAnswer",), "Which tank is to be built for a list of parts?"),
    Question("store", "store", ("StoreAnswer",), "Do the parts hang on a rack, or lie in its bays?"),
    Question("room", "room", ("RoomAnswer",), "Does what stands there leave doors and aisles free?"),
    Question("carry", "carry", ("CarryAnswer",), "Can it be carried through?"),
    Question("measure", "measure", ("Measured",), "What is in the shop file?"),
    Question("fill", "fill", ("FillAnswer", "FillRow"), "How much liquid stands at which level?"),
)


@cache
def by_kind() -> Mapping[str, Question]:
    """Return the questions by their kind."""
    return {question.kind: question for question in QUESTIONS}


def question_of(answer: Answer) -> Question:
    """Return the question that an answer is to."""
    return by_kind()[answer.kind]


def to_dict(answer: Answer, show: Show | None = None) -> Any:
    """Return an answer as JSON has it: its kind, what it says, its cautions as sentences."""
    from fitcheck.say.cautions import sentences

    unit = show or (answer.asked.show if answer.asked is not None else "mm")
    told = question_of(answer).door("record").to_dict(answer)

    def whole(one: Answer, data: dict[str, Any]) -> dict[str, Any]:
        return {"kind": one.kind, **data, "cautions": list(sentences(one.cautions, unit))}

    if isinstance(told, list):  # a chart: its rows, each told whole
        return [whole(*pair) for pair in zip(cast("Iterable[Answer]", answer), told, strict=True)]
    return whole(answer, told)


def from_dict(data: object, shop: Shop) -> Answer:
    """Return an answer that `to_dict` gave; from Python it is called `answer_from_dict`.

    Parameters
    ----------
    data : mapping, or list of mappings
        What `answer.to_dict()` or `--json` gave, as it is after `json.loads`. A list is the rows of a chart.
    shop : Shop
        The shop it was asked of, for the things that the answer only names.

    Returns
    -------
    Answer
        Of the type that its question gives; its cautions as they were told.

    Raises
    ------
    Refused
        Naming the key, for what is no answer. None comes back for it.

    Notes
    -----
    Whether the answer is true is not checked here: `fitcheck prove` does that.

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> told = fc.dip(shop.parts["P15"], shop.tanks["T5"]).to_dict()
    >>> fc.answer_from_dict(told, shop)
    <Fits P15 in T5: fits>
    """
    from fitcheck.things.caution import AS_TOLD, Caution
    from fitcheck.words.json_values import all_finite, mapping, text_of, texts

    if isinstance(data, list):
        rows = [from_dict(mapping(row, "a row of the answer"), shop) for row in data]
        chart: Answer = by_kind()["chart"].door("record").from_rows(rows)
        return replace(chart, asked=shop)
    whole = mapping(data, "the answer")
    if not all_finite(whole):
        raise Refused("a number in it is not finite", "give the answer as fitcheck wrote it")
    kind = text_of(whole, "kind")
    if kind not in by_kind():
        raise Refused(f"kind is {kind!r}", f"an answer is to one of {', '.join(by_kind())}")
    answer: Answer = by_kind()[kind].door("record").from_dict(whole, shop)
    told = tuple(Caution.of(AS_TOLD, words=words) for words in texts(whole, "cautions"))
    return replace(answer, cautions=told, asked=shop)


answer_from_dict = from_dict  # its name from Python


def prove(data: object, shop: Shop) -> Proved:
    """Tell whether an answer is right: it is checked again from the shop and the answer alone.

    Parameters
    ----------
    data : mapping
        What `answer.to_dict()` or `--json` gave: one answer, or one row of a chart.
    shop : Shop
        The shop it was asked of.

    Returns
    -------
    Proved
        Each check in words and whether it holds; what of the answer was not checked, and why.

    Raises
    ------
    Refused
        Naming the key, for what is no answer or is of another shop, and for an answer to a question that has
        no prover yet. None comes back for it.

    Notes
    -----
    The code that checks does not search. Bounds that only the code that found them can work out are worked
    out again by it, and their checks say so.

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> told = fc.dip(shop.parts["P15"], shop.tanks["T5"]).to_dict()
    >>> fc.prove(told, shop).holds
    True
    """
    answer = from_dict(data, shop)
    question = question_of(answer)
    if not question.has("prove"):
        raise Refused(f"an answer to {answer.kind} cannot be checked again yet", "check it by hand")
    found: Proved = question.door("prove").prove(answer, shop)
    more = question.door("again").again(answer, shop) if question.has("again") else ()
    same, unknown = _told_again(data, to_dict(answer, shop.show))
    return replace(
        found,
        checks=(*found.checks, *more, *same),
        not_checked=(*found.not_checked, *unknown),
    )


def _told_again(data: Any, again: Any) -> tuple[tuple[Check, ...], tuple[NotChecked, ...]]:
    """Return the keys of an answer that do not follow from what was read of it, and those it cannot have.

    What follows from other keys (sums, angles of a matrix) is not read; here it is compared.
    """
    from fitcheck.things.proved import Check, NotChecked

    wrong, unknown = [], []
    todo = [("", data, again)]
    while todo:
        key, told, so = todo.pop()
        if isinstance(told, dict) and isinstance(so, dict):
            unknown += [f"{key}.{name}".lstrip(".") for name in told if name not in so]
            wrong += [f"{key}.{name}".lstrip(".") for name in so if name not in told]
            todo += [(f"{key}.{name}", told[name], so[name]) for name in told if name in so]
        elif isinstance(told, list) and isinstance(so, list) and len(told) == len(so):
            todo += [(f"{key}.*", *pair) for pair in zip(told, so, strict=True)]
        elif told != so:
            wrong.append(key.lstrip("."))
    return (
        tuple(Check(f"{key} follows from the rest", False) for key in dict.fromkeys(wrong)),
        tuple(NotChecked(key, "an answer read back does not have it") for key in dict.fromkeys(unknown)),
    )


def text(answer: Answer, shop: Shop | None = None) -> str:
    """Return an answer in the words of the shop."""
    said: str = question_of(answer).door("say").text(answer, _asked(answer, shop))
    return said


def draw(answer: Answer, path: Path | str, shop: Shop | None = None) -> tuple[str, ...]:
    """Draw an answer to a file and return notes on what could not be drawn."""
    question = question_of(answer)
    if not question.has("draw"):
        raise Refused(f"there is no picture of an answer to {answer.kind}", "print its text instead")
    notes: tuple[str, ...] = question.door("draw").draw(answer, _asked(answer, shop), Path(path))
    return notes


def svg(answer: Answer) -> str | None:
    """Return the picture of an answer as SVG; None where it has none or does not know what was asked."""
    question = question_of(answer)
    if answer.asked is None or not question.has("draw"):
        return None
    _asked(answer, None)
    picture: str | None = question.door("draw").svg(answer, answer.asked)
    return picture


def _asked(answer: Answer, shop: Shop | None) -> Shop:
    known = shop or answer.asked
    if known is None:
        raise Refused(f"this answer to {answer.kind} does not know its shop", "give the shop it was asked of")
    for things, kind in (({**known.parts, **known.assemblies}, "part"), (known.tanks, "tank")):
        name = getattr(answer, kind, None)
        if isinstance(name, str) and name not in things:
            raise Refused(f"there is no {kind} {name} in this shop", "give the shop that it was asked of")
    return known
