"""Cautions of slings and hooks as sentences, each with where it comes from."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fitcheck.things.caution import Caution
from fitcheck.things.stock import HOLD_DOWN
from fitcheck.words.units import Show, show_angle, show_force, show_length, show_volume

# Those that have no numbers.
HOOK: Mapping[str, str] = {
    "rigging": (
        "What the part's lugs, holes and walls can carry is not known here. The gear's own marks, its "
        "maker's tables, ASME B30.9, 29 CFR 1910.184 and a competent person outrank these figures."
    ),
    "nobody under": (
        "Nobody under the load, or between it and the tank. Lift it a hand's breadth, see that it hangs as "
        "told, then go on; guide it by tag lines (common practice)."
    ),
    "wet slings": (
        "No nylon slings near acid, no polyester or polypropylene ones near caustic, no aluminium fittings "
        "near caustic (29 CFR 1926.251(e), quoted)."
    ),
    "picks proposed": (
        "The picks are proposed from the shape alone: see that a sling holds there and cannot slip."
    ),
    "leg goes slack": "A leg goes slack when it is wet: it will hang otherwise than told.",
}


def _rated_gear(caution: Caution, show: Show) -> str:
    hook, leg = (show_force(caution.number(name), show) for name in ("hook_n", "leg_n"))
    return (
        f"Use gear that is marked for the load: at least {hook} on the hook and {leg} in a leg, more where "
        "it is jerked, catches on the rim or sticks to the bath."
    )


def _legs_through_it(caution: Caution, _show: Show) -> str:
    legs = caution.word("legs")
    which = f"Leg {legs} runs" if caution.number("count") == 1 else f"Legs {legs} run"
    return f"{which} into the part: another pick, a spreader, or a pad over the edge."


def _rolls_easily(caution: Caution, show: Show) -> str:
    low = show_length(caution.number("below_mm"), show)
    return f"Its centre of mass is only {low} under its picks: a touch rolls it. Use three legs."


def _turns_wet(caution: Caution, _show: Show) -> str:
    turn = show_angle(caution.number("turn_rad"))
    return f"It turns by {turn} {caution.word('state')}: keep hands and walls clear of that."


def _floats_in_slings(caution: Caution, show: Show) -> str:
    up = show_force(caution.number("uplift_n"), show)
    return (
        f"It floats: {up} pushes it up when it is under, and slings cannot hold it down. Hold it down "
        f"with at least {HOLD_DOWN:g} times that (common practice), and let nobody hold it by hand."
    )


def _carries_liquid(caution: Caution, show: Show) -> str:
    litres = show_volume(caution.number("carry_out_l"), show)
    return (
        f"It comes out with {litres} in it, and what is carried runs to the low side when it swings: slowly."
    )


def _one_sling(caution: Caution, _show: Show) -> str:
    long = caution.word("longest")
    return f"A level load longer than {long} is to hang in two slings (Washington WAC 296-24-29405)."


HOOK_WITH_NUMBERS: Mapping[str, Callable[[Caution, Show], str]] = {
    "rated gear": _rated_gear,
    "legs through it": _legs_through_it,
    "rolls easily": _rolls_easily,
    "turns wet": _turns_wet,
    "floats in slings": _floats_in_slings,
    "carries liquid": _carries_liquid,
    "one sling": _one_sling,
}
