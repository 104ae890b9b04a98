"""What loads warn of: values that come with the answer, in the order in which they are read, as sentences."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from strategies.solids import box, part_of, tank_of

import fitcheck as fc
from fitcheck.questions.lot.answer import Lot, LotPart
from fitcheck.questions.lot.ask import lot
from fitcheck.questions.lot.cautions import lift_cautions
from fitcheck.say.cautions import sentence
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.tank import Rim

POSE = Pose("tank T", "part P", np.eye(3), np.zeros(3))


def load_of(*names: str) -> Lot:
    parts = tuple(LotPart(name, 1, POSE) for name in names)
    return Lot("T", "T", parts, 100.0, 1.0, 90.0, 0.0, 9.0)


def shop_of(rim: Rim, *parts: Part) -> fc.Shop:
    tank = replace(tank_of(box((1000.0, 300.0, 400.0))), name="T", rim=rim)
    return fc.Shop.of(tank, *parts)


def part(name: str) -> Part:
    return replace(part_of(box((200.0, 50.0, 50.0))), name=name)


def test_they_come_with_the_answer_what_matters_first_in_front() -> None:
    shop = shop_of(Rim(500.0), part("bar"))
    answer = lot(shop)
    assert [each.kind for each in answer.cautions] == [
        "side by side", "slung one by one", "hook height unchecked", "no hoist given", "low rim",
        "water test", "outranked",
    ]  # fmt: skip
    assert answer.asked is shop
    told = answer.text()
    assert "hoist is not given for T: what a load weighs was not held to any limit." in " ".join(told.split())
    assert answer.to_dict()["cautions"] == [sentence(each, shop.show) for each in answer.cautions]
    high = lot(
        shop_of(
            Rim(1000.0, 3000.0, hoist_kg=500.0),
            replace(part("bar"), picks_mm=np.array([[100.0, 25.0, 50.0]])),
        )
    )
    assert [each.kind for each in high.cautions] == [
        "side by side",
        "slung one by one",
        "water test",
        "outranked",
    ]


def test_what_was_not_checked_of_hooks_is_named_and_many_are_counted() -> None:
    names = [f"P{k}" for k in range(10)]
    (said,) = lift_cautions([load_of(*names)], shop_of(Rim(), *map(part, names)))
    assert sentence(said, "mm") == (
        "picks are not given for P0, P1, P2, P3, P4, P5, P6, P7 and 2 more; rim_height or hook_height is not "
        "given for T: whether the hook goes high enough there was not looked at."
    )
    off = replace(part("P0"), picks_mm=np.array([[100.0, 25.0, 250.0], [150.0, 25.0, 250.0]]))
    (said,) = lift_cautions([load_of("P0")], shop_of(Rim(900.0, 3000.0), off))
    assert sentence(said, "mm").startswith("P0: ")
    assert sentence(said, "mm").endswith(": whether the hook goes high enough there was not looked at.")
    assert lift_cautions([], shop_of(Rim())) == ()
