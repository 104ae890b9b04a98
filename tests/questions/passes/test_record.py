"""Answers about passes as JSON: the same when read back, and whatever is no such answer is refused by its key."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from oracles.json_paths import changed, keys_of

import fitcheck as fc
from fitcheck.questions.passes.answer import PassAnswer, Window
from fitcheck.questions.passes.record import from_dict as read_record
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused

# Of the demo yard: part, tank and the chord that it is sprung to, for each way to answer.
ASKED: dict[str, tuple[str, str, float | None]] = {
    "one": ("P05", "T1", None),
    "two": ("P10", "T1", None),
    "many": ("P11", "T4", None),
    "never": ("P14", "T4", None),
    "none found": ("P04", "T1", None),
    "measure again": ("P06", "T4", None),
    "sprung": ("P17", "T2", None),
    "keeps a set": ("P17", "T2", 254.0),
}
# Keys that have no value in some answers.
MAY_BE_ABSENT = {"overlap_mm", "band_mm", "never", "sprung", "shape", "pull_n", "cautions", "on_end"}


@pytest.fixture(scope="module")
def shop() -> Shop:
    return fc.demo_shop()


@pytest.fixture(scope="module")
def told(shop: Shop) -> dict[str, Any]:
    """Return each case's answer as JSON, as it is in a file."""
    asked = {
        name: fc.passes(shop.parts[part], shop.tanks[tank], chord_mm=chord)
        for name, (part, tank, chord) in ASKED.items()
    }
    return {name: json.loads(json.dumps(to_dict(answer, shop.show))) for name, answer in asked.items()}


def test_the_cases_are_all_verdicts(told: dict[str, Any]) -> None:
    assert {row["verdict"] for row in told.values()} == {"fits", "does not fit", "measure again", "not found"}
    assert "never" in told["never"]
    assert told["none found"]["passes"] == []
    assert not told["sprung"]["sprung"]["permanent_set"]
    assert told["keeps a set"]["sprung"]["permanent_set"]
    assert [len(told[name]["passes"]) for name in ("one", "two", "many")] == [1, 2, 4]


@pytest.mark.parametrize("name", ASKED)
def test_an_answer_is_read_back_whole(told: dict[str, Any], shop: Shop, name: str) -> None:
    again = to_dict(from_dict(told[name], shop), shop.show)
    assert again == told[name]
    assert list(again) == list(told[name])
    assert next(iter(again.items())) == ("kind", "pass")


def test_no_digit_of_a_window_is_lost(told: dict[str, Any], shop: Shop) -> None:
    """Told in degrees and read in radians, every tilt is told the same again."""
    answer = from_dict(told["two"], shop)
    assert isinstance(answer, PassAnswer)
    tilts = np.random.default_rng(5).uniform(0.0, math.pi / 2.0, (300, 2)).tolist()
    windows = tuple(Window("upside down", low, high) for low, high in tilts)
    data = to_dict(replace(answer, windows=windows))
    assert to_dict(from_dict(data, shop)) == data


@pytest.mark.parametrize("value", [..., None, math.inf, [7.0]], ids=["missing", "null", "infinite", "a list"])
@pytest.mark.parametrize("name", ASKED)
def test_what_is_no_answer_is_refused_by_its_key(
    told: dict[str, Any], shop: Shop, name: str, value: object
) -> None:
    for path in keys_of(told[name]):
        if path[-1] in {"kind", "cautions"} or (value is ... and path[-1] in MAY_BE_ABSENT):
            continue
        with pytest.raises(Refused) as refused:
            read_record(changed(told[name], path, value), shop)
        said = f"{refused.value.problem} {refused.value.cure}"
        assert any(str(key) in said for key in path[-2:]), (path, said)


def test_a_set_that_the_strains_deny_is_refused(told: dict[str, Any], shop: Shop) -> None:
    with pytest.raises(Refused, match="permanent_set"):
        from_dict(changed(told["sprung"], ("sprung", "permanent_set"), True), shop)
