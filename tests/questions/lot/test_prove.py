"""`prove` on loads: what was told holds, and every figure that was tampered with is seen."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from oracles.forged import Change, proved
from strategies.loads_shop import SHOP

from fitcheck.files.shop_file import read_shop
from fitcheck.questions.lot.again import again
from fitcheck.questions.lot.ask import lot
from fitcheck.questions.register import to_dict


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("loads")
    (folder / "shop.toml").write_text(SHOP, encoding="utf-8")
    shop = read_shop(folder / "shop.toml")
    (folder / "lots.json").write_text(json.dumps(to_dict(lot(shop, "T"))), encoding="utf-8")
    return folder


def test_what_was_told_holds(folder: Path) -> None:
    assert proved(folder, "lots.json") == 0


def test_what_the_same_code_works_out_again_says_so(folder: Path) -> None:
    shop = read_shop(folder / "shop.toml")
    checks = again(lot(shop, "T"), shop)
    assert checks and all("worked out again by the same code" in check.what for check in checks)


def push(pose: Any, axis: int, by: float) -> None:
    pose["matrix"][axis][3] += by


def fewer_bound(data: Any) -> None:
    data["at_least_lots"] += 1
    data["works"][0]["at_least"] += 1


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
    "a verdict": lambda d: d.update(verdict="fits"),
    "a verdict of what is left out": lambda d: d["left_out"][0].update(verdict="measure again"),
    "left out of other work": lambda d: d["left_out"][0].update(work="rinse"),
    "the gap": lambda d: d["lots"][0].update(gap_mm=d["lots"][0]["gap_mm"] + 1.0),
    "the air": lambda d: d["lots"][0].update(air_l=d["lots"][0]["air_l"] + 1.0),
    "lighter": lambda d: d["lots"][0].update(wet_kg=1.0),
    "heavier": lambda d: d["lots"][0].update(wet_kg=d["lots"][0]["wet_kg"] + 0.1),
    "fewer loads": lambda d: d["works"][0].update(lots=2),
    "another tank": lambda d: d["works"][0].update(tanks=["U"]),
    "a step that is not": lambda d: d["works"][0].update(steps=["etch"]),
    "of another part": lambda d: d["lots"][0]["parts"][0]["pose"].update(from_frame="part long"),
}


@pytest.mark.parametrize("name", LOTS)
def test_forged_loads_are_refused(folder: Path, name: str) -> None:
    assert proved(folder, "lots.json", LOTS[name]) == 1


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
