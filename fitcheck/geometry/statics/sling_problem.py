"""One part slung from its picks to one hook over one tank: what the steps of a hang answer share."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.statics.sling_statics import (
    Hung,
    below_mm,
    held_up,
    hook_height_mm,
    spread_mm,
    tensions_n,
)
from fitcheck.things.hook import Hook
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import RAD_PER_DEGREE

FLATTEST_RAD = 30.0 * RAD_PER_DEGREE
# What legs are made long enough for where the hook goes high enough; kept between the rim and the part on its
# way over it; one plumb leg where there is room for it; room over a pick or the part for a hook and a shackle
# (all common practice in a small shop: measure your own).
STEEP_RAD = 60.0 * RAD_PER_DEGREE
CLEAR_MM, PLUMB_LEG_MM, GEAR_MM = 50.0, 600.0, 150.0
# A part hung by eye is a degree off anyhow (common practice).
OFF_RAD = 1.0 * RAD_PER_DEGREE
# Sums of lengths in double precision are right to far less than this, and no tape sees it.
ROUNDING_MM = 1e-6
# Picks nearer to each other in plan than a shackle is wide cannot share a load.
APART_MM = 10.0


@dataclass(frozen=True, slots=True, eq=False)
class SlingProblem:
    """One part at one attitude, slung from its picks; heights are over its centre of mass.

    asked: the way wanted. up, angles: the nearest that the picks can hold. below_mm: the centre of mass under
    the picks. sag_mm: how far it sinks under their line, None where that is not told. proposed: the picks are
    not the shop's own.
    """

    part: Part
    tank: Tank
    asked: Angles
    picks_mm: Floats
    up: Floats
    angles: Angles
    below_mm: float
    sag_mm: float | None = None
    proposed: bool = False

    @property
    def heights_mm(self) -> Floats:
        """Of every vertex."""
        heights: Floats = (self.part.solid.vertices_mm - self.part.centre_mm) @ self.up
        return heights

    @property
    def top_mm(self) -> float:
        """Of the highest point."""
        return float(self.heights_mm.max())

    @property
    def low_mm(self) -> float:
        """Of the lowest point, sag and all."""
        return float(self.heights_mm.min()) - (self.sag_mm or 0.0)

    @property
    def highest_pick_mm(self) -> float:
        """Of the higher pick."""
        return float(((self.picks_mm - self.part.centre_mm) @ self.up).max())

    @property
    def least_z_mm(self) -> float:
        """Of the hook, with the flattest legs that are allowed."""
        return self._z_mm(FLATTEST_RAD)

    def _z_mm(self, least_rad: float) -> float:
        by_legs = hook_height_mm(self.picks_mm, self.part.centre_mm, self.up, least_rad)
        return max(by_legs, self.top_mm, self.highest_pick_mm + GEAR_MM)

    @property
    def is_under(self) -> bool:
        """Its centre of mass hangs under its picks, whatever the tape hides."""
        # Three legs that all pull hold it even a little over their plane; one or two let it roll.
        tape = self.part_tape_mm
        return self.below_mm >= (-tape if len(self.picks_mm) == 3 else max(tape, ROUNDING_MM))

    @property
    def is_as_asked(self) -> bool:
        """It hangs the way wanted, as near as anybody sees."""
        return between_rad(self.up, rotation_from(self.asked)[2]) <= OFF_RAD

    @property
    def is_held(self) -> bool:
        """It stays as it hangs, and every leg pulls, with the flattest legs that are allowed."""
        pulls = tensions_n(self.picks_mm, self.hung(self.least_z_mm), 1.0)
        return self.is_under and bool((pulls > 0.0).all())

    @property
    def part_tape_mm(self) -> float:
        """By how much a size of the part may be out."""
        return self.tank.rules.tape_part_mm if self.part.tape_mm is None else self.part.tape_mm

    @property
    def tape_mm(self) -> float:
        """By how much a hook's spare may be out: hook, rim and part are measured one by one."""
        return 2.0 * self.tank.rules.tape_tank_mm + self.part_tape_mm

    @property
    def floor_mm(self) -> float | None:
        """How high the lowest point must go, over the shop floor."""
        height = self.tank.rim.height_mm
        return None if height is None else height + CLEAR_MM

    def needed_mm(self, z_mm: float) -> float | None:
        """Return how high a hook so far over the centre of mass must go, over the shop floor."""
        return None if self.floor_mm is None else self.floor_mm + z_mm - self.low_mm

    def hook(self, z_mm: float) -> Hook:
        """Return the hook budget."""
        needed, height = self.needed_mm(z_mm), self.tank.rim.hook_height_mm
        spare = None if needed is None or height is None else height - needed
        return Hook(needed, height, spare, self.needed_mm(self.least_z_mm), CLEAR_MM, self.tape_mm)

    def hook_z_mm(self) -> float:
        """Return the height of the hook to advise: steep legs, or as steep as the hook lets them be."""
        steep = self._z_mm(STEEP_RAD)
        if len(self.picks_mm) == 1:
            steep = max(steep, self.highest_pick_mm + PLUMB_LEG_MM)
        spare = self.hook(steep).spare_mm
        if spare is None:
            return steep
        # What the tape may hide is not used up.
        return max(self.least_z_mm, steep + min(spare - self.tape_mm, 0.0))

    def hung(self, z_mm: float) -> Hung:
        """Return how it hangs in air from a hook so far over the centre of mass."""
        return Hung(self.up, self.part.centre_mm + z_mm * self.up)

    def pose(self) -> Pose:
        """Return the part over the middle of the tank, just clear of the rim (tank from part)."""
        rotation = rotation_from(self.angles)
        turned = self.part.solid.vertices_mm @ rotation.T
        low, high = turned.min(axis=0), turned.max(axis=0)
        length, width, depth = self.tank.size_mm
        lift = depth + CLEAR_MM + (self.sag_mm or 0.0) - low[2]
        shift = np.array([(length - low[0] - high[0]) / 2.0, (width - low[1] - high[1]) / 2.0, lift])
        return Pose(f"tank {self.tank.name}", f"part {self.part.name}", rotation, shift)


def sling_problem(part: Part, tank: Tank, asked: Angles, picks_mm: Floats) -> SlingProblem:
    """Return the part slung to hang as asked, or as near to that as its picks can hold it; no sag yet.

    Raises `Refused` where picks stand over one another or in one line.
    """
    wanted = rotation_from(asked)[2]
    up = held_up(picks_mm, part.centre_mm, wanted)
    if len(picks_mm) > 1 and spread_mm(picks_mm, up) < APART_MM:
        raise Refused(
            "the picks stand over one another or in one line in plan, as it would hang: how they share its "
            "weight cannot be told",
            "choose others with --picks, or hang it by fewer legs or less tilted",
        )
    angles = asked if up is wanted else angles_of(up, asked.roll_rad)
    return SlingProblem(part, tank, asked, picks_mm, up, angles, below_mm(picks_mm, part.centre_mm, up))


def between_rad(one: Floats, other: Floats) -> float:
    """Return the angle between two unit vectors."""
    return math.atan2(float(np.linalg.norm(np.cross(one, other))), float(one @ other))


def angles_of(up: Floats, roll_rad: float) -> Angles:
    """Return tilt and roll for an up seen from the part; stood on end the roll is the one given."""
    flat = math.hypot(float(up[1]), float(up[2]))
    # Nearer to upright than this the roll is only rounding, as for the angles of a rotation.
    roll = math.atan2(float(up[1]), float(up[2])) if flat >= 1e-12 else roll_rad
    return Angles(math.atan2(float(up[0]), flat), roll)
