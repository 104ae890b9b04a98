"""How few passes cannot do, whatever the attitudes: proven from the room that a bath has under its surface.

The proofs are over all attitudes and all places in the tank, tried or not: whatever a pass wets lies in one
box, that round the room between the clearances and under the highest liquid.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from fitcheck.geometry.liquid.wet_bound import apart, most_wet_share, never_wet
from fitcheck.questions.passes.answer import AtLeast, NeverWet, ShapeOf
from fitcheck.questions.passes.let_down import OverTank
from fitcheck.things.proof import Proof

# A share of the surface nearer to a whole than this is all of it: rounding of the cuts.
ALL = 1.0 - 1e-9


class Bounds(NamedTuple):
    """How many passes are needed at least, and why none will do where that is proven."""

    at_least: AtLeast
    never: NeverWet | None


def bounds(over: OverTank, *, refused: Proof | None, shape: ShapeOf) -> Bounds:
    """Return how many passes are proven to be needed, and why none will do where that is proven.

    refused: the proof of `dip` that one will not do. shape: how the sheet stands of which it is proven.
    """
    attitude, skin = over.case.part.attitude, over.case.part.skin
    *sides, deep = _room_mm(over)
    longest = math.hypot(*sides, deep)
    hull = over.outline_mm + over.case.points.middle_mm
    far = never_wet(skin, hull, longest)
    never = None
    if far is not None:
        x, y, z = (float(value) for value in far.place_mm)
        never = NeverWet((x, y, z), far.points_mm, far.distance_mm, longest)
    ends = apart(hull, longest)
    share = most_wet_share(skin, hull, deep, (attitude.tilt_rad, attitude.roll_rad))
    known = [
        AtLeast(1, "", shape=shape) if refused is None else AtLeast(2, "dip", shape=shape, proof=refused),
        AtLeast(max(len(ends), 1), "points", points_mm=ends, shape=shape),
        AtLeast(math.ceil(ALL / share), "area", share_at_most=share, shape=shape),
    ]
    return Bounds(max(known, key=lambda bound: bound.passes), never)


def _room_mm(over: OverTank) -> tuple[float, float, float]:
    """Return the box in which all lies that a pass wets, the tapes given away.

    Every point of the part and every face of the tank may be off by its tape, together by tape_mm towards
    each side. In a tank that is no box, what keeps a point from a side of the box round it may be floor.
    """
    tank, tape = over.case.tank, over.case.tape_mm
    side, bottom = tank.rules.side_clearance_mm, tank.rules.bottom_clearance_mm
    if not tank.is_box:
        side = bottom = min(side, bottom)
    length, width, _ = tank.size_mm
    deep = over.level_mm - bottom + 2.0 * tape
    return length - 2.0 * (side - tape), width - 2.0 * (side - tape), deep
