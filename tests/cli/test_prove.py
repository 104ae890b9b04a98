"""Answers of carry, room and store looked at again: true ones hold, and whatever is changed in them does not."""

from __future__ import annotations

import copy
import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from fitcheck.cli.prove_again import proved_again

from fitcheck.cli.main import run
from fitcheck.files.shop_file import read_shop
from fitcheck.proving import aisle_grid
from fitcheck.questions.carry.ask import carry
from fitcheck.questions.carry.record import carry_json
from fitcheck.questions.room.arrange import arrange
from fitcheck.questions.room.ask import room
from fitcheck.questions.room.record import room_json
from fitcheck.questions.store.ask import store
from fitcheck.questions.store.record import store_json
from fitcheck.things.proved import Again
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused

YARD = """
[rules]
tape_part = "0 mm"
[parts.ell]
shape = "angle"
size = ["1500 mm", "300 mm", "200 mm"]
wall = "10 mm"
metal = "aluminium"
[parts.pole]
shape = "block"
size = ["3 m", "40 mm", "30 mm"]
metal = "aluminium"
count = 3
[parts.tall]
shape = "block"
size = ["950 mm", "500 mm", "2600 mm"]
metal = "aluminium"
[routes.corner]
floor = [["0 m","0 m"], ["4 m","0 m"], ["4 m","1 m"], ["1 m","1 m"], ["1 m","4 m"], ["0 m","4 m"]]
headroom = "1800 mm"
clearance = "20 mm"
tilt_at_most = "60 deg"
from = { at = ["500 mm", "2500 mm"] }
to = { at = ["2500 mm", "500 mm"] }
posts = [{ at = ["3900 mm", "0 mm"], size = ["100 mm", "100 mm"] }]
[racks.rails]
kind = "rail"
rails = [{ length = "6500 mm", height = "2 m" }, { length = "3500 mm", height = "2 m" }]
part_gap = "50 mm"
[racks.bays]
kind = "bay"
bays = [{ name = "A1", inside = ["3100 mm", "500 mm", "400 mm"] }, { name = "A2", inside = ["2 m", "2 m", "2 m"] }]
part_gap = "10 mm"
[rooms.build]
size = ["4 m", "5 m"]
ceiling = "2500 mm"
aisle = "800 mm"
[[rooms.build.doors]]
wall = "south"
at = "500 mm"
width = "900 mm"
[[rooms.build.fixtures]]
name = "jig"
size = ["1 m", "2 m", "900 mm"]
at = ["1500 mm", "2 m"]
work = { left = "800 mm" }
[[rooms.build.fixtures]]
name = "bench"
size = ["600 mm", "2 m", "900 mm"]
at = ["3400 mm", "2 m"]
[rooms.crowded]
size = ["4 m", "5 m"]
aisle = "800 mm"
[[rooms.crowded.doors]]
wall = "south"
at = "500 mm"
width = "900 mm"
[[rooms.crowded.fixtures]]
name = "jig"
size = ["1 m", "2 m", "900 mm"]
at = ["1 m", "700 mm"]
turn = "20 deg"
[[rooms.crowded.fixtures]]
name = "bench"
size = ["600 mm", "2 m", "900 mm"]
at = ["3500 mm", "2 m"]
"""
Data = dict[str, Any]


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("yard") / "yard.toml"
    path.write_text(YARD, encoding="utf-8")
    return path


@pytest.fixture(autouse=True)
def coarser(monkeypatch: pytest.MonkeyPatch) -> None:
    """Take a grid of 7 mm: twice as quick, it shows aisles to 56 mm less and 28 mm more."""
    monkeypatch.setattr(aisle_grid, "STEP_MM", 7.0)


@pytest.fixture(scope="module")
def shop(yard: Path) -> Shop:
    return read_shop(yard)


@pytest.fixture(scope="module")
def told(shop: Shop) -> dict[str, Data]:
    """Answers as they are written."""
    level = carry(shop.parts["ell"], shop.routes["corner"])
    tipped = carry(shop.parts["pole"], shop.routes["corner"])
    answers = {
        "level": carry_json(level),
        "tipped": carry_json(tipped),
        "too tall": carry_json(carry(shop.parts["tall"], shop.routes["corner"])),
        "room": room_json(room(shop.rooms["build"])),
        "crowded": room_json(room(shop.rooms["crowded"])),
        "arranged": room_json(arrange(shop.rooms["build"])),
        "rails": store_json(
            store(shop.racks["rails"], [shop.parts["pole"], shop.parts["ell"], shop.parts["tall"]])
        ),
        "bays": store_json(store(shop.racks["bays"], list(shop.parts.values()), shop.rules)),
    }
    return {key: json.loads(json.dumps(answer)) for key, answer in answers.items()}


def seen(shop: Shop, data: Data, change: Callable[[Data], object] | None = None) -> Again:
    data = copy.deepcopy(data)
    if change is not None:
        change(data)
    return proved_again(data, shop)


