"""All that is known of one lift, put together for its page: cautions, slings, holes that would help."""

from __future__ import annotations

from dataclasses import replace

from fitcheck.questions.dip.answer import Fits, MeasureAgain
from fitcheck.questions.dip.free_space import tightest_sides
from fitcheck.questions.dip.page_lifted import Lifted
from fitcheck.questions.hang.answer import HangAnswer
from fitcheck.questions.hang.ask import hang
from fitcheck.questions.pocket.ask import pocket
from fitcheck.say.held_words import NOTHING_L
from fitcheck.things.part import Part
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused

_HOLES_TOLD = 2


def lifted(part: Part, tank: Tank, answer: Fits | MeasureAgain) -> Lifted:
    """Return a lift as `dip` answers it, in its slings; where it holds something, holes are still to find."""
    slung: HangAnswer | None = None
    why = ""
    try:
        slung = hang(part, tank, answer.advice.pose.angles)
    except Refused as refused:
        why = f"{refused.problem}: {refused.cure}"
    held = answer.advice.held
    holes = None if max(held.air_l, held.carry_out_l) >= NOTHING_L else ()
    tightest = tightest_sides(part, tank, answer.advice.pose.angles)
    return Lifted(part, tank, answer, slung, why, tightest, holes)


def with_holes(lift: Lifted) -> Lifted:
    """Return a lift with the holes that would help most, where it holds air or liquid."""
    if lift.holes is not None:
        return lift
    return replace(lift, holes=pocket(lift.part, lift.answer.advice.pose.angles).holes[:_HOLES_TOLD])
