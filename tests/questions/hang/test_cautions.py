"""What is dangerous about a lift is told as values, when it is so and only then, and said in the shop's unit."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from questions.hang.test_ask import G, bay, made, tilted

from fitcheck.questions.hang.answer import HangAnswer
from fitcheck.questions.hang.ask import hang
from fitcheck.say.cautions import sentence, sentences
from fitcheck.things.part import Part

ALWAYS = ["rated gear", "rigging", "nobody under", "wet slings", "water test", "outranked"]


@pytest.fixture(scope="module")
def bar() -> Part:
    """Return a bar of 1200 x 100 x 100 mm, 32.4 kg, picks on top at its quarter points."""
    return made("block", [[300.0, 50.0, 100.0], [900.0, 50.0, 100.0]], size=(1200.0, 100.0, 100.0))


def kinds(answer: HangAnswer) -> list[str]:
    return [each.kind for each in answer.cautions]


def test_a_plain_lift_has_those_of_every_lift(bar: Part) -> None:
    answer = hang(bar, bay())
    assert kinds(answer) == ALWAYS
    gear = answer.cautions[0]
    assert gear.number("hook_n") == pytest.approx(32.4 * G)
    assert gear.number("leg_n") == max(leg.tension_n for leg in answer.legs) == answer.most_pull_n
    low = hang(bar, bay(rim=900.0))
    assert kinds(low) == [*ALWAYS[:-2], "low rim", *ALWAYS[-2:]]


def test_the_largest_pull_is_that_of_the_worst_state(bar: Part) -> None:
    answer = hang(bar, bay())
    first, second = answer.legs
    assert replace(answer, legs=(first, replace(second, breakout_n=900.0))).most_pull_n == 900.0
    assert replace(answer, legs=(first, replace(second, under_n=901.0))).most_pull_n == 901.0
    assert replace(answer, legs=(first, replace(second, tension_n=902.0))).most_pull_n == 902.0


def test_a_lift_has_its_own_beside_them(bar: Part) -> None:
    ends = [[0.0, 200.0, 300.0], [1000.0, 200.0, 300.0]]
    through = hang(made("block", ends, size=(1000.0, 400.0, 500.0)), bay(), rise_mm=500.0)
    assert "legs through it" in kinds(through)
    one = replace(through.cautions[2], values=(("legs", "1"), ("count", 1)))
    assert sentence(one, "mm").startswith("Leg 1 runs into the part")
    easily = hang(replace(bar, centre_mm=np.array([600.0, 50.0, 97.0])), bay(), rise_mm=500.0)
    assert (
        next(each for each in easily.cautions if each.kind == "rolls easily").number("below_mm")
        == easily.below_mm
    )
    tube = hang(made("pipe", diameter=200.0, length=1200.0, wall=2.0, ends="closed"), bay(gravity=1.02))
    assert {"picks proposed", "floats in slings"} <= set(kinds(tube))
    floats = next(each for each in tube.cautions if each.kind == "floats in slings")
    assert floats.number("uplift_n") == -tube.under.hook_n
    pan = hang(made("pan", size=(600.0, 600.0, 60.0), wall=1.6), bay(), legs=3)
    carries = next(each for each in pan.cautions if each.kind == "carries liquid")
    assert carries.number("carry_out_l") == pan.held.carry_out_l
    long = made("block", [[2000.0, 50.0, 100.0]], size=(4000.0, 100.0, 100.0))
    assert "one sling" in kinds(hang(long, bay(hook=9000.0)))


def test_a_turn_is_told_of_each_state() -> None:
    tray = made("section", size=(1000.0, 400.0, 100.0), wall=2.0, open="+z", baffles=0)
    up = hang(tray, bay(), tilted(5.0), legs=3)
    turns = [each for each in up.cautions if each.kind == "turns wet"]
    states = {
        "under the liquid": up.under.turn_rad,
        "with the liquid that it carries out": up.breakout.turn_rad,
    }
    assert {each.word("state"): each.number("turn_rad") for each in turns}.items() <= states.items()
    assert turns


def test_they_are_said_in_the_unit_that_is_shown(bar: Part) -> None:
    answer = hang(bar, bay())
    assert sentence(answer.cautions[0], "mm").startswith(
        "Use gear that is marked for the load: at least 317.7 N on the hook"
    )
    assert "lbf" in sentence(answer.cautions[0], "ft-in")
    assert len(sentences(answer.cautions, "mm")) == len(answer.cautions)
