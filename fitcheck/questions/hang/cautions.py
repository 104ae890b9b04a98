"""What is dangerous about a lift: gear, picks, turns when it is wet, uplift, liquid carried, and the tank."""

from __future__ import annotations

from fitcheck.questions.hang.answer import HangAnswer
from fitcheck.things.caution import Caution, each_once
from fitcheck.things.part import Part
from fitcheck.things.tank import Tank
from fitcheck.things.tank_cautions import BATHFUL_L, tank_cautions
from fitcheck.words.units import RAD_PER_DEGREE, read_length

# Washington, WAC 296-24-29405: a level load longer than this hangs in two slings.
ONE_SLING = "12 ft"
# Hung by eye a part is a degree off anyhow; a turn of more is seen (common practice).
SEEN_RAD = 1.0 * RAD_PER_DEGREE
# A part that hangs with less of its half width under the picks is easily rolled (common practice).
STEADY = 0.1


def cautions_of(answer: HangAnswer, part: Part, tank: Tank) -> tuple[Caution, ...]:
    """Return the cautions of a lift and its tank."""
    most_n = max(answer.dry_n, answer.breakout.hook_n)
    return each_once(
        Caution.of("rated gear", hook_n=most_n, leg_n=answer.most_pull_n),
        Caution("rigging"),
        *_hangs_badly(answer, part),
        *_turns(answer),
        *_wet(answer),
        *_one_sling(answer, part),
        Caution("nobody under"),
        Caution("wet slings"),
        *tank_cautions(tank),
    )


def _hangs_badly(answer: HangAnswer, part: Part) -> tuple[Caution, ...]:
    found = []
    if answer.proposed:
        found.append(Caution("picks proposed"))
    bent = [str(k + 1) for k, leg in enumerate(answer.legs) if leg.bent]
    if bent:
        found.append(Caution.of("legs through it", legs=" and ".join(bent), count=len(bent)))
    if len(answer.legs) == 2 and 0.0 < answer.below_mm < STEADY * part.size_mm[1] / 2.0:
        found.append(Caution.of("rolls easily", below_mm=answer.below_mm))
    return tuple(found)


def _turns(answer: HangAnswer) -> tuple[Caution, ...]:
    states = (("under the liquid", answer.under), ("with the liquid that it carries out", answer.breakout))
    found = [
        Caution.of("turns wet", turn_rad=swung.turn_rad, state=state)
        for state, swung in states
        if swung.turn_rad is not None and swung.turn_rad > SEEN_RAD
    ]
    slack = any(min(leg.under_n or 0.0, leg.breakout_n) < 0.0 for leg in answer.legs)
    if slack and "slack leg" not in answer.faults:
        found.append(Caution("leg goes slack"))
    if answer.under.hook_n <= 0.0:
        found.append(Caution.of("floats in slings", uplift_n=-answer.under.hook_n))
    return tuple(found)


def _wet(answer: HangAnswer) -> tuple[Caution, ...]:
    carry_out_l = answer.held.carry_out_l
    return (Caution.of("carries liquid", carry_out_l=carry_out_l),) if carry_out_l > BATHFUL_L else ()


def _one_sling(answer: HangAnswer, part: Part) -> tuple[Caution, ...]:
    if len(answer.legs) > 1 or max(part.size_mm) <= read_length(ONE_SLING):
        return ()
    return (Caution.of("one sling", longest=ONE_SLING),)
