"""Answers of store as JSON: the same when read back, and whatever is no such answer is refused by its key."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from oracles.told_keys import changed, spoilt
from strategies.small_yard import as_written
from strategies.solids import box, part_of

import fitcheck as fc
from fitcheck.geometry.mesh.measure import weighed
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.questions.store.answer import StoreAnswer
from fitcheck.questions.store.record import from_dict as read_record
from fitcheck.shapes.block import block
from fitcheck.things.rack import Bay, BayRack, Rail, RailRack
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused

MAY_BE_ABSENT = ("at_least_racks", "sag_mm")
COUNTS = ("number", "hooks", "rail", "count", "at_least_racks")


@pytest.fixture(scope="module")
def answers() -> dict[str, StoreAnswer]:
    """Return racks of the demo yard that take some parts, arms that sag, the tape's word, and no rack at all."""
    shop = fc.demo_shop()
    bar = replace(weighed("bar", block((3000.0, 40.0, 4.0)).solid, 2.7), size_mm=(3000.0, 40.0, 4.0))
    arms = BayRack("wall", (Bay("A", (3200.0, 300.0, 100.0), supports_mm=1500.0),), 10.0, sag_share=1.0)
    rib = replace(part_of(box((1000.0, 50.0, 500.0))), name="rib", count=4, tape_mm=1.0)
    rail = RailRack("dry", (Rail(260.0, 2000.0),), 20.0)
    few = [shop.parts[name] for name in ("P01", "P02", "P05")]
    return {
        "rails": fc.store(shop.racks["dry"], few, shop.rules),
        "bays": fc.store(shop.racks["wall"], [shop.parts["P05"], shop.parts["P09"]], shop.rules),
        "arms": fc.store(arms, [bar]),
        "tape": fc.store(rail, [rib]),
        "none": fc.store(rail, [replace(part_of(box((2500.0, 2500.0, 2500.0))), name="cube")]),
    }


NAMES = ["rails", "bays", "arms", "tape", "none"]


def asked(answer: StoreAnswer) -> Shop:
    assert answer.asked is not None
    return answer.asked


def test_the_cases_are_what_they_are_for(answers: dict[str, StoreAnswer]) -> None:
    assert {answer.verdict for answer in answers.values()} == {"fits", "does not fit", "measure again"}
    assert answers["rails"].left_out
    assert answers["arms"].places[0].sag_mm is not None
    assert answers["none"].at_least_racks is None


@pytest.mark.parametrize("name", NAMES)
def test_an_answer_is_read_back_whole(answers: dict[str, StoreAnswer], name: str) -> None:
    answer = answers[name]
    shop, data = asked(answer), as_written(answer)
    again = from_dict(data, shop)
    assert isinstance(again, StoreAnswer)
    assert to_dict(again) == data
    assert list(to_dict(again)) == list(data)
    assert next(iter(data.items())) == ("kind", "store")
    assert again.text(shop) == answer.text(shop)
    assert again.rack is answer.rack
    assert (again.left_out, again.parts) == (answer.left_out, answer.parts)
    for one, other in zip(again.places, answer.places, strict=True):
        assert np.array_equal(one.pose.matrix, other.pose.matrix)
        assert (one.where, one.place, one.size_mm) == (other.where, other.place, other.size_mm)


def test_the_parts_asked_about_are_told(answers: dict[str, StoreAnswer]) -> None:
    assert sorted(answers["rails"].parts) == ["P01", "P02", "P05"]
    assert as_written(answers["none"])["parts"] == ["cube"]
    assert set(asked(answers["rails"]).parts) == {"P01", "P02", "P05"}
    assert asked(answers["rails"]).rules == fc.demo_shop().rules


@pytest.mark.parametrize("name", ["rails", "arms"])
def test_what_is_spoilt_is_refused_by_its_key(answers: dict[str, StoreAnswer], name: str) -> None:
    shop, data = asked(answers[name]), as_written(answers[name])
    del data["kind"], data["cautions"]
    count = 0
    for key, bad in spoilt(data, MAY_BE_ABSENT, COUNTS):
        with pytest.raises(Refused) as caught:
            read_record(bad, shop)
        assert key in caught.value.problem, (key, caught.value.problem)
        count += 1
    assert count > 60


@pytest.mark.parametrize(
    ("name", "way", "value", "said"),
    [
        ("rails", ("rack",), "attic", "no rack attic"),
        ("bays", ("places", 0, "bay"), "Z9", "places.bay"),
        ("rails", ("places", 0, "size_mm"), [1.0, 2.0], "size_mm"),
        ("rails", ("verdict",), "stands", "verdict"),
    ],
)
def test_what_is_of_another_rack_is_refused(
    answers: dict[str, StoreAnswer], name: str, way: tuple[str | int, ...], value: object, said: str
) -> None:
    with pytest.raises(Refused, match=said):
        read_record(changed(as_written(answers[name]), way, value), asked(answers[name]))
