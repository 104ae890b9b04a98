"""What a bath takes, as JSON: the same when read back, and whatever is no such answer is refused by its key."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from oracles.told_keys import spoilt

import fitcheck as fc
from fitcheck.questions.mix.answer import MixAnswer
from fitcheck.questions.mix.ask import Wishes
from fitcheck.questions.mix.record import from_dict as read_record
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.things.liquid import Recipe
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused
from fitcheck.words.strength import Strength

CASES = ("by volume", "by weight", "not known")
MAY_BE_ABSENT = (
    "concentrate_l", "concentrate_kg", "top_up_l", "top_up_kg", "containers", "left_over", "static_rinse",
    "area_at_most_m2", "strength", "share", "kg_l", "container_l", "container_kg", "drag_out_l_m2",
    "area_at_most_m2_l",
)  # fmt: skip
COUNTS = ("count", "containers", "rinse_stages", "stages", "loads_to_dump")


@pytest.fixture(scope="module")
def shop() -> Shop:
    return fc.demo_shop()


@pytest.fixture(scope="module")
def answers(shop: Shop) -> dict[str, MixAnswer]:
    """Return baths by volume with all that may be asked, by weight, and without a recipe and its parts."""
    tank, step, mast = shop.tanks["T4"], shop.parts["P15"], shop.parts["P02"]
    liquid = Recipe(Strength(share=0.1), container_l=20.0, drag_out_l_m2=0.1, area_at_most_m2_l=2.0)
    powder = Recipe(Strength(kg_l=0.045), container_kg=25.0)
    return {
        "by volume": fc.mix(tank, 300.0, [step, mast], liquid, Wishes(static_l=200.0)),
        "by weight": fc.mix(tank, 300.0, [step], powder),
        "not known": fc.mix(tank, 300.0, [mast]),
    }


def told(answer: MixAnswer, shop: Shop) -> Any:
    return json.loads(json.dumps(to_dict(answer, shop.show)))


def test_the_cases_are_what_they_are_for(answers: dict[str, MixAnswer]) -> None:
    assert answers["by volume"].static is not None
    assert [part for part, _ in answers["by volume"].left_out] == ["P02"]
    assert answers["by weight"].make_up.concentrate_kg is not None
    assert answers["not known"].make_up.strength is None
    assert not answers["not known"].carried


@pytest.mark.parametrize("name", CASES)
def test_an_answer_is_read_back_the_same(answers: dict[str, MixAnswer], shop: Shop, name: str) -> None:
    data = told(answers[name], shop)
    again = from_dict(data, shop)
    assert isinstance(again, MixAnswer)
    assert to_dict(again, shop.show) == data
    assert list(to_dict(again, shop.show)) == list(data)
    assert next(iter(data.items())) == ("kind", "mix")
    assert read_record(data, shop) == replace(answers[name], cautions=())
    assert again.text(shop) == answers[name].text(shop)


@pytest.mark.parametrize("name", CASES)
def test_what_is_spoilt_is_refused_by_its_key(answers: dict[str, MixAnswer], shop: Shop, name: str) -> None:
    data = told(answers[name], shop)
    del data["kind"], data["cautions"]
    count = 0
    for key, bad in spoilt(data, MAY_BE_ABSENT, COUNTS):
        with pytest.raises(Refused) as caught:
            read_record(bad, shop)
        assert key in caught.value.problem, (key, caught.value.problem)
        count += 1
    assert count > 50
