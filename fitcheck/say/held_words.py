"""What a part catches, in words."""

from __future__ import annotations

from fitcheck.things.pockets import Held
from fitcheck.words.units import (
    MM2_PER_M2,
    Show,
    show_area,
    show_volume,
)

# Less than a teaspoon is nothing.
NOTHING_L = 0.005


def air_words(held: Held, show: Show) -> str:
    """Return how much air stays in, going under."""
    if held.air_l < NOTHING_L:
        return "none"
    bare = show_area(held.bare_m2 * MM2_PER_M2, show)
    return f"{show_volume(held.air_l, show)} stays in; {bare} stays bare"


def carried_words(held: Held, show: Show) -> str:
    """Return how much liquid stays in, coming out, besides what clings."""
    return f"{show_volume(held.carry_out_l, show)} of liquid" if held.carry_out_l >= NOTHING_L else "none"
