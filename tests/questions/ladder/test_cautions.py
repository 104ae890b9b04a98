"""What a ladder warns of: floating blocks first, what the bound holds for, and when few blocks would do."""

from __future__ import annotations

from dataclasses import replace

from strategies.solids import box, part_of, tank_of

import fitcheck as fc
from fitcheck.questions.ladder.answer import LadderAnswer
from fitcheck.questions.ladder.ask import ladder
from fitcheck.questions.ladder.cautions import cautions_of
from fitcheck.say.cautions import sentence
from fitcheck.things.stock import Piece

TANK = replace(tank_of(box((1500.0, 400.0, 400.0))), name="T")
SHOP = fc.Shop.of(TANK, replace(part_of(box((300.0, 60.0, 60.0))), name="bar"))
LAST = [
    "losses not counted",
    "side by side",
    "slung one by one",
    "hook height unchecked",
    "water test",
    "outranked",
]


def kinds(answer: LadderAnswer) -> list[str]:
    return [each.kind for each in answer.cautions]


def test_blocks_float_and_that_is_said_first() -> None:
    answer = ladder(SHOP)
    assert any(step.blocks for step in answer.steps)
    assert kinds(answer) == ["blocks float", "bound of boxes", *LAST]
    assert answer.asked is SHOP
    few = ladder(SHOP, few=1)
    assert kinds(few) == ["blocks float", "bound of boxes", "few chosen one by one", *LAST]
    none = ladder(SHOP, few=0)
    assert kinds(none) == ["bound of boxes", "few chosen one by one", *LAST]
    assert none.to_dict()["cautions"] == [sentence(each, SHOP.show) for each in none.cautions]


def test_many_different_blocks_are_counted() -> None:
    answer = ladder(SHOP)
    for count in (4, 5):
        pieces = tuple(Piece((100.0 + k, 90.0, 80.0), (0.0, 0.0, 0.0), 5.0) for k in range(count))
        said = cautions_of(replace(answer, steps=(replace(answer.steps[0], blocks=pieces),)), SHOP)
        many = [sentence(each, "mm") for each in said if each.kind == "many different blocks"]
        assert [words.split(" in all")[0] for words in many] == (
            [] if count == 4 else ["Each load has blocks made for it, 5 different ones"]
        )
