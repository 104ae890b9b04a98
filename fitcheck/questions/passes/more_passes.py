"""The fewest passes, of many attitudes, that wet all of a part between them, whichever way it is turned.

Looked at are tilts with the part on each of its faces, rolls about its length, and corners down, along the
tank and across it, each let down as deep as it goes; and the tilts at which it just comes to lie on the rim,
where a pass reaches furthest. A part that is straight is wet in the middle only by a pass from one of its
ends: for those two passes do or none; more help a part that is wide or deep.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.liquid.halfspace_area import dry_share
from fitcheck.geometry.liquid.set_cover import smallest_cover
from fitcheck.questions.passes.let_down import LetDown, OverTank, let_down, settled
from fitcheck.questions.passes.two_passes import within_half
from fitcheck.things.pose import Angles
from fitcheck.things.solid import Floats
from fitcheck.words.units import RAD_PER_DEGREE

QUARTER = math.pi / 2.0
TILTS_DEG = tuple(np.arange(2.5, 90.1, 2.5).tolist())
ROLLS_DEG = tuple(np.arange(-175.0, 180.1, 5.0).tolist())
CORNERS_DEG = (15.0, 25.0, 35.0, 45.0, 55.0, 65.0, 75.0)
FACES_DEG, EDGES_DEG = (0.0, 90.0, -90.0, 180.0), (45.0, -45.0, 135.0, -135.0)
SWINGS_DEG = (0.0, 90.0)
# Halvings of a tilt at which the part comes to lie on a rim, and of the overlap that passes share.
HALVINGS = 24
# Attitudes that exact distances refuse are left out and the rest looked at again, so often.
ROUNDS = 6


@dataclass(frozen=True, slots=True, eq=False)
class Several:
    """Passes that wet all of a part, and the least that neighbours share along the surface."""

    ways: tuple[LetDown, ...]
    shared_mm: float


def several(over: OverTank, tape_mm: float) -> Several | None:
    """Return the fewest passes of all attitudes looked at; None where all of them leave some dry."""
    solid = over.case.part.skin
    overlap = over.case.tank.rules.overlap_mm + tape_mm
    ways = [way for way in every_way(over, tape_mm) if _wets(over, way)]
    for _ in range(ROUNDS):
        if not ways:
            return None
        ups, lines = _planes(ways)
        chosen = smallest_cover(solid, ups, lines, np.array([_cost(way) for way in ways]), overlap / 2.0)
        if chosen is None or len(ways) == 1:
            return None
        if len(chosen) == 1:
            # All wet in one, but not with the cover that one pass needs: another with the other side down.
            chosen = np.array([chosen[0], int(np.argmin(ups @ ups[chosen[0]]))])
        again = {int(k): settled(over, ways[k], tape_mm) for k in chosen}
        if all(again[int(k)] is ways[k] for k in chosen):
            found = _in_order([ways[k] for k in chosen])
            return Several(tuple(found), shared_along_mm(over, tuple(found)))
        ways = [way for k, way in enumerate(ways) if k not in again or again[k] is way]
    return None


def every_way(over: OverTank, tape_mm: float) -> list[LetDown]:
    """Return the part let down at every attitude that is looked at and allowed."""
    ways: list[LetDown] = []
    for swing, face in itertools.product(SWINGS_DEG, FACES_DEG):
        for sign in (1.0, -1.0):
            row = [(sign * tilt, face, swing) for tilt in TILTS_DEG]
            ways += _row(over, row, tape_mm)
    for swing in SWINGS_DEG:
        ways += _row(over, [(0.0, roll, swing) for roll in ROLLS_DEG], tape_mm)
        corners = itertools.product((1.0, -1.0), CORNERS_DEG, EDGES_DEG)
        found = (_let_down(over, (sign * tilt, roll, swing), tape_mm) for sign, tilt, roll in corners)
        ways += [way for way in found if way is not None]
    return ways


def _row(over: OverTank, row: list[tuple[float, float, float]], tape_mm: float) -> list[LetDown]:
    """Return the ways of a row of attitudes, and those between at which the part comes to lie on a rim."""
    found = [_let_down(over, angles, tape_mm) for angles in row]
    ways = [way for way in found if way is not None]
    for one, two in itertools.pairwise(ways):
        if one.held_by == two.held_by:
            continue
        low, high = (one, two) if one.held_by == "floor" else (two, one)
        inside, outside = np.array(low.angles), np.array(high.angles)
        for _ in range(HALVINGS):
            middle = let_down(over, Angles(*((inside + outside) / 2.0).tolist()), tape_mm)
            if middle is None:
                break
            if middle.held_by == "floor":
                inside, low = (inside + outside) / 2.0, middle
            else:
                outside = (inside + outside) / 2.0
        ways.append(low)
    return ways


def _let_down(over: OverTank, deg: tuple[float, float, float], tape_mm: float) -> LetDown | None:
    tilt, roll, swing = (angle * RAD_PER_DEGREE for angle in deg)
    return let_down(over, Angles(tilt, within_half(roll), swing), tape_mm)


def _wets(over: OverTank, way: LetDown) -> bool:
    points = over.outline_mm + over.case.points.middle_mm
    return bool((points @ way.up).min() < way.line_mm)


def _planes(ways: list[LetDown]) -> tuple[Floats, Floats]:
    return np.array([way.up for way in ways]), np.array([way.line_mm for way in ways])


def _cost(way: LetDown) -> float:
    """Return how awkward a way is to hang, from 0 to 1: tilted, on an edge or a corner, across the tank."""
    tilt, roll, swing = (abs(angle) for angle in way.angles)
    off_face = min(roll % QUARTER, QUARTER - roll % QUARTER)
    return (tilt / QUARTER + 2.0 * off_face / QUARTER + (swing > 0.0) + (way.held_by != "floor")) / 5.0


def _in_order(ways: list[LetDown]) -> list[LetDown]:
    """Return the ways in an order with little turning between: by the end that is up, then by the roll."""
    return sorted(ways, key=lambda way: (way.angles.swing_rad, -way.angles.tilt_rad, way.angles.roll_rad))


def shared_along_mm(over: OverTank, ways: tuple[LetDown, ...]) -> float:
    """Return the most by which passes overlap along the surface at least; 0 where they leave some dry."""
    solid = over.case.part.skin
    ups, lines = _planes(list(ways))

    def all_wet(back_mm: float) -> bool:
        return dry_share(solid, ups, lines, back_mm) <= 1e-9

    low, high = 0.0, float(np.linalg.norm(np.ptp(over.outline_mm, axis=0)))
    if not all_wet(low):
        return 0.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if all_wet(middle) else (low, middle)
    return 2.0 * low
