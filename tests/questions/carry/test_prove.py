"""Answers of carry checked again: true ones hold, and whatever is changed in them does not."""

from __future__ import annotations

import math

import pytest
from strategies.small_yard import Change, Data, as_written, seen, small_yard
from strategies.solids import box, part_of

from fitcheck.questions.carry.ask import carry
from fitcheck.questions.carry.prove import prove
from fitcheck.things.route import Route, Stand
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    return small_yard(tmp_path_factory.mktemp("yard"))


@pytest.fixture(scope="module")
def told(shop: Shop) -> dict[str, Data]:
    """Answers as they are written."""
    parts = {"level": "ell", "tipped": "pole", "too tall": "tall"}
    return {key: as_written(carry(shop.parts[name], shop.routes["corner"])) for key, name in parts.items()}


@pytest.mark.parametrize("which", ["level", "tipped", "too tall"])
def test_a_true_answer_holds(which: str, shop: Shop, told: dict[str, Data]) -> None:
    found = seen(shop, told[which])
    assert found.holds, [check.what for check in found.checks if not check.holds]
    assert found.checks


def test_what_is_told_is_what_was_asked_for(told: dict[str, Data]) -> None:
    """The cases that the others stand on: a way that is level, one that is tipped, and none."""
    assert {step["tilt_deg"] for step in told["tipped"]["path"]} != {0.0}
    assert len(told["tipped"]["outlines"]) > 1
    assert told["level"]["verdict"] == told["tipped"]["verdict"] == "fits"
    assert told["too tall"]["verdict"] == "does not fit"


def step(k: int, key: str, by: float) -> Change:
    def change(data: Data) -> None:
        if key == "east":
            data["path"][k]["at_mm"][0] += by
        else:
            data["path"][k][key] += by

    return change


def mirrored(data: Data) -> None:
    for each in data["path"]:
        each["swing_deg"] = -each["swing_deg"]


@pytest.mark.parametrize("which", ["level", "tipped"])
@pytest.mark.parametrize(
    "change",
    [
        step(0, "east", 1.0),
        step(-1, "east", -1.0),
        step(2, "east", 60.0),
        step(1, "swing_deg", 40.0),
        step(2, "tilt_deg", 5.0),
        step(0, "tilt_deg", -90.0),
        mirrored,
        lambda data: data.update(width_spare_mm=data["width_spare_mm"] + 2.0),
        lambda data: data.update(pinch_mm=[3000.0, 3000.0]),
        lambda data: data.pop("width_spare_mm"),
        lambda data: data.update(path=data["path"][:1] + data["path"][-1:]),
        lambda data: data.update(part="tall"),
        lambda data: data.update(verdict="does not fit"),
        lambda data: data.update(outlines=[]),
        lambda data: data["outlines"].pop(),
        lambda data: data["outlines"][0].update(pieces_mm=data["outlines"][0]["pieces_mm"][1:]),
        lambda data: data["outlines"][0]["pieces_mm"].append([[0.0, 0.0], [9e3, 0.0], [9e3, 9e3]]),
    ],
)
def test_a_forged_way_is_refused(which: str, change: Change, shop: Shop, told: dict[str, Data]) -> None:
    assert not seen(shop, told[which], change).holds


def test_a_no_is_shown_again_or_said_not_to_be(shop: Shop, told: dict[str, Data]) -> None:
    high = seen(shop, told["too tall"])
    assert high.holds
    assert not high.not_checked
    claimed = seen(shop, told["level"], lambda data: data.update(verdict="does not fit", path=[]))
    assert [each.key for each in claimed.not_checked] == ["verdict"]


@pytest.mark.parametrize("bad", [math.inf, -math.inf, math.nan, 1e300])
def test_numbers_that_cannot_be_reckoned_with_are_refused(
    bad: float, shop: Shop, told: dict[str, Data]
) -> None:
    for change in (
        lambda data: data["path"][1].update(swing_deg=bad),
        lambda data: data["path"][1]["at_mm"].__setitem__(0, bad),
    ):
        with pytest.raises(Refused, match="not finite"):
            seen(shop, told["level"], change)


@pytest.mark.parametrize(("key", "said"), [("part", "no part or assembly"), ("route", "no route")])
def test_an_answer_of_another_shop_is_refused(key: str, said: str, shop: Shop, told: dict[str, Data]) -> None:
    with pytest.raises(Refused, match=said):
        seen(shop, told["level"], lambda data: data.update({key: "elsewhere"}))


def test_a_part_is_tallest_before_it_stands() -> None:
    """A bar of 2400 x 40 mm stands under 2400.1 mm, but on its way up its diagonal of 2400.33 mm does not."""
    bar = part_of(box((2400.0, 30.0, 40.0)))
    floor = ((0.0, 0.0), (1000.0, 0.0), (1000.0, 3000.0), (4000.0, 3000.0), (4000.0, 4000.0), (0.0, 4000.0))
    ends = Stand((500.0, 1300.0), math.pi / 2.0), Stand((2700.0, 3500.0), 0.0)
    route = Route("corner", floor, *ends, headroom_mm=2400.1, tilt_rad=math.pi / 2.0)
    answer = carry(bar, route)
    assert answer.verdict == "fits"
    # Its diagonal is under the headroom up to where 2400 sin t + 40 cos t = 2400.1.
    steepest = math.asin(2400.1 / math.hypot(2400.0, 40.0)) - math.atan2(40.0, 2400.0)
    assert 0.0 < max(step.tilt_rad for step in answer.path) <= steepest
    found = prove(answer, Shop.of(bar, route))
    assert found.holds, [check.what for check in found.checks if not check.holds]
