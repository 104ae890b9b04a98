"""A weighing comes back from JSON whole; a key that is missing or mistyped is refused by its name."""

from __future__ import annotations

import json

import pytest

from fitcheck.files.demo_shop import demo_shop
from fitcheck.questions import register
from fitcheck.questions.weigh.ask import weigh
from fitcheck.things.pose import Angles
from fitcheck.words.errors import Refused

SHOP = demo_shop()


@pytest.mark.parametrize(
    "key", ["dry_kg", "dry_n", "displaced_l", "air_l", "under_n", "carry_out_l", "lift_out_kg"]
)
def test_an_answer_comes_back_and_is_proved_and_a_forged_one_is_not(key: str) -> None:
    answer = weigh(SHOP.parts["P10"], SHOP.tanks["T2"], Angles(0.3, 2.0))
    data = json.loads(json.dumps(answer.to_dict("ft-in")))
    assert list(data)[0] == "kind"
    assert register.to_dict(register.from_dict(data, SHOP), "ft-in") == data
    assert register.prove(data, SHOP).holds
    forged = data | {key: data[key] * 0.98 if data[key] else 1.0}
    assert not register.prove(forged, SHOP).holds
    with pytest.raises(Refused, match=key):
        register.from_dict(data | {key: "much"}, SHOP)


@pytest.mark.parametrize(
    "key", ["part", "tank", "advised", "tilt_deg", "roll_deg", "swing_deg", "lift_out_n"]
)
def test_a_key_that_is_not_there_is_named(key: str) -> None:
    data = weigh(SHOP.parts["P10"], SHOP.tanks["T2"], Angles(0.3, 2.0)).to_dict()
    with pytest.raises(Refused, match=key):
        register.from_dict({name: value for name, value in data.items() if name != key}, SHOP)
