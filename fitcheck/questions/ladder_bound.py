"""How little liquid a part can be done on, whatever blocks stand beside it and whatever goes in with it.

Blocks stand on the floor, side_clearance or more from the part and the stock's gap or more from the walls;
other parts keep part_gap. So over the part's outline, over a strip round it, and along the walls, all is
liquid up to the level, less what the part itself displaces. The least of that over every way up is bounded as
in `geometry/least_plan.py`; in a tank that is no plain box no blocks are stood, and less is proven.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence

from fitcheck.geometry.least_plan import Shadow, least
from fitcheck.geometry.measure import measures
from fitcheck.questions.fill import room_for_liquid
from fitcheck.things.block_design import Stock
from fitcheck.things.part import Part
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank
from fitcheck.words.units import MM3_PER_LITRE

# Ways to set a level for each tank that are tried one by one.
_MOST_TRIED = 50_000


def part_at_least_l(part: Part, tank: Tank, stock: Stock, air_l: float, others_l: float) -> float:
    """Return litres that are proven to be in the tank when the part goes in.

    air_l: the most that it may catch. others_l: what everything else displaces, where no block is stood.
    """
    rules = tank.rules
    shadow = Shadow.of(part.solid.vertices_mm)
    high = tank.depth_mm - rules.cover_mm - rules.freeboard_mm
    base = rules.bottom_clearance_mm + rules.cover_mm
    own = measures(part.skin).volume_mm3 / MM3_PER_LITRE + air_l
    if not tank.is_box:
        low = least(shadow, part.attitude, high, lambda height, _, __: height)
        below = float(room_for_liquid(tank).volume_below_mm3(min(low, tank.depth_mm))) / MM3_PER_LITRE
        return max(below - own - others_l, 0.0)
    gap = min(stock.gap_mm, rules.side_clearance_mm)
    strip = 2.0 * gap * (tank.size_mm[0] + tank.size_mm[1] - 2.0 * gap)
    reach = max(min(rules.side_clearance_mm, rules.part_gap_mm) - gap, 0.0)

    def liquid(height: Floats, area: Floats, round_: Floats) -> Floats:
        return (height + base) * (strip + area + reach * round_ + math.pi * reach**2)

    standing = sum(measures(thing.solid).volume_mm3 for thing in tank.standing)
    most = least(shadow, part.attitude, high - rules.bottom_clearance_mm, liquid)
    return max((most - standing) / MM3_PER_LITRE - own, 0.0)


def least_in_all(
    litres: Mapping[str, Mapping[str, float]], tanks: Sequence[str]
) -> tuple[float, dict[str, float]]:
    """Share parts out among tanks so that what all the tanks hold at most, added up, is least.

    litres: what each part needs in each tank that takes it. Returns the sum and each tank's most. With more
    parts and tanks than can be tried, what one tank must hold for its largest part.
    """
    levels = [sorted({0.0, *(need[tank] for need in litres.values() if tank in need)}) for tank in tanks]
    if math.prod(len(each) for each in levels) > _MOST_TRIED:
        return _each_in_its_own(litres, tanks)
    best, chosen = math.inf, dict.fromkeys(tanks, 0.0)
    for most in itertools.product(*levels):
        total = sum(most)
        if total < best:
            held = dict(zip(tanks, most, strict=True))
            if all(any(need[tank] <= held[tank] for tank in need) for need in litres.values()):
                best, chosen = total, held
    return (best, chosen) if litres else (0.0, chosen)


def _each_in_its_own(
    litres: Mapping[str, Mapping[str, float]], tanks: Sequence[str]
) -> tuple[float, dict[str, float]]:
    held = dict.fromkeys(tanks, 0.0)
    for need in litres.values():
        tank = min(need, key=lambda name: need[name])
        held[tank] = max(held[tank], need[tank])
    return max((min(need.values()) for need in litres.values()), default=0.0), held
