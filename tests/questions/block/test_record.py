"""Blocks and dams as JSON: the same when read back, and whatever is no such answer is refused by its key."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from oracles.told_keys import changed, spoilt

import fitcheck as fc
from fitcheck.questions.block.answer import BlockAnswer
from fitcheck.questions.block.record import from_dict as read_record
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.things.liquid import Liquid, Recipe
from fitcheck.things.shop import Shop
from fitcheck.things.stock import Stock
from fitcheck.words.errors import Refused

MAY_BE_ABSENT = ("lifts_at_mm", "metacentre_mm", "bending", "ballast", "price_per_l")
COUNTS = ("ways_tried", "count", "sheets_at_least")


@pytest.fixture(scope="module")
def shop() -> Shop:
    return fc.demo_shop()


@pytest.fixture(scope="module")
def answers(shop: Shop) -> dict[str, BlockAnswer]:
    """Return designs of boxes and a dam with a price, for two parts, and none for want of a sheet."""
    small = shop.tanks["T4"]
    priced = replace(small, liquid=Liquid("coat", 1.03, Recipe(price_per_l=4.2)))
    hatch, baffle = shop.parts["P09"], shop.parts["P19"]
    return {
        "priced": fc.block(priced, [hatch]),
        "two parts": fc.block(small, [hatch, baffle]),
        "none": fc.block(small, [hatch], replace(Stock(), sheet_mm=(70.0, 70.0))),
    }


def told(answer: BlockAnswer, shop: Shop) -> Any:
    return json.loads(json.dumps(to_dict(answer, shop.show)))


def test_the_cases_are_what_they_are_for(answers: dict[str, BlockAnswer]) -> None:
    assert {design.kind for design in answers["priced"].designs} == {"block", "dam"}
    assert answers["priced"].price_per_l == 4.2
    assert len(answers["two parts"].designs[0].poses) == 2
    assert answers["none"].designs == ()
    assert answers["none"].unbuilt


@pytest.mark.parametrize("name", ["priced", "two parts", "none"])
def test_an_answer_is_read_back_whole(answers: dict[str, BlockAnswer], shop: Shop, name: str) -> None:
    data = told(answers[name], shop)
    again = from_dict(data, shop)
    assert isinstance(again, BlockAnswer)
    assert to_dict(again, shop.show) == data
    assert list(to_dict(again, shop.show)) == list(data)
    assert next(iter(data.items())) == ("kind", "block")
    assert again.text(shop) == answers[name].text(shop)
    assert again.load == answers[name].load
    for one, other in zip(again.designs, answers[name].designs, strict=True):
        assert replace(one, poses=other.poses) == other


@pytest.mark.parametrize("kind", ["block", "dam"])
def test_what_is_spoilt_is_refused_by_its_key(answers: dict[str, BlockAnswer], shop: Shop, kind: str) -> None:
    answer = answers["priced"]
    chosen = tuple(design for design in answer.designs if design.kind == kind)[:1]
    data = told(replace(answer, designs=chosen), shop)
    del data["kind"], data["cautions"]
    count = 0
    for key, bad in spoilt(data, MAY_BE_ABSENT, COUNTS):
        with pytest.raises(Refused) as caught:
            read_record(bad, shop)
        assert key in caught.value.problem, (key, caught.value.problem)
        count += 1
    assert count > 100


def test_what_contradicts_itself_is_refused(answers: dict[str, BlockAnswer], shop: Shop) -> None:
    data = told(answers["two parts"], shop)
    forged = {
        "poses": changed(data, ("designs", 0, "poses", 0, "part"), "P10"),
        "parts": changed(data, ("parts",), []),
        "kind": changed(data, ("designs", 0, "kind"), "wall"),
        "pose": changed(data, ("designs", 0, "pose"), data["designs"][0]["poses"][1]["pose"]),
    }
    for key, bad in forged.items():
        with pytest.raises(Refused, match=key):
            read_record(bad, shop)
    money = told(answers["priced"], shop)
    with pytest.raises(Refused, match="saves_money"):
        read_record(changed(money, ("saves_money",), money["saves_money"] * 1.001), shop)
