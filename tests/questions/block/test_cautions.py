"""What is dangerous about blocks reaches whoever asks, with the tank's own cautions after it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from strategies.solids import box, part_of, tank_of

from fitcheck.questions.block.ask import block
from fitcheck.things.stock import Stock
from fitcheck.things.tank import Rim

ALL = ["blocks float", "ask an engineer", "low rim", "water test", "outranked"]


@pytest.mark.parametrize(
    ("rim_mm", "kinds"), [(None, ALL[:2] + ALL[3:]), (900.0, ALL), (915.0, ALL[:2] + ALL[3:])]
)
def test_cautions_in_their_order(rim_mm: float | None, kinds: list[str]) -> None:
    # 36 in are 914.4 mm: a rim as high needs no guard.
    tank = replace(tank_of(box((900.0, 400.0, 600.0))), rim=Rim(rim_mm))
    answer = block(tank, [part_of(box((500.0, 100.0, 300.0)))])
    assert answer.designs
    assert [caution.kind for caution in answer.cautions] == kinds
    said = answer.to_dict()["cautions"]
    assert said[0].startswith("An empty block is a float")
    assert said[1].startswith("Thrust, bending and floor figures are to ask an engineer with")
    assert all(sentence in " ".join(answer.text().split()) for sentence in said)


def test_no_design_has_them_too() -> None:
    tank = tank_of(box((900.0, 400.0, 600.0)))
    small = replace(Stock(), sheet_mm=(70.0, 70.0))
    answer = block(tank, [part_of(box((500.0, 100.0, 300.0)))], small)
    assert not answer.designs
    assert [caution.kind for caution in answer.cautions] == [ALL[0], ALL[1], *ALL[3:]]
