"""A fitted tank as JSON: the same when read back, and whatever is no such answer is refused by its key."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from oracles.told_keys import changed, spoilt

import fitcheck as fc
from fitcheck.questions.as_built.answer import AsBuilt
from fitcheck.questions.as_built.ask import Errors
from fitcheck.questions.as_built.record import from_dict as read_record
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused

CASES = ("bowed", "one reading", "rounded")
LEVELS = np.array([100.0, 200.0, 300.0, 400.0])
MAY_BE_ABSENT = ("misfit", "level_was_mm", "level_mm", "liquid_was_l", "liquid_l")


@pytest.fixture(scope="module")
def shop() -> Shop:
    """Return the demo yard, and a tank with rounded corners in it."""
    yard = fc.demo_shop()
    small = yard.tanks["T4"]
    rounded = Tank.box("round", small.size_mm, small.liquid, small.rules, fillet_mm=40.0)
    return replace(yard, tanks=dict(yard.tanks) | {"round": rounded})


@pytest.fixture(scope="module")
def answers(shop: Shop) -> dict[str, AsBuilt]:
    """Return a tank that bows, with the answers that change; one of a single reading; one with a fillet."""
    tank, parts = shop.tanks["T4"], [shop.parts["P15"], shop.parts["P02"]]
    bowed = 1200.0 * (604.0 * LEVELS + 12.0 / 400.0 * LEVELS**2 / 2.0) / 1e6
    pairs = [fc.Reading(float(level), float(litres)) for level, litres in zip(LEVELS, bowed, strict=True)]
    return {
        "bowed": fc.as_built(tank, pairs, Errors(0.01, 1e-6), parts),
        "one reading": fc.as_built(tank, [fc.Reading(300.0, 219.0)]),
        "rounded": fc.as_built(shop.tanks["round"], [fc.Reading(300.0, 215.0), fc.Reading(400.0, 288.0)]),
    }


def told(answer: AsBuilt, shop: Shop) -> Any:
    return json.loads(json.dumps(to_dict(answer, shop.show)))


def test_the_cases_are_what_they_are_for(answers: dict[str, AsBuilt]) -> None:
    assert answers["bowed"].shows_bow
    assert {change.level_mm is None for change in answers["bowed"].changes} == {True, False}
    assert answers["one reading"].misfit is None
    assert answers["rounded"].corrected.chord_mm > 0.0


@pytest.mark.parametrize("name", CASES)
def test_an_answer_is_read_back_whole(answers: dict[str, AsBuilt], shop: Shop, name: str) -> None:
    data, answer = told(answers[name], shop), answers[name]
    again = from_dict(data, shop)
    assert isinstance(again, AsBuilt)
    assert to_dict(again, shop.show) == data
    assert list(to_dict(again, shop.show)) == list(data)
    assert next(iter(data.items())) == ("kind", "as-built")
    assert again.text(shop) == answer.text(shop)
    one, other = again.corrected, answer.corrected
    assert np.array_equal(one.inside.vertices_mm, other.inside.vertices_mm)
    assert (one.size_mm, one.rules, one.chord_mm) == (other.size_mm, other.rules, other.chord_mm)
    tanks = {"tank": answer.tank, "corrected": other, "cautions": ()}
    assert replace(again, **tanks) == replace(answer, cautions=())


@pytest.mark.parametrize("name", CASES)
def test_what_is_spoilt_is_refused_by_its_key(answers: dict[str, AsBuilt], shop: Shop, name: str) -> None:
    data = told(answers[name], shop)
    del data["kind"], data["cautions"]
    count = 0
    for key, bad in spoilt(data, MAY_BE_ABSENT):
        with pytest.raises(Refused) as caught:
            read_record(bad, shop)
        assert key in caught.value.problem, (key, caught.value.problem)
        count += 1
    assert count > 50


def test_what_contradicts_itself_or_the_shop_is_refused(answers: dict[str, AsBuilt], shop: Shop) -> None:
    data = told(answers["bowed"], shop)
    for path, value in (
        (("tank",), "T9"),
        (("inside_was_mm",), [1200.0, 600.0, 501.0]),
        (("plan_m2",), data["plan_m2"] * 1.001),
        (("plan_error_m2",), data["plan_error_m2"] + 1e-3),
        (("card",), "[tanks.T4]"),
        (("changes", 0, "changed"), not data["changes"][0]["changed"]),
    ):
        with pytest.raises(Refused, match=str(path[-1])):
            read_record(changed(data, path, value), shop)
