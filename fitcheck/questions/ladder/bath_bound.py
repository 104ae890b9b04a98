"""How little liquid a part can be done on, whatever blocks stand beside it and whatever goes in with it.

Blocks stand on the floor, side_clearance or more from the part and the stock's gap or more from the walls;
other parts keep part_gap. So over the part's outline, over a strip round it, and along the walls, all is
liquid up to the level, less what the part itself displaces. The least of that over every way up is bounded as
in `geometry/plan/least_plan_area.py`; so is what is left beside the outline too narrow for a block
(`geometry/plan/slots.py`). In a tank that is no plain box no blocks are stood, and less is proven.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Mapping, Sequence

import numpy as np

from fitcheck.geometry.liquid.fill_level import room_for_liquid
from fitcheck.geometry.mesh.measure import volume_mm3
from fitcheck.geometry.plan.least_plan_area import Shadow, least
from fitcheck.geometry.plan.slots import Slots
from fitcheck.things.part import Part
from fitcheck.things.solid import Floats
from fitcheck.things.stock import Stock
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
    own = volume_mm3(part.skin) / MM3_PER_LITRE + air_l
    if not tank.is_box:
        low = least(shadow, part.attitude, high, lambda height, _, __: height)
        below = float(room_for_liquid(tank).volume_below_mm3(min(low, tank.depth_mm))) / MM3_PER_LITRE
        return max(below - own - others_l, 0.0)
    gap = min(stock.gap_mm, rules.side_clearance_mm)
    clear = max(min(rules.side_clearance_mm, rules.part_gap_mm), gap)
    open_mm2 = _open_mm2(tank, gap, clear, shadow.longest_mm)

    def liquid(height: Floats, area: Floats, round_: Floats) -> Floats:
        return (height + base) * open_mm2(area, round_)

    slots = Slots(
        long_mm=max(tank.size_mm[:2]),
        wide_mm=min(tank.size_mm[:2]),
        gap_mm=gap,
        side_mm=rules.side_clearance_mm,
        clear_mm=clear,
        base_mm=base,
        thinnest_mm=stock.thinnest_mm,
    )

    def closer(up: Floats, within_rad: float, height_mm: float, known_mm3: float) -> float:
        return slots.at_least_mm3(shadow, up, within_rad, height_mm, known_mm3)

    standing = sum(volume_mm3(thing.solid) for thing in tank.standing)
    highest = high - rules.bottom_clearance_mm
    most = least(shadow, part.attitude, highest, liquid, closer if slots.may_be(shadow) else None)
    return max((most - standing) / MM3_PER_LITRE - own, 0.0)


def _open_mm2(tank: Tank, gap: float, clear: float, longest_mm: float) -> Callable[[Floats, Floats], Floats]:
    """Return the plan that no block takes, at least, for an outline's area and length.

    It is the outline grown by `clear`, which lies in the tank, and a strip of `gap` along the walls, less
    what the strip may share with the grown outline: along each wall no more than a chord there. By area, two
    chords at opposite walls add up to 2 area / distance at most; by length, two at a corner to length /
    sqrt 2 (a closed line round a box is twice its diagonal at least). Or the outline is grown by so much less
    that they share nothing. Either grows with area and length: what holds of the least holds of all.
    """
    long, wide = max(tank.size_mm[:2]), min(tank.size_mm[:2])
    strip = 2.0 * gap * (long + wide - 2.0 * gap)
    across = wide - 2.0 * gap
    # A part so short never reaches the strips at both ends.
    one_end = longest_mm + 2.0 * clear < long - 2.0 * gap and across > 2.0 * gap

    def grown(area: Floats, round_: Floats, by: float) -> Floats:
        return np.asarray(area + by * round_ + math.pi * by**2)

    def open_mm2(area: Floats, round_: Floats) -> Floats:
        apart = grown(area, round_, clear - gap)
        if not one_end:
            return apart + strip
        whole, around = grown(area, round_, clear), round_ + 2.0 * math.pi * clear
        chords = np.maximum(around * math.sqrt(0.5), np.minimum(around, 2.0 * whole / across + wide))
        return np.asarray(np.maximum(apart, whole - gap * chords) + strip)

    return open_mm2


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
