"""How parts hang in a corner of a tank, each in the ways worth trying, so that blocks have room."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.liquid.attitude_map import vessel_of
from fitcheck.geometry.liquid.fill_level import covering_level_mm, fill_at
from fitcheck.geometry.plan.columns import Rectangle
from fitcheck.proving.exact_gaps import recheck
from fitcheck.questions.dip.answer import Fits
from fitcheck.questions.dip.ask import dip
from fitcheck.things.part import Attitude, Part
from fitcheck.things.pose import Angles, Pose
from fitcheck.things.tank import Tank
from fitcheck.words.units import RAD_PER_DEGREE

# Beside the ways that are advised: a little more tilt may free a bigger block.
TILTS_DEG = (0.0, 5.0, 10.0, 15.0, 20.0, 30.0, 45.0)
QUARTERS_DEG = (0.0, 90.0)
# Ways of one part that are put together with those of others.
MOST_WAYS = 8
Corner = tuple[bool, bool]


@dataclass(frozen=True, slots=True, eq=False)
class Hung:
    """Every part at its pose in one corner, and the level that the highest of them asks for.

    taken: what of the plan they take up in turn, their clearances with it.
    """

    parts: tuple[tuple[Part, Pose], ...]
    level_mm: float
    taken: Rectangle


@dataclass(frozen=True, slots=True, eq=False)
class Way:
    """One part at one pose in the corner, as deep as it goes: its level, and its box low and high."""

    part: Part
    pose: Pose
    level_mm: float
    low_mm: tuple[float, float]
    high_mm: tuple[float, float]


def ways_in_corner(tank: Tank, parts: Sequence[Part]) -> tuple[tuple[Way, ...], ...]:
    """Return for each part the ways that it may hang in one corner, the same for all, most promising first.

    A way that asks for a higher level and takes more of the plan both ways than another is left out, and so
    is one that catches more air than the part may and its advised pose does. Empty for a part that does not
    go into the tank, tapes included, or has no place in a corner.
    """
    poses = [_poses(part, tank) for part in parts]
    best: tuple[tuple[Way, ...], ...] = ((),) * len(parts)
    for corner in ((False, False), (False, True), (True, False), (True, True)):
        ways = tuple(
            _worth_trying([way for pose in own if (way := _moved(tank, part, pose, corner)) is not None])
            for part, own in zip(parts, poses, strict=True)
        )
        if all(ways):
            return ways
        best = max(best, ways, key=lambda each: sum(map(bool, each)))
    return best


def hung_together(tank: Tank, ways: Sequence[Way]) -> Hung:
    """Return the parts at these ways, each as high as the level lets it hang where nothing is in its way."""
    level = max(way.level_mm for way in ways)
    lifts = [0.0 if tank.standing else level - way.level_mm for way in ways]
    parts = tuple(
        (
            way.part,
            Pose(
                way.pose.to_frame,
                way.pose.from_frame,
                way.pose.rotation,
                way.pose.shift_mm + np.array([0.0, 0.0, lift]),
            ),
        )
        for way, lift in zip(ways, lifts, strict=True)
    )
    clear = tank.rules.side_clearance_mm
    taken = (
        min(way.low_mm[0] for way in ways) - clear,
        min(way.low_mm[1] for way in ways) - clear,
        max(way.high_mm[0] for way in ways) + clear,
        max(way.high_mm[1] for way in ways) + clear,
    )
    return Hung(parts, level, taken)


def hung_liquid_l(tank: Tank, hung: Hung) -> float:
    """Return the liquid that the largest part needs."""
    return max(fill_at(part, pose, tank, hung.level_mm).liquid_l for part, pose in hung.parts)


def _poses(part: Part, tank: Tank) -> tuple[Pose, ...]:
    """Return the poses at which the part goes in: as advised, for least liquid, and plain turns."""
    vessel = vessel_of(part)
    plain = dip(part, tank, with_cures=False, vessel=vessel)
    if not isinstance(plain, Fits):
        return ()
    least = dip(part, tank, "least-liquid", with_cures=False, vessel=vessel)
    air = max(part.air_at_most_l, plain.advice.held.air_l)
    answers = [plain, least]
    for tilt, roll, swing in itertools.product(TILTS_DEG, QUARTERS_DEG, QUARTERS_DEG):
        angles = Angles(*(angle * RAD_PER_DEGREE for angle in (tilt, roll, swing)))
        if _allowed(angles, part.attitude):
            answers.append(dip(part, tank, "level", angles, with_cures=False, vessel=vessel))
    return tuple(
        answer.advice.pose
        for answer in answers
        if isinstance(answer, Fits) and (answer is plain or answer.advice.held.air_l <= air)
    )


def _allowed(angles: Angles, attitude: Attitude) -> bool:
    return (
        angles.tilt_rad <= attitude.tilt_rad
        and angles.roll_rad <= attitude.roll_rad
        and angles.swing_rad <= attitude.swing_rad
    )


def _moved(tank: Tank, part: Part, pose: Pose, corner: Corner) -> Way | None:
    """Return the part moved towards the low or high end of length and width; None where something stands."""
    clear = tank.rules.side_clearance_mm
    placed = pose.apply(part.solid.vertices_mm)
    low, high = placed.min(axis=0), placed.max(axis=0)
    shift = np.zeros(3)
    for axis, far in enumerate(corner):
        shift[axis] = tank.size_mm[axis] - clear - high[axis] if far else clear - low[axis]
    here = Pose(pose.to_frame, pose.from_frame, pose.rotation, pose.shift_mm + shift)
    if not recheck(part, tank, here).holds:
        return None
    low, high = low + shift, high + shift
    return Way(
        part,
        here,
        covering_level_mm(part, here, tank),
        (float(low[0]), float(low[1])),
        (float(high[0]), float(high[1])),
    )


def _worth_trying(ways: Sequence[Way]) -> tuple[Way, ...]:
    """Return the ways that no other beats in level, length and width, by what box of liquid they need."""

    def needs(way: Way) -> tuple[float, float, float]:
        return (way.level_mm, way.high_mm[0] - way.low_mm[0], way.high_mm[1] - way.low_mm[1])

    kept: list[Way] = []
    for way in sorted(ways, key=lambda each: math.prod(needs(each))):
        if not any(all(a <= b for a, b in zip(needs(other), needs(way), strict=True)) for other in kept):
            kept.append(way)
    return tuple(kept[:MOST_WAYS])
