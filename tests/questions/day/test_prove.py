"""A day is proved from the shop and its times alone, and forged days are refused."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from oracles.forged import Change, proved
from strategies.day_shop import DAY, SHOP, STEPS

import fitcheck as fc
from fitcheck.questions.day.again import again
from fitcheck.questions.day.answer import DayAnswer, DayLoad
from fitcheck.questions.day.ask import day
from fitcheck.questions.day.prove import prove, times_hold
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.things.proved import Check
from fitcheck.words.errors import Refused


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("day")
    (folder / "shop.toml").write_text(SHOP + STEPS + DAY, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def shop(folder: Path) -> fc.Shop:
    return fc.read_shop(folder / "shop.toml")


@pytest.fixture(scope="module")
def told(shop: fc.Shop) -> DayAnswer:
    return day(shop)


def checked(answer: DayAnswer, shop: fc.Shop) -> tuple[Check, ...]:
    """Return every check of a day, those worked out again by the same code with them."""
    return (*prove(answer, shop).checks, *again(answer, shop))


def test_what_is_told_holds(shop: fc.Shop, told: DayAnswer) -> None:
    read_back = from_dict(json.loads(json.dumps(to_dict(told))), shop)
    assert isinstance(read_back, DayAnswer)
    checks = checked(read_back, shop)
    assert all(check.holds for check in checks), [check.what for check in checks if not check.holds]


def _moved(load: DayLoad, k: int, by_s: int) -> DayLoad:
    visits = list(load.visits)
    one = visits[k]
    visits[k] = replace(one, enter_s=one.enter_s + by_s, out_s=one.out_s + by_s, free_s=one.free_s + by_s)
    return replace(load, visits=tuple(visits))


def _forged(told: DayAnswer) -> dict[str, DayAnswer]:
    first, second, *rest = told.loads
    early = [_moved(first, 0, -30), _moved(first, 1, -30), _moved(first, 1, 600)]
    short = replace(first.visits[0], out_s=first.visits[0].out_s - 1)
    places = replace(first.visits[1], places=("etch",))
    rail = replace(first.visits[2], places=("line rail 9",))

    def with_first(load: DayLoad) -> DayAnswer:
        return replace(told, loads=(load, second, *rest))

    return {
        "there is time to carry": with_first(early[0]),
        "time to carry": with_first(early[1]),
        "none waits longer": with_first(early[2]),
        "stays and drips": with_first(replace(first, visits=(short, *first.visits[1:]))),
        "a way to hang": with_first(replace(first, visits=(first.visits[0], places, first.visits[2]))),
        "racks": with_first(replace(first, visits=(*first.visits[:2], rail))),
        "at once has its places": replace(told, loads=(first, replace(second, visits=(*second.visits[:2], first.visits[2])), *rest)),
        "no tank has two": replace(told, loads=(first, replace(second, visits=first.visits), *rest)),
        "people": replace(told, loads=(first, replace(second, visits=first.visits), *rest)),
        "every piece": replace(told, loads=(first, *rest)),
        "the same in all": with_first(replace(first, lots=(first.lots[0], second.lots[1]))),
        "steps in their order": with_first(replace(first, visits=(*first.visits[1:], first.visits[0]))),
        "not done sooner": replace(told, at_least_s=told.at_least_s + 1),
        "what is listed": replace(told, left_out=(replace(told.left_out[0], work="rinse"), *told.left_out[1:], replace(told.left_out[0], part="plate", count=6))),
        "that of the shop": replace(told, crew=replace(told.crew, people=4)),
        "nearer than part_gap": with_first(replace(first, lots=(replace(first.lots[0], parts=tuple(replace(row, pose=first.lots[0].parts[0].pose) for row in first.lots[0].parts)), first.lots[1]))),
    }  # fmt: skip


def test_forgeries_are_refused(shop: fc.Shop, told: DayAnswer) -> None:
    for what, forged in _forged(told).items():
        wrong = [c.what for c in times_hold(shop.steps, told.crew, forged.loads) if not c.holds]
        if not any(what in each for each in wrong):
            wrong = [c.what for c in checked(forged, shop) if not c.holds]
        assert any(what in each for each in wrong), (what, wrong)
    assert not prove(replace(told, finish_s=told.finish_s - 1), shop).checks[1].holds
    assert not prove(replace(told, verdict="fits"), shop).checks[1].holds
    with pytest.raises(Refused, match="there is no part"):
        prove(replace(told, loads=(replace(told.loads[0], parts=(("mast", 1),)),)), shop)


def _rail(data: Any) -> dict[str, Any]:
    visit: dict[str, Any] = data["loads"][0]["visits"][2]
    return visit


FORGED: dict[str, Change] = {
    "an earlier end": lambda d: d.update(finish_s=d["finish_s"] - 60),
    "a verdict": lambda d: d.update(verdict="fits"),
    "a bound too high": lambda d: d.update(at_least_s=d["at_least_s"] + 1, finish_s=d["finish_s"] + 1),
    "less of a rail": lambda d: _rail(d).update(taken_um=[1000]),
    "more of a rail than there is": lambda d: _rail(d).update(taken_um=[10_000_000]),
    "nothing of a rail": lambda d: _rail(d).pop("taken_um"),
    "two rails": lambda d: _rail(d).update(places=["line rail 1", "line rail 2"]),
    "a lighter load": lambda d: d["loads"][0]["lots"][0].update(wet_kg=0.1),
    "what does not fit is not listed": lambda d: d["left_out"].pop(),
    "none is listed": lambda d: d.update(left_out=[], verdict="fits"),
    "a longer day": lambda d: d["crew"].update(hours_s=99999.0),
}


def test_the_command_proves_a_day_and_refuses_forged_ones(folder: Path, told: DayAnswer) -> None:
    (folder / "day.json").write_text(json.dumps(to_dict(told)), encoding="utf-8")
    assert proved(folder, "day.json") == 0
    for name, change in FORGED.items():
        assert proved(folder, "day.json", change) == 1, name


def test_what_the_same_code_works_out_again_says_so(shop: fc.Shop, told: DayAnswer) -> None:
    checks = again(told, shop)
    assert len(checks) == 3
    assert all("worked out again by the same code" in check.what for check in checks)
