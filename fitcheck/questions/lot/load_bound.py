"""How many loads some parts take at least, however they are hung.

Three things run out in a load. Its plan: outlines, each with its share of the gap round it, do not overlap.
Its middle: parts longer than half the tank all cross it, and take some of its width each there. The hoist.
What a part takes is bounded over every way it may hang (`least_plan_area`); what loads that makes is
bin packing's bound L2 (S. Martello, P. Toth, Knapsack Problems, Wiley 1990, section 8.3).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from fitcheck.geometry.plan.least_plan_area import Shadow, least
from fitcheck.things.part import Part
from fitcheck.things.tank import Tank

# Shares of a load are sums of some hundred numbers; what rounding adds must not make a load.
_ROUNDING = 1e-9

Shares = tuple[float, float, float]


def at_least_loads(parts: Sequence[tuple[Part, tuple[Tank, ...]]]) -> int:
    """Return a number of loads that is proven to be needed; with each part the tanks that may take it.

    Each part is taken as often as it counts.
    """
    shadows = {part.name: Shadow.of(part.solid.vertices_mm) for part, _ in parts}
    shares = {
        (part.name, tank.name): _shares(part, tank, shadows[part.name])
        for part, tanks in parts
        for tank in tanks
    }
    together = _at_least(parts, shares)
    apart = 0
    for name in {tank.name for _, tanks in parts for tank in tanks}:
        only = [(part, tanks) for part, tanks in parts if {tank.name for tank in tanks} == {name}]
        apart += _at_least(only, shares)
    return max(together, apart)


def _at_least(
    parts: Sequence[tuple[Part, tuple[Tank, ...]]], shares: Mapping[tuple[str, str], Shares]
) -> int:
    best = 1 if parts else 0
    for kind in range(3):
        sizes = [
            min(shares[part.name, tank.name][kind] for tank in tanks)
            for part, tanks in parts
            for _ in range(part.count)
        ]
        best = max(best, bins_at_least(sizes))
    return best


def bins_at_least(sizes: Sequence[float]) -> int:
    """Return the bound L2 of how many bins of size 1 things of these sizes take."""
    best = 0
    for low in {0.0, *(size for size in sizes if size <= 0.5)}:
        alone = sum(size > 1.0 - low for size in sizes)
        large = [size for size in sizes if 0.5 < size <= 1.0 - low]
        small = sum(size for size in sizes if low <= size <= 0.5)
        over = small - (len(large) - sum(large))
        best = max(best, alone + len(large) + max(0, math.ceil(over - _ROUNDING)))
    return best


def _shares(part: Part, tank: Tank, shadow: Shadow) -> Shares:
    """Return which share of a load one part takes at least: of the plan, of the middle, of the hoist."""
    rules = tank.rules
    tape_part = rules.tape_part_mm if part.tape_mm is None else part.tape_mm
    tape = (tape_part + rules.tape_tank_mm) / 2.0 + part.chord_mm + tank.chord_mm
    reach = (rules.part_gap_mm + tape_part) / 2.0 + part.chord_mm
    # Only between upright walls do the clearances come off the length and width as a whole.
    clear = 2.0 * (rules.side_clearance_mm + tape) if tank.is_box else 0.0
    length, width = tank.size_mm[0] - clear, tank.size_mm[1] - clear
    high = tank.depth_mm - rules.cover_mm - rules.freeboard_mm - (rules.bottom_clearance_mm + 2.0 * tape)
    if not tank.is_box:
        high = tank.depth_mm - rules.cover_mm - rules.freeboard_mm
    with_gap = least(
        shadow, part.attitude, high, lambda _, area, round_: area + reach * round_ + math.pi * reach**2
    )
    bare = least(shadow, part.attitude, high, lambda _, area, __: area)
    if not math.isfinite(with_gap):
        return 1.0, 0.0, 0.0
    plan = with_gap / ((length + 2.0 * reach) * (width + 2.0 * reach))
    shortest = math.sqrt(max(shadow.longest_mm**2 - width**2 - high**2, 0.0))
    middle = 0.0
    if shortest > length / 2.0:
        # A convex outline is at least so wide that far from its ends: its width is a concave function.
        across = 2.0 * bare * (shortest - length / 2.0) / shortest**2
        middle = (across + 2.0 * reach) / (width + 2.0 * reach)
    hoist = tank.rim.hoist_kg
    return min(plan, 1.0), min(middle, 1.0), 0.0 if hoist is None else min(part.mass_kg / hoist, 1.0)
