"""What is told comes back as it was, and what is no such answer is refused by the name of its key."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from oracles.forged import spoilt

import fitcheck as fc
from fitcheck.questions.lot.ask import lot
from fitcheck.questions.lot.record import from_dict
from fitcheck.questions.register import from_dict as any_from_dict
from fitcheck.questions.register import to_dict
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused

# Keys that have no value in some cases.
OPTIONAL = {"gap_mm", "hook_mm"}
ANSWERS = {
    "fits": ("P05", "P19"),
    "measure again": ("P05", "P09"),
    "does not fit": ("P05", "P17"),
}


@pytest.fixture(scope="module")
def yard() -> Shop:
    return fc.demo_shop()


@pytest.fixture(scope="module", params=ANSWERS)
def told(request: pytest.FixtureRequest, yard: Shop) -> tuple[Any, Shop]:
    """Return an answer about a few parts of the yard, with the verdict of its name, as JSON has it."""
    shop = replace(yard, parts={name: yard.parts[name] for name in ANSWERS[request.param]})
    answer = lot(shop, "T1")
    assert answer.verdict == request.param
    return json.loads(json.dumps(to_dict(answer, shop.show))), shop


def test_an_answer_comes_back_as_it_was(told: tuple[Any, Shop]) -> None:
    data, shop = told
    assert data["kind"] == "lot"
    assert data["cautions"]
    assert to_dict(any_from_dict(data, shop), shop.show) == data


def test_a_spoilt_key_is_refused_by_its_name(told: tuple[Any, Shop]) -> None:
    whole, shop = told
    data = {key: value for key, value in whole.items() if key not in {"kind", "cautions"}}
    count = 0
    for key, changed in spoilt(data, OPTIONAL):
        with pytest.raises(Refused, match=rf"\b{key}\b"):
            from_dict(changed, shop)
        count += 1
    assert count > 40
