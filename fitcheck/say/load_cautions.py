"""Cautions of loads, ladders and days as sentences, each with where it comes from."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from fitcheck.things.caution import Caution
from fitcheck.words.units import Show

# So many are named; of more it is said how many.
NAMED = 8

# Those that have no numbers.
LOAD: Mapping[str, str] = {
    "side by side": (
        "Parts go in side by side, part_gap from outline to outline, none over another: it would drip on it."
    ),
    "slung one by one": (
        "Each part was looked at in its own place, on slings of its own from a hook over it: whether one "
        "frame or hook carries them all, and how they are let down together, is for whoever rigs the lift; "
        "ask fitcheck hang for each."
    ),
    "bound of boxes": (
        "The bound holds for boxes beside the parts, no side under the stock's thinnest, its gap from the "
        "walls and side_clearance from the parts, and for ways of hanging that catch no more air than "
        "air_at_most or the way advised. A dam, or a block under a part, may do with less: ask fitcheck "
        "block."
    ),
    "few chosen one by one": (
        "The few blocks were chosen one by one: another set may save more. The bound is for any number. "
        "Beside them less goes in together; what is mixed at most with each is for parts one by one."
    ),
    "losses not counted": (
        "What parts carry out and what dries off is not in it: ask fitcheck mix for the drag-out."
    ),
    "walk it through": (
        "Walk it through dry with a stop watch first: lifting, dripping and carrying take as long as they "
        "take, and what is late at one step is late at all that follow (common practice)."
    ),
    "strict dwell": (
        "A load stays at each step just as long as its dwell says, and between two steps it hangs aside, "
        "wet, where it waits: have a place for that. Out of the liquid it is no longer than wait_at_most, "
        "drip and carrying included."
    ),
    "hooks slide": (
        "On the rails hooks are slid along for what comes next; in the order told, lengths suffice at all "
        "times."
    ),
    "levels differ": (
        "Each level is the lowest that covers that load. A tank that stays filled for the load that needs "
        "most stands higher for the others: see that the freeboard is kept, and ask fitcheck ladder."
    ),
    "bath not asked": "Whether the baths do for so many parts is not asked here: see fitcheck mix.",
}


def _hook_unchecked(caution: Caution, _show: Show) -> str:
    parts, tanks, faults = (caution.word(name).splitlines() for name in ("parts", "tanks", "faults"))
    unsaid = [f"picks are not given for {_named(parts)}"] if parts else []
    unsaid += [f"rim_height or hook_height is not given for {_named(tanks)}"] if tanks else []
    return f"{'; '.join([*unsaid, *faults])}: whether the hook goes high enough there was not looked at."


def _named(names: Sequence[str]) -> str:
    more = len(names) - NAMED
    return ", ".join(names) if more <= 0 else f"{', '.join(names[:NAMED])} and {more} more"


def _no_hoist(caution: Caution, _show: Show) -> str:
    tanks = caution.word("tanks")
    return f"hoist is not given for {tanks}: what a load weighs was not held to any limit."


def _many_blocks(caution: Caution, _show: Show) -> str:
    count = round(caution.number("count"))
    return (
        f"Each load has blocks made for it, {count} different ones in all: ask with --blocks 4 for a few "
        "that serve one load after another, and what each of them saves."
    )


def _no_wait(caution: Caution, _show: Show) -> str:
    return (
        f"wait_at_most is not given for {caution.word('steps')}: a wet part may dry there before its next "
        "step. Take it from the bath maker's sheet."
    )


LOAD_WITH_NUMBERS: Mapping[str, Callable[[Caution, Show], str]] = {
    "hook height unchecked": _hook_unchecked,
    "no hoist given": _no_hoist,
    "many different blocks": _many_blocks,
    "no wait given": _no_wait,
}
