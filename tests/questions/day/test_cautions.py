"""What a day warns of: that it is walked through dry first, wet parts that wait, and what is not asked."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from strategies.day_shop import DAY, SHOP, STEPS

import fitcheck as fc
from fitcheck.questions.day.ask import day
from fitcheck.questions.day.cautions import cautions_of
from fitcheck.say.cautions import sentence


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> fc.Shop:
    path: Path = tmp_path_factory.mktemp("day") / "shop.toml"
    path.write_text(SHOP + STEPS + DAY, encoding="utf-8")
    return fc.read_shop(path)


def test_they_come_with_the_answer_and_follow_the_steps(shop: fc.Shop) -> None:
    answer = day(shop)
    first, strict, last = "walk it through", "strict dwell", [
        "side by side", "slung one by one", "hook height unchecked", "levels differ", "bath not asked",
        "water test", "outranked",
    ]  # fmt: skip
    assert [each.kind for each in answer.cautions] == [first, strict, "no wait given", "hooks slide", *last]
    assert answer.asked is shop
    waits = [sentence(each, "mm") for each in answer.cautions if each.kind == "no wait given"]
    assert waits == [
        "wait_at_most is not given for rinse: a wet part may dry there before its next step. Take it from the "
        "bath maker's sheet."
    ]
    # Only in tanks, each with its wait told: nothing slides, and nothing is unsaid.
    tanks = tuple(replace(step, wait_at_most_s=600.0) for step in shop.steps if step.rack is None)
    kinds = [each.kind for each in cautions_of(answer, replace(shop, steps=tanks))]
    assert kinds == [first, strict, *last]
