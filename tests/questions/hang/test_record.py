"""Answers about a lift as JSON: the same when read back, and whatever is no such answer is refused by its key."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from oracles.json_paths import changed, keys_of

import fitcheck as fc
from fitcheck.questions.hang.answer import HangAnswer, Lower
from fitcheck.questions.hang.record import FOLLOW
from fitcheck.questions.hang.record import from_dict as read_record
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Rim
from fitcheck.words.errors import Refused

# Of the demo yard: part, tank and what is asked for, for each way to answer.
ASKED: dict[str, tuple[str, str, dict[str, Any]]] = {
    "level": ("P10", "T1", {}),
    "tilted": ("P10", "T1", {"angles": fc.Angles(0.3, 0.1)}),
    "turns": ("P10", "T1", {}),
    "turns by itself": ("P10", "T1", {}),
    "too low": ("P01", "T1", {"angles": fc.Angles(0.7)}),
    "flat legs": ("P10", "T1", {"rise_mm": 50.0}),
    "within the tape": ("P10", "T1", {}),
    "no heights": ("P10", "T1", {}),
    "floats": ("P10", "T1", {}),
    "one leg": ("P12", "T1", {"legs": 1}),
    "three legs": ("P10", "T1", {"legs": 3}),
}
# Keys that have no value in some answers.
MAY_BE_ABSENT = {"sag_mm", "lower"}


@pytest.fixture(scope="module")
def shop() -> Shop:
    return fc.demo_shop()


@pytest.fixture(scope="module")
def told(shop: Shop) -> dict[str, Any]:
    """Return each case's answer as JSON, as it is in a file."""
    found = {}
    for name, (part, tank, more) in ASKED.items():
        the_part, the_tank = shop.parts[part], shop.tanks[tank]
        answer = fc.hang(the_part, the_tank, **more)
        if name == "within the tape":
            hook_mm = answer.hook.needed_mm
            the_tank = replace(the_tank, rim=replace(the_tank.rim, hook_height_mm=hook_mm))
            answer = fc.hang(the_part, the_tank, rise_mm=answer.rise_mm)
        elif name == "no heights":
            answer = fc.hang(the_part, replace(the_tank, rim=Rim(None, None)))
        elif name == "floats":
            answer = fc.hang(replace(the_part, mass_kg=0.5), the_tank)
        elif name == "turns by itself":
            picks_mm = np.array([leg.pick_mm for leg in answer.legs])
            answer = fc.hang(replace(the_part, picks_mm=picks_mm), the_tank, fc.Angles(0.0, 0.8))
        elif name == "turns":
            lopsided = replace(the_part, centre_mm=the_part.centre_mm + [20.0, 0.0, 0.0])
            answer = fc.hang(lopsided, the_tank, **more)
        found[name] = json.loads(json.dumps(to_dict(answer, shop.show)))
    return found


def test_the_cases_are_what_they_are_for(told: dict[str, Any]) -> None:
    assert {row["verdict"] for row in told.values()} == {"fits", "does not fit", "measure again"}
    faults = {fault for row in told.values() for fault in row["faults"]}
    assert faults == {
        "turns by itself",
        "flat legs",
        "hook too low",
        "hook within the tape",
        "heights missing",
    }
    assert told["floats"]["under_n"] < 0.0 < told["turns"]["turn_deg"]
    assert told["turns"]["breakout_turn_deg"] > 0.1
    assert "lower" in told["too low"]
    assert {len(row["legs"]) for row in told.values()} == {1, 2, 3}
    assert {len(row["rigs"]) for row in told.values()} == {0, 3}


@pytest.mark.parametrize("name", ASKED)
def test_an_answer_is_read_back_whole(told: dict[str, Any], shop: Shop, name: str) -> None:
    again = to_dict(from_dict(told[name], shop), shop.show)
    assert again == told[name]
    assert list(again) == list(told[name])
    assert next(iter(again.items())) == ("kind", "hang")


def test_no_digit_of_an_angle_is_lost(told: dict[str, Any], shop: Shop) -> None:
    """Told in degrees and read in radians, every angle is told the same again."""
    answer = from_dict(told["turns"], shop)
    assert isinstance(answer, HangAnswer)
    for one, other in np.random.default_rng(5).uniform(0.0, math.pi / 2.0, (300, 2)).tolist():
        legs = tuple(replace(leg, angle_rad=one) for leg in answer.legs)
        under = replace(answer.under, angles=fc.Angles(other, one), turn_rad=one)
        lower = Lower(fc.Angles(-other, one), 2000.0, True)
        turned = replace(answer, legs=legs, under=under, lower=lower, wanted=fc.Angles(one, other))
        data = to_dict(turned)
        assert to_dict(from_dict(data, shop)) == data


@pytest.mark.parametrize("value", [..., None, math.inf, [7.0]], ids=["missing", "null", "infinite", "a list"])
@pytest.mark.parametrize("name", ASKED)
def test_what_is_no_answer_is_refused_by_its_key(
    told: dict[str, Any], shop: Shop, name: str, value: object
) -> None:
    for path in keys_of(told[name]):
        if path[-1] in {"kind", "cautions"} or (value is ... and path[-1] in MAY_BE_ABSENT):
            continue
        with pytest.raises(Refused) as refused:
            read_record(changed(told[name], path, value), shop)
        said = f"{refused.value.problem} {refused.value.cure}"
        assert any(str(key) in said for key in path[-2:]), (path, said)


def test_what_follows_from_the_rest_must_follow(told: dict[str, Any], shop: Shop) -> None:
    for key in FOLLOW:
        data = told["turns"]
        with pytest.raises(Refused, match=key):
            from_dict(data | {key: data[key] + 1.0}, shop)
