"""`prove` on loads and ladders: what was told holds, and every figure that was tampered with is seen."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from fitcheck.cli.main import run
from fitcheck.files.shop_file import read_shop
from fitcheck.questions.ladder.ask import ladder
from fitcheck.questions.ladder.record import ladder_json
from fitcheck.questions.lot.ask import lot
from fitcheck.questions.lot.record import lot_json

SHOP = """
[rules]
side_clearance = "25 mm"
bottom_clearance = "50 mm"
cover = "50 mm"
freeboard = "100 mm"
part_gap = "25 mm"
[liquids.bath]
specific_gravity = 1.0
[tanks.T]
liquid = "bath"
inside = ["2 m", "500 mm", "600 mm"]
hoist = "70 kg"
[parts.case]
shape = "block"
size = ["600 mm", "200 mm", "100 mm"]
metal = "aluminium"
tilt_at_most = "0 deg"
roll_at_most = "0 deg"
swing_at_most = "0 deg"
count = 2
[parts.long]
shape = "block"
size = ["3 m", "20 mm", "20 mm"]
metal = "aluminium"
"""
Change = Callable[[Any], object]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("loads")
    (folder / "shop.toml").write_text(SHOP, encoding="utf-8")
    shop = read_shop(folder / "shop.toml")
    (folder / "lots.json").write_text(json.dumps(lot_json(lot(shop, "T"))), encoding="utf-8")
    (folder / "steps.json").write_text(json.dumps(ladder_json(ladder(shop, "T"))), encoding="utf-8")
    return folder


def proved(folder: Path, name: str, change: Change | None = None) -> int:
    data = json.loads((folder / name).read_text(encoding="utf-8"))
    if change is not None:
        before = copy.deepcopy(data)
        change(data)
        assert data != before
    (folder / "told.json").write_text(json.dumps(data), encoding="utf-8")
    return run(["prove", str(folder / "shop.toml"), str(folder / "told.json")])


@pytest.mark.parametrize("name", ["lots.json", "steps.json"])
def test_what_was_told_holds(folder: Path, name: str) -> None:
    assert proved(folder, name) == 0


def push(pose: Any, axis: int, by: float) -> None:
    pose["matrix"][axis][3] += by


def fewer_bound(data: Any) -> None:
    data["at_least_lots"] += 1
    data["works"][0]["at_least"] += 1


def higher_bound(data: Any) -> None:
    data["bound_l"] *= 1.02
    data["baths"][0]["bound_l"] *= 1.02


def listed(data: Any) -> None:
    """Say that the case does not fit at all."""
    data["lots"] = []
    data["left_out"].append({"part": "case", "count": 2, "work": "T", "verdict": "does not fit", "why": "so"})


LOTS: dict[str, Change] = {
    "into another": lambda d: push(d["lots"][0]["parts"][1]["pose"], 0, -400.0),
    "through a wall": lambda d: push(d["lots"][0]["parts"][0]["pose"], 1, -30.0),
    "a part less": lambda d: d["lots"][0]["parts"].pop(),
    "one twice": lambda d: d["lots"][0]["parts"][1].update(number=1),
    "too little liquid": lambda d: d["lots"][0].update(level_mm=d["lots"][0]["level_mm"] - 10.0),
    "litres": lambda d: d["lots"][0].update(liquid_l=1.0),
    "rise": lambda d: d["lots"][0].update(rise_mm=1.0),
    "a bound too high": fewer_bound,
    "a sum too high": lambda d: d.update(at_least_lots=2),
    "what fits is listed": listed,
    "what does not fit is not listed": lambda d: d["left_out"].pop(),
}
STEPS: dict[str, Change] = {
    "a bound too high": higher_bound,
    "mixed less": lambda d: d["baths"][0].update(mix_at_most_l=d["baths"][0]["mix_at_most_l"] * 0.9),
    "added less": lambda d: d["steps"][-1].update(add_l=d["steps"][-1]["add_l"] - 1.0),
    "a block more": lambda d: d["steps"][0]["blocks"].append(
        {"size_mm": [100.0, 100.0, 200.0], "at_mm": d["steps"][0]["blocks"][0]["at_mm"], "mass_kg": 1.0}
    ),
    "a block less": lambda d: d["steps"][0]["blocks"].pop(),
    "a block at the part": lambda d: d["steps"][0]["blocks"][0].update(at_mm=[30.0, 30.0, 0.0]),
}


@pytest.mark.parametrize("name", LOTS)
def test_forged_loads_are_refused(folder: Path, name: str) -> None:
    assert proved(folder, "lots.json", LOTS[name]) == 1


@pytest.mark.parametrize("name", STEPS)
def test_a_forged_ladder_is_refused(folder: Path, name: str) -> None:
    assert proved(folder, "steps.json", STEPS[name]) == 1


@pytest.mark.parametrize(
    "change",
    [
        lambda d: d["lots"][0].pop("level_mm"),
        lambda d: d["lots"][0].update(tank="none"),
        lambda d: d["lots"][0]["parts"][0].update(part="none"),
        lambda d: d["lots"][0].update(parts=[]),
        lambda d: d["works"][0].update(name="none"),
    ],
)
def test_what_is_no_answer_of_this_shop_is_one_fault(
    folder: Path, change: Change, capsys: pytest.CaptureFixture[str]
) -> None:
    assert proved(folder, "lots.json", change) == 2
    assert len(capsys.readouterr().err.strip().splitlines()) == 1
