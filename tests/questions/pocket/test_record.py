"""What a part holds as JSON: the same when it is read back, and what was changed in it is refused by its key."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from oracles.forged import spoilt

import fitcheck as fc
from fitcheck.questions.pocket import record
from fitcheck.questions.pocket.answer import PocketAnswer
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.things.part import Attitude
from fitcheck.words.errors import Refused
from fitcheck.words.units import RAD_PER_DEGREE

SHOP = fc.demo_shop()
CASES = ("edge up", "swung", "holds nothing", "map", "map in a tank", "fits nowhere")
OPTIONAL = {"tank", "map", "best", "fits"}


def asked(name: str) -> PocketAnswer:
    """Return an answer of the demo yard; maps in large steps, so that they are quick."""
    pan, plank = SHOP.parts["P10"], SHOP.parts["P04"]
    few = replace(pan, attitude=Attitude(10.0 * RAD_PER_DEGREE, 20.0 * RAD_PER_DEGREE))
    match name:
        case "edge up":
            return fc.pocket(pan, fc.Angles(math.radians(30.0), math.radians(180.0)))
        case "swung":
            return fc.pocket(pan, fc.Angles(0.1, -2.7, 0.7))
        case "holds nothing":
            return fc.pocket(plank, fc.Angles())
        case "map":
            return fc.pocket(few)
        case "map in a tank":
            return fc.pocket(few, tank=SHOP.tanks["T2"])
    return fc.pocket(few, tank=replace(SHOP.tanks["T2"], rules=fc.Rules(side_clearance_mm=300.0)))


ANSWERS = {name: asked(name) for name in CASES}


def told(name: str) -> dict[str, Any]:
    data: dict[str, Any] = json.loads(json.dumps(to_dict(ANSWERS[name], SHOP.show), allow_nan=False))
    return data


def test_the_cases_are_all_that_an_answer_can_be() -> None:
    assert ANSWERS["edge up"].holes and ANSWERS["edge up"].map is None
    assert ANSWERS["swung"].angles.swing_rad == 0.7
    assert not ANSWERS["holds nothing"].held.pockets
    assert ANSWERS["map"].map is not None and ANSWERS["map"].map.fits is None
    assert ANSWERS["map in a tank"].best is not None and ANSWERS["map in a tank"].tank == "T2"
    nowhere = ANSWERS["fits nowhere"]
    assert nowhere.best is None and nowhere.map is not None and nowhere.map.fits is not None
    assert not nowhere.map.fits.any()


@pytest.mark.parametrize("name", CASES)
def test_an_answer_comes_back_as_it_was(name: str) -> None:
    data, answer = told(name), ANSWERS[name]
    again = from_dict(data, SHOP)
    assert to_dict(again, SHOP.show) == data
    assert list(to_dict(again, SHOP.show)) == list(data)
    assert isinstance(again, PocketAnswer)
    assert (again.part, again.tank, again.angles, again.held) == (
        answer.part, answer.tank, answer.angles, answer.held
    )  # fmt: skip
    assert (again.off_l, again.sealed_l, again.holes, again.best, again.notes) == (
        answer.off_l, answer.sealed_l, answer.holes, answer.best, answer.notes
    )  # fmt: skip
    if answer.map is not None:
        assert again.map is not None
        for axis in ("tilts_rad", "rolls_rad", "air_l", "carry_out_l"):
            # An angle in degrees and back is off by a unit in the last place at most.
            np.testing.assert_allclose(getattr(again.map, axis), getattr(answer.map, axis), rtol=4e-16)


@pytest.mark.parametrize("name", ["edge up", "map in a tank"])
def test_what_was_spoilt_is_refused_by_its_key(name: str) -> None:
    data = told(name)
    tried = 0
    for key, changed in spoilt({k: v for k, v in data.items() if k not in {"kind", "cautions"}}, OPTIONAL):
        # A table of another kind is refused by what is missing in it.
        inside = data[key] if key in data and isinstance(data[key], dict) else {}
        with pytest.raises(Refused, match="|".join([key, *inside])):
            record.from_dict(changed, SHOP)
        tried += 1
    assert tried > 40


@pytest.mark.parametrize(
    ("key", "value", "said"),
    [
        ("air_l", 0.0, "air_l is not the sum"),
        ("bare_m2", 9.0, "bare_m2 is not the sum"),
        ("angles_rad", [0.0, 0.0, 0.0], "angles_rad"),
        ("angles_rad", [0.0, math.nan, 0.0], "angles_rad"),
        ("part", "P11", "pose"),
        ("notes", [3], "notes"),
        ("bleed_holes", [{"at_mm": [1.0, 2.0], "through_mm": 1.0, "air_left_l": 0.0}], "at_mm"),
    ],
)
def test_what_contradicts_itself_is_refused(key: str, value: object, said: str) -> None:
    with pytest.raises(Refused, match=said):
        record.from_dict(told("edge up") | {key: value}, SHOP)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("air_l", [[0.0]]),
        ("carry_out_l", "none"),
        ("tilt_deg", []),
        ("roll_deg", [[0.0]]),
        ("tilt_deg", [math.inf]),
        ("fits", [[1, 0]]),
        ("fits", [True]),
        ("fits", None),
    ],
)
def test_a_map_of_another_shape_is_refused(key: str, value: object) -> None:
    data = told("map in a tank")
    with pytest.raises(Refused, match=key):
        record.from_dict(data | {"map": data["map"] | {key: value}}, SHOP)


def test_a_number_that_is_not_finite_is_refused_by_the_register() -> None:
    with pytest.raises(Refused, match="not finite"):
        from_dict(told("edge up") | {"sealed_l": math.inf}, SHOP)


def test_keys_that_scripts_count_on_stand_in_their_order() -> None:
    keys = list(told("map in a tank"))
    assert keys[:4] == ["kind", "part", "tank", "pose"]
    assert keys[-2:] == ["notes", "cautions"]
    assert told("map")["kind"] == "pocket"


@pytest.mark.parametrize("name", CASES)
def test_an_answer_is_no_truth_value_and_its_repr_is_short(name: str) -> None:
    answer = ANSWERS[name]
    with pytest.raises(TypeError, match="pocket"):
        bool(answer)
    assert len(repr(answer)) < 200
    assert answer.part in repr(answer)
    assert (answer.verdict, answer.reason) == (None, "")


def test_cautions_are_values_and_drilling_goes_with_holes_only() -> None:
    kinds = {name: [each.kind for each in answer.cautions] for name, answer in ANSWERS.items()}
    assert kinds["edge up"] == ["hydrogen", "drilling", "water test", "outranked"]
    assert kinds["holds nothing"] == ["hydrogen", "water test", "outranked"]
    assert any("hydrogen" in line for line in told("edge up")["cautions"])


def test_an_answer_tells_itself_and_shows_its_picture() -> None:
    for name in ("edge up", "map"):
        answer = ANSWERS[name]
        assert "Cautions:" in answer.text(SHOP)
        picture = answer._repr_html_()
        assert picture is not None
        assert picture.startswith("<svg") and f"<title>{answer.part}" in picture
