"""The one list of questions: every room has its doors, and what loops over the list finds them."""

from __future__ import annotations

import inspect
from dataclasses import replace
from pathlib import Path

import pytest

import fitcheck as fc
from fitcheck.cli.main import app
from fitcheck.questions import register
from fitcheck.questions.register import QUESTIONS, Question
from fitcheck.things.answer import Answer
from fitcheck.words.errors import Refused

ROOMS = Path(register.__file__).parent
# What every room has; draw, page, prove and again where there is something to draw, print or prove.
NEEDED = ("answer", "ask", "record", "say", "command")


def _id(question: Question) -> str:
    return question.kind


def test_every_room_is_in_the_list_and_no_other() -> None:
    rooms = {path.name for path in ROOMS.iterdir() if (path / "__init__.py").is_file()}
    assert rooms == {question.room for question in QUESTIONS}
    assert len({question.kind for question in QUESTIONS}) == len(QUESTIONS)


@pytest.mark.parametrize("question", QUESTIONS, ids=_id)
def test_a_room_has_its_doors(question: Question) -> None:
    assert [door for door in NEEDED if not question.has(door)] == []
    asks = getattr(question.door("ask"), question.room)
    assert getattr(fc, question.room) is asks
    assert callable(getattr(question.door("command"), question.room))
    record, said = question.door("record"), question.door("say")
    assert list(inspect.signature(record.from_dict).parameters)[1:] in (["shop"], ["_shop"])
    assert len(inspect.signature(record.to_dict).parameters) == 1
    assert list(inspect.signature(said.text).parameters) == ["answer", "shop"]
    for door, function, parameters in (
        ("prove", "prove", ["answer", "shop"]),
        ("again", "again", ["answer", "shop"]),
        ("draw", "draw", ["answer", "shop", "path"]),
        ("draw", "svg", ["answer", "shop"]),
    ):
        if question.has(door):
            named = list(inspect.signature(getattr(question.door(door), function)).parameters)
            assert [name.removeprefix("_") for name in named] == parameters, (door, function)


@pytest.mark.parametrize("question", QUESTIONS, ids=_id)
def test_what_comes_back_is_an_answer_of_its_kind(question: Question) -> None:
    found = [getattr(question.door("answer"), name) for name in question.types]
    answers = [noun for noun in found if isinstance(noun, type) and issubclass(noun, Answer)]
    assert answers, "no type of the room is an Answer"
    assert {noun.kind for noun in answers} == {question.kind}
    assert all(getattr(fc, name) is noun for name, noun in zip(question.types, found, strict=True))


def test_the_terminal_has_every_question() -> None:
    commands = {command.name for command in app.registered_commands}
    assert {question.kind for question in QUESTIONS} <= commands


def test_what_is_no_answer_is_refused() -> None:
    shop = fc.demo_shop()
    for data in ({}, [], "fits", {"kind": "nonsense"}, {"kind": 3}, {"kind": "dip", "verdict": float("inf")}):
        with pytest.raises(Refused):
            register.from_dict(data, shop)


def test_an_answer_without_its_shop_says_so() -> None:
    shop = fc.demo_shop()
    answer = fc.dip(shop.parts["P08"], shop.tanks["T1"])
    assert answer.text().startswith("P08 in T1: fits")
    with pytest.raises(Refused, match="does not know its shop"):
        replace(answer, asked=None).text()


@pytest.mark.parametrize("key", ["carry_out_l", "bare_m2", "air_l", "air_error_l"])
def test_a_sum_that_is_not_of_its_rows_is_refused(key: str) -> None:
    """These follow from the pockets and are not read: a forged one was believed."""
    shop = fc.demo_shop()
    told = fc.dip(shop.parts["P03"], shop.tanks["T2"], angles=fc.Angles()).to_dict(shop.show)
    assert register.prove(told, shop).holds
    for forged in (0.0, 2.0 * told[key] + 1.0):
        assert not register.prove(told | {key: forged + 1e-3}, shop).holds


def test_a_key_that_no_answer_has_is_told_to_be_unchecked() -> None:
    shop = fc.demo_shop()
    told = fc.dip(shop.parts["P15"], shop.tanks["T5"]).to_dict(shop.show)
    assert [each.key for each in register.prove(told | {"safe": True}, shop).not_checked] == ["safe"]
    assert not register.prove(told, shop).not_checked
