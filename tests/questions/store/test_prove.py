"""Answers of store checked again: true ones hold, and whatever is changed in them does not."""

from __future__ import annotations

import math

import pytest
from strategies.small_yard import Change, Data, as_written, seen, small_yard

from fitcheck.questions.store.ask import store
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    return small_yard(tmp_path_factory.mktemp("yard"))


@pytest.fixture(scope="module")
def told(shop: Shop) -> dict[str, Data]:
    """Answers as they are written."""
    some = [shop.parts["pole"], shop.parts["ell"], shop.parts["tall"]]
    return {
        "rails": as_written(store(shop.racks["rails"], some)),
        "bays": as_written(store(shop.racks["bays"], list(shop.parts.values()), shop.rules)),
    }


@pytest.mark.parametrize("which", ["rails", "bays"])
def test_a_true_answer_holds(which: str, shop: Shop, told: dict[str, Data]) -> None:
    found = seen(shop, told[which])
    assert found.holds, [check.what for check in found.checks if not check.holds]
    assert found.checks


def test_what_is_told_is_what_was_asked_for(told: dict[str, Data]) -> None:
    """The case that the others stand on: more than one rail used."""
    assert len(told["rails"]["places"]) > 2


@pytest.mark.parametrize(
    ("which", "change"),
    [
        ("rails", lambda data: data["places"][0].update(along_mm=10.0)),
        ("rails", lambda data: data["places"][0].update(number=2)),
        ("rails", lambda data: data["places"].pop()),
        ("rails", lambda data: data["places"][0].update(rail=3)),
        ("rails", lambda data: data["places"][0]["pose"]["matrix"][1].__setitem__(3, 5.0)),
        ("rails", lambda data: data["places"][0].update(hook_kg=0.1)),
        ("rails", lambda data: data["places"][0].update(hooks=3)),
        ("rails", lambda data: data["places"][0].update(over_floor_mm=1.0)),
        ("bays", lambda data: data["places"][0]["pose"]["matrix"][1].__setitem__(3, 900.0)),
        (
            "bays",
            lambda data: data["places"][0].update(bay="A2" if data["places"][0]["bay"] == "A1" else "A1"),
        ),
        ("bays", lambda data: data["places"][0].update(part="tall")),
        ("bays", lambda data: data["places"][0].update(across_mm=data["places"][0]["across_mm"] + 1.0)),
        ("bays", lambda data: data["left_out"].append({"part": "pole", "count": 1, "why": ""})),
    ],
)
def test_a_forged_rack_is_refused(which: str, change: Change, shop: Shop, told: dict[str, Data]) -> None:
    assert not seen(shop, told[which], change).holds


@pytest.mark.parametrize("bad", [math.inf, -math.inf, math.nan, 1e300])
def test_numbers_that_cannot_be_reckoned_with_are_refused(
    bad: float, shop: Shop, told: dict[str, Data]
) -> None:
    with pytest.raises(Refused, match="not finite"):
        seen(shop, told["rails"], lambda data: data["places"][0].update(number=bad))
