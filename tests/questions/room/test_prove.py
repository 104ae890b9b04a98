"""Answers of room and arrange checked again: true ones hold, and whatever is changed in them does not."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from strategies.rooms import build_room
from strategies.small_yard import Change, Data, as_written, seen, small_yard

from fitcheck.proving import aisle_grid
from fitcheck.questions.room.arrange import arrange
from fitcheck.questions.room.ask import room
from fitcheck.things.room import Fixture, Place
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused


@pytest.fixture(autouse=True)
def coarser(monkeypatch: pytest.MonkeyPatch) -> None:
    """Take a grid of 7 mm: twice as quick, it shows aisles to 56 mm less and 28 mm more."""
    monkeypatch.setattr(aisle_grid, "STEP_MM", 7.0)


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    return small_yard(tmp_path_factory.mktemp("yard"))


@pytest.fixture(scope="module")
def told(shop: Shop) -> dict[str, Data]:
    """Answers as they are written."""
    answers = {
        "room": room(shop.rooms["build"]),
        "crowded": room(shop.rooms["crowded"]),
        "arranged": arrange(shop.rooms["build"]),
    }
    return {key: as_written(answer) for key, answer in answers.items()}


@pytest.mark.parametrize("which", ["room", "crowded", "arranged"])
def test_a_true_answer_holds(which: str, shop: Shop, told: dict[str, Data]) -> None:
    found = seen(shop, told[which])
    assert found.holds, [check.what for check in found.checks if not check.holds]
    assert found.checks


def test_what_is_told_is_what_was_asked_for(told: dict[str, Data]) -> None:
    """The cases that the others stand on: conflicts of two kinds, and an aisle."""
    assert {each["kind"] for each in told["crowded"]["conflicts"]} >= {
        "outside the room",
        "in the door swing",
    }
    assert told["room"]["aisles"]


def wider(by: float) -> Change:
    """Change an aisle by more than the grid leaves open, and take its pinch out, which gives it away too."""

    def change(data: Data) -> None:
        data["aisles"][0]["width_mm"] += by
        del data["aisles"][0]["pinch"], data["aisles"][0]["pinch_mm"]

    return change


def placed(at_mm: tuple[float, float], turn_deg: float = 0.0) -> Change:
    """Move the jig, and the corners by tape with it."""

    def change(data: Data) -> None:
        place = Place(at_mm, math.radians(turn_deg))
        corners = Fixture("jig", (1000.0, 2000.0, 900.0)).ring_mm(place)
        data["placed"][0].update(at_mm=list(at_mm), turn_deg=turn_deg, corners_mm=[list(c) for c in corners])

    return change


@pytest.mark.parametrize(
    ("which", "change"),
    [
        ("room", placed((1400.0, 2000.0))),
        ("room", placed((1500.0, 2000.0), 5.0)),
        ("room", lambda data: data["placed"].pop()),
        ("room", wider(60.0)),
        ("room", wider(-60.0)),
        ("room", lambda data: data["aisles"][0].update(at_least_mm=data["aisles"][0]["width_mm"] + 1.0)),
        ("room", lambda data: data["aisles"][0]["pinch_mm"][0].__setitem__(0, 5.0)),
        ("room", lambda data: data["aisles"].pop()),
        ("room", lambda data: data.update(verdict="does not fit")),
        ("room", lambda data: data.update(least_aisle_mm=data["least_aisle_mm"] + 1.0)),
        ("room", lambda data: data.update(on_walls=data["on_walls"] + 1)),
        ("crowded", lambda data: data.update(verdict="fits", conflicts=[])),
        ("crowded", lambda data: data["conflicts"].pop()),
        ("crowded", lambda data: data["conflicts"][0].update(short_by_mm=1.0)),
        ("crowded", lambda data: data["conflicts"][0].update(kind="bodies overlap")),
    ],
)
def test_a_forged_room_is_refused(which: str, change: Change, shop: Shop, told: dict[str, Data]) -> None:
    assert not seen(shop, told[which], change).holds


@pytest.mark.parametrize(
    "change",
    [
        lambda row: row["at_mm"].__setitem__(0, 1400.0),
        lambda row: row.update(turn_deg=5.0),
        lambda row: row["corners_mm"][2].__setitem__(1, row["corners_mm"][2][1] + 1.0),
    ],
)
def test_a_place_and_its_corners_by_tape_go_together(change: Any, shop: Shop, told: dict[str, Data]) -> None:
    with pytest.raises(Refused, match="corners_mm"):
        seen(shop, told["room"], lambda data: change(data["placed"][0]))


@pytest.fixture(scope="module")
def laid_out() -> tuple[Shop, Data]:
    """Return a yard's room and its layouts, found from nothing."""
    empty = build_room(placed=False)
    return Shop.of(empty), as_written(arrange(empty))


def test_every_layout_is_checked(laid_out: tuple[Shop, Data]) -> None:
    yard, data = laid_out
    count = len(data["layouts"])
    assert count > 1
    found = seen(yard, data)
    assert found.holds, [check.what for check in found.checks if not check.holds]
    assert {f"layout {k}:" for k in range(2, count + 1)} <= {each.what[:9] for each in found.checks}
    assert not seen(yard, data, lambda told: told["layouts"][-1].update(on_walls=0)).holds
    with pytest.raises(Refused, match="layouts"):
        seen(yard, data, lambda told: told["layouts"].reverse())


def test_what_has_its_place_and_is_in_the_way_is_shown_again() -> None:
    empty = build_room(placed=False)
    one, other, *rest = empty.fixtures
    there = replace(
        empty, fixtures=(*(replace(each, place=Place((0.0, 3000.0))) for each in (one, other)), *rest)
    )
    data = as_written(arrange(there))
    assert (data["verdict"], "placed" in data) == ("does not fit", False)
    found = seen(Shop.of(there), data)
    assert found.holds, [check.what for check in found.checks if not check.holds]
    apart = replace(there, fixtures=(there.fixtures[0], *empty.fixtures[1:]))
    assert not seen(Shop.of(apart), data).holds
    aisle = {"kind": "aisle too narrow", "between": [one.name, other.name], "short_by_mm": 5.0}
    assert not seen(Shop.of(apart), data, lambda told: told.update(conflicts=[aisle])).holds


@pytest.mark.parametrize("bad", [math.inf, -math.inf, math.nan, 1e300])
def test_numbers_that_cannot_be_reckoned_with_are_refused(
    bad: float, shop: Shop, told: dict[str, Data]
) -> None:
    with pytest.raises(Refused, match="not finite"):
        seen(shop, told["room"], lambda data: data["placed"][0].update(turn_deg=bad))
