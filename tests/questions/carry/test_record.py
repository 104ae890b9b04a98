"""Answers of carry as JSON: the same when read back, and whatever is no such answer is refused by its key."""

from __future__ import annotations

from dataclasses import replace

import pytest
from oracles.told_keys import spoilt
from strategies.corridors import corner, ell_in_a_hall
from strategies.small_yard import Data, as_written
from strategies.solids import box, part_of

import fitcheck as fc
from fitcheck.questions.carry.answer import CarryAnswer, KeyPose
from fitcheck.questions.carry.record import from_dict as read_record
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused

MAY_BE_ABSENT = ("width_spare_mm", "width_spare_at_most_mm", "pinch_mm")
COUNTS = ("slices",)


@pytest.fixture(scope="module")
def answers() -> dict[str, CarryAnswer]:
    """Return a way of the demo yard that is tipped, a way of a hollow part, and none."""
    shop = fc.demo_shop()
    return {
        "tipped": fc.carry(shop.parts["P21"], shop.routes["corridor"]),
        "hollow": fc.carry(*ell_in_a_hall(400.0, 900.0)),
        "none": fc.carry(part_of(box((1500.0, 200.0, 10.0))), corner(500.0, 500.0, 1500.0)),
        "assembly": fc.carry(shop.assemblies["hatchway"], shop.routes["out_of_build"]),
    }


def asked(answer: CarryAnswer) -> Shop:
    assert answer.asked is not None
    return answer.asked


def test_the_cases_are_what_they_are_for(answers: dict[str, CarryAnswer]) -> None:
    assert [answer.verdict for answer in answers.values()] == ["fits", "fits", "does not fit", "does not fit"]
    assert len(answers["tipped"].outlines) > 1
    assert len(answers["hollow"].outlines[0].pieces_mm) > 1
    assert answers["hollow"].width_spare_at_most_mm is not None


@pytest.mark.parametrize("name", ["tipped", "hollow", "none", "assembly"])
def test_an_answer_is_read_back_whole(answers: dict[str, CarryAnswer], name: str) -> None:
    answer = answers[name]
    shop, data = asked(answer), as_written(answer)
    again = from_dict(data, shop)
    assert isinstance(again, CarryAnswer)
    assert to_dict(again) == data
    assert list(to_dict(again)) == list(data)
    assert next(iter(data.items())) == ("kind", "carry")
    assert again.text(shop) == answer.text(shop)
    assert replace(again, cautions=answer.cautions) == answer


def test_angles_come_back_to_the_last_digit() -> None:
    """In degrees they are the same digits; in radians next to them at most."""
    path = tuple(KeyPose((0.1 * k, -k / 3.0), 0.001 * k, k / 700.0) for k in range(1, 1000))
    answer = CarryAnswer("part", "route", "fits", "told", path)
    data = as_written(answer)
    assert as_written(from_dict(data, Shop(""))) == data


def test_what_is_spoilt_is_refused_by_its_key(answers: dict[str, CarryAnswer]) -> None:
    data: Data = as_written(answers["tipped"])
    del data["kind"], data["cautions"]
    count = 0
    for key, bad in spoilt(data, MAY_BE_ABSENT, COUNTS):
        with pytest.raises(Refused) as caught:
            read_record(bad, Shop(""))
        assert key in caught.value.problem, (key, caught.value.problem)
        count += 1
    assert count > 40


@pytest.mark.parametrize(
    "ring", [[[0.0, 0.0], [1.0, 0.0]], [[0.0, 0.0], [1.0, 0.0], [1.0]], [[0.0, 1.0, 2.0]] * 3]
)
def test_what_is_no_outline_is_refused(answers: dict[str, CarryAnswer], ring: object) -> None:
    data = as_written(answers["none"])
    data["outlines"][0]["pieces_mm"].append(ring)
    with pytest.raises(Refused, match="pieces_mm"):
        read_record(data, Shop(""))
