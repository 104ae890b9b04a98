"""The cautions that go with every answer that puts a part on a hook, each with where it comes from."""

from __future__ import annotations

from dataclasses import replace

from fitcheck.questions.hang.answer import HangAnswer
from fitcheck.say.legacy_cautions import BATHFUL_L, tank_cautions
from fitcheck.things.part import Part
from fitcheck.things.stock import HOLD_DOWN
from fitcheck.things.tank import Tank
from fitcheck.words.units import (
    RAD_PER_DEGREE,
    Show,
    read_length,
    show_angle,
    show_force,
    show_length,
    show_volume,
)

# Washington, WAC 296-24-29405: a level load longer than this hangs in two slings.
ONE_SLING = "12 ft"
# Hung by eye a part is a degree off anyhow; a turn of more is seen (common practice).
SEEN_RAD = 1.0 * RAD_PER_DEGREE
# A part that hangs with less of its half width under the picks is easily rolled (common practice).
STEADY = 0.1
RIGGING = (
    "What the part's lugs, holes and walls can carry is not known here. The gear's own marks, its maker's "
    "tables, ASME B30.9, 29 CFR 1910.184 and a competent person outrank these figures."
)
NOBODY_UNDER = (
    "Nobody under the load, or between it and the tank. Lift it a hand's breadth, see that it hangs as told, "
    "then go on; guide it by tag lines (common practice)."
)
WET_SLINGS = (
    "No nylon slings near acid, no polyester or polypropylene ones near caustic, no aluminium fittings near "
    "caustic (29 CFR 1926.251(e), quoted)."
)


def with_hang_cautions(answer: HangAnswer, part: Part, tank: Tank, show: Show) -> HangAnswer:
    """Return the answer with the cautions of its lift and its tank."""
    ours = (
        _rated(answer, show),
        RIGGING,
        *_hangs_badly(answer, part, show),
        *_turns(answer, show),
        *_wet(answer, show),
        *_one_sling(answer, part),
        NOBODY_UNDER,
        WET_SLINGS,
        *tank_cautions(tank, show),
    )
    return replace(answer, cautions=tuple(dict.fromkeys((*answer.cautions, *ours))))


def most_pull_n(answer: HangAnswer) -> float:
    """Return the largest pull in any leg, in air, under or lifted out."""
    return max(max(leg.tension_n, leg.under_n or 0.0, leg.breakout_n) for leg in answer.legs)


def _rated(answer: HangAnswer, show: Show) -> str:
    hook = show_force(max(answer.dry_n, answer.breakout.hook_n), show)
    leg = show_force(most_pull_n(answer), show)
    return (
        f"Use gear that is marked for the load: at least {hook} on the hook and {leg} in a leg, more where "
        "it is jerked, catches on the rim or sticks to the bath."
    )


def _hangs_badly(answer: HangAnswer, part: Part, show: Show) -> tuple[str, ...]:
    lines = []
    if answer.proposed:
        lines.append(
            "The picks are proposed from the shape alone: see that a sling holds there and cannot slip."
        )
    bent = [str(k + 1) for k, leg in enumerate(answer.legs) if leg.bent]
    if bent:
        which = f"Leg {bent[0]} runs" if len(bent) == 1 else f"Legs {' and '.join(bent)} run"
        lines.append(f"{which} into the part: another pick, a spreader, or a pad over the edge.")
    if len(answer.legs) == 2 and 0.0 < answer.below_mm < STEADY * part.size_mm[1] / 2.0:
        low = show_length(answer.below_mm, show)
        lines.append(f"Its centre of mass is only {low} under its picks: a touch rolls it. Use three legs.")
    return tuple(lines)


def _turns(answer: HangAnswer, show: Show) -> tuple[str, ...]:
    states = (("under the liquid", answer.under), ("with the liquid that it carries out", answer.breakout))
    lines = [
        f"It turns by {show_angle(swung.turn_rad)} {where}: keep hands and walls clear of that."
        for where, swung in states
        if swung.turn_rad is not None and swung.turn_rad > SEEN_RAD
    ]
    slack = any(min(leg.under_n or 0.0, leg.breakout_n) < 0.0 for leg in answer.legs)
    if slack and "slack leg" not in answer.faults:
        lines.append("A leg goes slack when it is wet: it will hang otherwise than told.")
    if answer.under.hook_n <= 0.0:
        up = show_force(-answer.under.hook_n, show)
        lines.append(
            f"It floats: {up} pushes it up when it is under, and slings cannot hold it down. Hold it down "
            f"with at least {HOLD_DOWN:g} times that (common practice), and let nobody hold it by hand."
        )
    return tuple(lines)


def _wet(answer: HangAnswer, show: Show) -> tuple[str, ...]:
    if answer.held.carry_out_l <= BATHFUL_L:
        return ()
    litres = show_volume(answer.held.carry_out_l, show)
    return (
        f"It comes out with {litres} in it, and what is carried runs to the low side when it swings: slowly.",
    )


def _one_sling(answer: HangAnswer, part: Part) -> tuple[str, ...]:
    long = max(part.size_mm) > read_length(ONE_SLING)
    if len(answer.legs) > 1 or not long:
        return ()
    return (f"A level load longer than {ONE_SLING} is to hang in two slings (Washington WAC 296-24-29405).",)
