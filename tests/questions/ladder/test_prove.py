"""`prove` on a ladder: what was told holds, and every figure that was tampered with is seen."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from oracles.forged import Change, proved
from strategies.loads_shop import SHOP

from fitcheck.files.shop_file import read_shop
from fitcheck.questions.ladder.again import again
from fitcheck.questions.ladder.ask import ladder
from fitcheck.questions.register import to_dict


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("ladder")
    (folder / "shop.toml").write_text(SHOP, encoding="utf-8")
    shop = read_shop(folder / "shop.toml")
    (folder / "steps.json").write_text(json.dumps(to_dict(ladder(shop, "T"))), encoding="utf-8")
    (folder / "mixed.json").write_text(json.dumps(to_dict(ladder(shop, "T", 20.0))), encoding="utf-8")
    return folder


@pytest.mark.parametrize("name", ["steps.json", "mixed.json"])
def test_what_was_told_holds(folder: Path, name: str) -> None:
    assert proved(folder, name) == 0


def test_what_the_same_code_works_out_again_says_so(folder: Path) -> None:
    shop = read_shop(folder / "shop.toml")
    checks = again(ladder(shop, "T", few=1), shop)
    assert len(checks) == 4 and all(check.holds for check in checks)
    assert all("worked out again by the same code" in check.what for check in checks)


def higher_bound(data: Any) -> None:
    data["bound_l"] *= 1.02
    data["baths"][0]["bound_l"] *= 1.02


STEPS: dict[str, Change] = {
    "a bound too high": higher_bound,
    "mixed less": lambda d: d["baths"][0].update(mix_at_most_l=d["baths"][0]["mix_at_most_l"] * 0.9),
    "added less": lambda d: d["steps"][-1].update(add_l=d["steps"][-1]["add_l"] - 1.0),
    "a block more": lambda d: d["steps"][0]["blocks"].append(
        {"size_mm": [100.0, 100.0, 200.0], "at_mm": d["steps"][0]["blocks"][0]["at_mm"], "mass_kg": 1.0}
    ),
    "a block less": lambda d: d["steps"][0]["blocks"].pop(),
    "a block at the part": lambda d: d["steps"][0]["blocks"][0].update(at_mm=[30.0, 30.0, 0.0]),
    "a verdict": lambda d: d.update(verdict="fits"),
    "mixed less in all": lambda d: d.update(mix_at_most_l=d["mix_at_most_l"] - 0.01),
    "a sum too high": lambda d: d.update(bound_l=d["bound_l"] + 0.01),
    "saved more in all": lambda d: d.update(without_blocks_l=d["without_blocks_l"] + 1.0),
    "saved more": lambda d: d["steps"][0].update(without_l=d["steps"][0]["without_l"] + 1.0),
    "without blocks": lambda d: (
        d["baths"][0].update(without_blocks_l=d["without_blocks_l"] + 1.0),
        d.update(without_blocks_l=d["without_blocks_l"] + 1.0),
    ),
    "weaker straps": lambda d: d["steps"][0].update(hold_down_n=0.5 * d["steps"][0]["hold_down_n"]),
    "a lower level": lambda d: d["steps"][0].update(level_mm=d["steps"][0]["level_mm"] - 10.0),
    "another tank": lambda d: d["baths"][0].update(tanks=["U"]),
    "other tanks": lambda d: d["baths"][0].update(may_use=["T", "U"]),
    "for other work": lambda d: d["steps"][0].update(work="rinse"),
    "what can be done": lambda d: d["steps"][0].update(can_do=True),
    "what does not fit is not listed": lambda d: d["left_out"].pop(),
}


@pytest.mark.parametrize("name", STEPS)
def test_a_forged_ladder_is_refused(folder: Path, name: str) -> None:
    assert proved(folder, "steps.json", STEPS[name]) == 1


def test_what_can_be_done_follows_from_what_is_mixed(folder: Path) -> None:
    def turned(data: Any) -> None:
        data["steps"][0]["can_do"] = not data["steps"][0]["can_do"]

    assert proved(folder, "mixed.json", turned) == 1
    assert proved(folder, "mixed.json", lambda d: d["steps"][0].pop("can_do")) == 1


@pytest.mark.parametrize(
    "change",
    [
        lambda d: d["steps"][0].pop("add_l"),
        lambda d: d["steps"][0]["lot"].update(tank="none"),
        lambda d: d["steps"][0]["lot"]["parts"][0].update(part="none"),
        lambda d: d["baths"][0].update(work="none"),
    ],
)
def test_what_is_no_ladder_of_this_shop_is_one_fault(
    folder: Path, change: Change, capsys: pytest.CaptureFixture[str]
) -> None:
    assert proved(folder, "steps.json", change) == 2
    assert len(capsys.readouterr().err.strip().splitlines()) == 1
