"""A new tank as JSON: the same when read back, and whatever is no such answer is refused by its key."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from oracles.told_keys import changed, spoilt
from strategies.solids import box, part_of

import fitcheck as fc
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.questions.tank_for.answer import TankForAnswer
from fitcheck.questions.tank_for.record import from_dict as read_record
from fitcheck.things.part import Attitude
from fitcheck.things.shop import Shop
from fitcheck.things.stock import Stock
from fitcheck.words.errors import Refused

CASES = ("in two", "in one")
COUNTS = ("count",)


@pytest.fixture(scope="module")
def shop() -> Shop:
    return fc.demo_shop()


@pytest.fixture(scope="module")
def answers(shop: Shop) -> dict[str, TankForAnswer]:
    """Return a tank for two parts in two passes, and one for a part that may not be turned over."""
    parts = [
        part_of(box((600.0, 200.0, 100.0)), name="chest"),
        part_of(box((300.0, 100.0, 50.0)), name="step"),
    ]
    held = replace(parts[0], attitude=Attitude(0.0, 0.0, 0.0))
    thin = replace(Stock(), sheet_thickness_mm=12.7)
    return {"in two": fc.tank_for(parts, shop.rules), "in one": fc.tank_for([held], shop.rules, thin)}


def told(answer: TankForAnswer, shop: Shop) -> Any:
    return json.loads(json.dumps(to_dict(answer, shop.show)))


def test_the_cases_are_what_they_are_for(answers: dict[str, TankForAnswer]) -> None:
    assert answers["in two"].in_two is not None
    assert len(answers["in two"].tanks) > 1
    assert answers["in one"].in_two is None


@pytest.mark.parametrize("name", CASES)
def test_an_answer_is_read_back_the_same(answers: dict[str, TankForAnswer], shop: Shop, name: str) -> None:
    data = told(answers[name], shop)
    again = from_dict(data, shop)
    assert isinstance(again, TankForAnswer)
    assert to_dict(again, shop.show) == data
    assert list(to_dict(again, shop.show)) == list(data)
    assert next(iter(data.items())) == ("kind", "tank-for")
    assert read_record(data, shop) == replace(answers[name], cautions=())
    assert again.text(shop) == answers[name].text(shop)


@pytest.mark.parametrize("name", CASES)
def test_what_is_spoilt_is_refused_by_its_key(
    answers: dict[str, TankForAnswer], shop: Shop, name: str
) -> None:
    data = told(answers[name], shop)
    del data["kind"], data["cautions"]
    count = 0
    for key, bad in spoilt(data, (), COUNTS):
        with pytest.raises(Refused) as caught:
            read_record(bad, shop)
        assert key in caught.value.problem or "parts" in caught.value.problem, (key, caught.value.problem)
        count += 1
    assert count > 50


def test_other_verdicts_and_no_tank_are_refused(answers: dict[str, TankForAnswer], shop: Shop) -> None:
    data = told(answers["in one"], shop)
    for key, bad in (
        ("checked", changed(data, ("checked", "chest"), "perhaps")),
        ("tanks", changed(data, ("tanks",), [])),
        ("proven_parts", changed(data, ("proven_parts",), {"other": 1.0})),
    ):
        with pytest.raises(Refused, match=key):
            read_record(bad, shop)


def test_the_board_that_the_panels_are_cut_for_is_told(answers: dict[str, TankForAnswer], shop: Shop) -> None:
    # Half an inch is 12.7 mm: the floor goes under the ends, so it is longer by two boards.
    thin = answers["in one"]
    assert "of 1/2 in board" in thin.text(shop)
    assert "of 3/4 in board" in answers["in two"].text(shop)
    floor = next(panel for panel in thin.tanks[0].panels if panel.name == "floor")
    assert floor.size_mm[0] == pytest.approx(thin.tanks[0].inside_mm[0] + 25.4)