@pytest.mark.parametrize("which", ["level", "tipped", "room", "crowded", "arranged", "rails", "bays"])
def test_a_true_answer_holds(which: str, shop: Shop, told: dict[str, Data]) -> None:
    found = seen(shop, told[which])
    assert found.holds, [check.what for check in found.checks if not check.holds]
    assert found.checks


def test_what_is_told_is_what_was_asked_for(told: dict[str, Data]) -> None:
    """The cases that the others stand on: a way that is tipped, conflicts of two kinds, two rails used."""
    assert {step["tilt_deg"] for step in told["tipped"]["path"]} != {0.0}
    assert told["level"]["verdict"] == told["tipped"]["verdict"] == "fits"
    assert {each["kind"] for each in told["crowded"]["conflicts"]} >= {
        "outside the room",
        "in the door swing",
    }
    assert told["room"]["aisles"]
    assert len(told["rails"]["places"]) > 2
    assert told["too tall"]["verdict"] == "does not fit"


def step(k: int, key: str, by: float) -> Callable[[Data], None]:
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
    ],
)
def test_a_forged_way_is_refused(
    which: str, change: Callable[[Data], object], shop: Shop, told: dict[str, Data]
) -> None:
    assert not seen(shop, told[which], change).holds


def test_a_no_is_shown_again_or_said_not_to_be(shop: Shop, told: dict[str, Data]) -> None:
    high = seen(shop, told["too tall"])
    assert high.holds
    assert not high.not_shown
    claimed = seen(shop, told["level"], lambda data: data.update(verdict="does not fit", path=[]))
    assert claimed.not_shown


def wider(by: float) -> Callable[[Data], None]:
    """Change an aisle by more than the grid leaves open, and take its pinch out, which gives it away too."""

    def change(data: Data) -> None:
        data["aisles"][0]["width_mm"] += by
        del data["aisles"][0]["pinch"], data["aisles"][0]["pinch_mm"]

    return change


@pytest.mark.parametrize(
    ("which", "change"),
    [
        ("room", lambda data: data["placed"][0]["at_mm"].__setitem__(0, 1400.0)),
        ("room", lambda data: data["placed"][0].update(turn_deg=5.0)),
        ("room", lambda data: data["placed"].pop()),
        ("room", wider(60.0)),
        ("room", wider(-60.0)),
        ("room", lambda data: data["aisles"][0]["pinch_mm"][0].__setitem__(0, 5.0)),
        ("room", lambda data: data["aisles"].pop()),
        ("room", lambda data: data.update(verdict="does not fit")),
        ("crowded", lambda data: data.update(verdict="fits", conflicts=[])),
        ("crowded", lambda data: data["conflicts"].pop()),
        ("crowded", lambda data: data["conflicts"][0].update(short_by_mm=1.0)),
        ("crowded", lambda data: data["conflicts"][0].update(kind="bodies overlap")),
        ("rails", lambda data: data["places"][0].update(along_mm=10.0)),
        ("rails", lambda data: data["places"][0].update(number=2)),
        ("rails", lambda data: data["places"].pop()),
        ("rails", lambda data: data["places"][0].update(rail=3)),
        ("rails", lambda data: data["places"][0]["pose"]["matrix"][1].__setitem__(3, 5.0)),
        ("rails", lambda data: data["places"][0].update(hook_kg=0.1)),
        ("bays", lambda data: data["places"][0]["pose"]["matrix"][1].__setitem__(3, 900.0)),
        (
            "bays",
            lambda data: data["places"][0].update(bay="A2" if data["places"][0]["bay"] == "A1" else "A1"),
        ),
        ("bays", lambda data: data["places"][0].update(part="tall")),
        ("bays", lambda data: data["left_out"].append({"part": "pole", "count": 1})),
    ],
)
def test_a_forged_room_or_rack_is_refused(
    which: str, change: Callable[[Data], object], shop: Shop, told: dict[str, Data]
) -> None:
    assert not seen(shop, told[which], change).holds


@pytest.mark.parametrize("bad", [math.inf, -math.inf, math.nan, 1e300])
def test_numbers_that_cannot_be_reckoned_with_are_refused(
    bad: float, shop: Shop, told: dict[str, Data]
) -> None:
    for which, change in (
        ("level", lambda data: data["path"][1].update(swing_deg=bad)),
        ("level", lambda data: data["path"][1]["at_mm"].__setitem__(0, bad)),
        ("room", lambda data: data["placed"][0].update(turn_deg=bad)),
        ("rails", lambda data: data["places"][0].update(number=bad)),
    ):
        with pytest.raises(Refused, match="not finite"):
            seen(shop, told[which], change)


def test_the_command_tells_and_ends_with_a_code(
    yard: Path, told: dict[str, Data], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "a.json"
    for change, code, said in (
        ({}, 0, "holds"),
        ({"room": "shed"}, 2, "no room shed"),
        ({"verdict": "fitz"}, 2, "fitz"),
    ):
        path.write_text(json.dumps(told["room"] | change), encoding="utf-8")
        assert run(["prove", str(yard), str(path)]) == code
        caught = capsys.readouterr()
        assert said in caught.out + caught.err
