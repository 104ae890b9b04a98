"""A dip-stick as JSON: the same when it is read back, and what was changed in it is refused by its key."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from oracles.forged import spoilt

import fitcheck as fc
from fitcheck.questions.fill import record
from fitcheck.questions.fill.answer import FillAnswer
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.words.errors import Refused

SHOP = fc.demo_shop()
TANK = SHOP.tanks["T1"]
ANSWERS = {
    "level": fc.fill(TANK, level_mm=401.3),
    "liquid": fc.fill(TANK, liquid_l=333.3),
    "stick": fc.fill(TANK, step_mm=25.4),
}


def told(name: str) -> dict[str, Any]:
    data: dict[str, Any] = json.loads(json.dumps(to_dict(ANSWERS[name], SHOP.show), allow_nan=False))
    return data


@pytest.mark.parametrize("name", ANSWERS)
def test_an_answer_comes_back_as_it_was(name: str) -> None:
    data = told(name)
    again = from_dict(data, SHOP)
    assert to_dict(again, SHOP.show) == data
    assert again == ANSWERS[name]
    assert list(data) == ["kind", "tank", "rows", "cautions"]
    assert (data["kind"], data["tank"]) == ("fill", "T1")


def test_what_was_spoilt_is_refused_by_its_key() -> None:
    data = {key: value for key, value in told("stick").items() if key not in {"kind", "cautions"}}
    tried = [key for key, changed in spoilt(data, ()) if _refused(changed, key)]
    assert set(tried) == {"tank", "rows", "level_mm", "from_rim_mm", "liquid_l"}


def _refused(data: dict[str, Any], key: str) -> bool:
    with pytest.raises(Refused, match=key):
        record.from_dict(data, SHOP)
    return True


def test_an_answer_is_a_sequence_of_its_rows() -> None:
    answer = ANSWERS["stick"]
    assert isinstance(answer, FillAnswer)
    assert len(answer) == len(answer.rows) == len(list(answer)) > 20
    assert answer[0] is answer.rows[0]
    assert answer[-1].level_mm == TANK.depth_mm
    assert answer[1:3] == answer.rows[1:3]
    assert answer.rows[4] in answer


@pytest.mark.parametrize("name", ANSWERS)
def test_an_answer_is_no_truth_value_and_its_repr_is_short(name: str) -> None:
    with pytest.raises(TypeError, match="fill"):
        bool(ANSWERS[name])
    assert repr(ANSWERS[name]) == "<FillAnswer T1>"
    assert ANSWERS[name].verdict is None


def test_an_answer_tells_itself_and_draws_itself(tmp_path: Path) -> None:
    answer = ANSWERS["level"]
    assert "T1: liquid, no part in" in answer.text(SHOP)
    assert answer.draw(tmp_path / "fill.svg", SHOP) == ()
    assert (tmp_path / "fill.svg").stat().st_size > 1000
    picture = answer._repr_html_()
    assert picture is not None
    assert picture.startswith("<svg") and "401.3 mm" in picture
