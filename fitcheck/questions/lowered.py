"""One part let down as deep as it goes at one attitude, out over the rims where it is too long or too wide."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.overhang import ROUNDING_MM, lowest_between
from fitcheck.geometry.wetted import dry_share, wet_areas_mm2
from fitcheck.questions.case import Case
from fitcheck.questions.fill import fill_at
from fitcheck.questions.prove import recheck_pass
from fitcheck.things.passes import HeldBy, Pass
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.solid import Floats
from fitcheck.words.units import MM2_PER_M2

HALF = math.pi
# Halvings of the height over things that stand in the tank: a metre comes down to a hundredth of a mm.
HALVINGS = 17


@dataclass(frozen=True, slots=True, eq=False)
class Lowering:
    """One part over one tank. outline_mm (n, 3): the corners of its hull, centred as case.points are."""

    case: Case
    outline_mm: Floats

    @property
    def level_mm(self) -> float:
        """The highest level that the freeboard leaves."""
        return self.case.tank.depth_mm - self.case.tank.rules.freeboard_mm


@dataclass(frozen=True, slots=True, eq=False)
class Lowered:
    """One way to let the part down; up . p <= line_mm is wet, in the part's frame.

    shift_mm: of the centred part. held_by: what keeps it from going deeper.
    """

    angles: Angles
    rotation: Floats
    shift_mm: Floats
    up: Floats
    line_mm: float
    held_by: HeldBy


def lowering_of(case: Case) -> Lowering:
    """Return a part over a tank, with only the points of it that stick out."""
    from scipy.spatial import ConvexHull

    points = case.points.all_mm
    return Lowering(case, points[ConvexHull(points).vertices])


def lowered(lowering: Lowering, angles: Angles, tape_mm: float) -> Lowered | None:
    """Return the part let down as deep as it goes at an attitude, every clearance larger by tape_mm.

    None where that attitude is not allowed. Walls are taken as upright and what stands in the tank as not
    there: `settled` looks again.
    """
    case, rules = lowering.case, lowering.case.tank.rules
    if not is_allowed(case, angles):
        return None
    length, width, depth = case.tank.size_mm
    clear = rules.side_clearance_mm + tape_mm
    rotation = rotation_from(angles)
    points = lowering.outline_mm @ rotation.T
    along = lowest_between(points[:, [0, 2]], length, depth, clear)
    across = lowest_between(points[:, [1, 2]], width, depth, clear)
    down = rules.bottom_clearance_mm + tape_mm - float(points[:, 2].min())
    lift = max(down, along.lift_mm, across.lift_mm)
    shift = np.array([along.shift_mm, across.shift_mm, lift])
    held_by: HeldBy = "rim" if lift > down + ROUNDING_MM else "floor"
    return _at(lowering, angles, shift, held_by)


def _at(lowering: Lowering, angles: Angles, shift: Floats, held_by: HeldBy) -> Lowered:
    rotation = rotation_from(angles)
    up = rotation[2]
    line = lowering.level_mm - float(shift[2]) + float(up @ lowering.case.points.middle_mm)
    return Lowered(angles, rotation, shift, up, line, held_by)


def is_allowed(case: Case, angles: Angles) -> bool:
    """Tell whether the part may be turned so; end for end by hand it may be always."""
    attitude = case.part.attitude
    swing = min(abs(angles.swing_rad), HALF - abs(angles.swing_rad))
    return (
        abs(angles.tilt_rad) <= attitude.tilt_rad
        and abs(angles.roll_rad) <= attitude.roll_rad
        and swing <= attitude.swing_rad
    )


def settled(lowering: Lowering, way: Lowered) -> Lowered | None:
    """Return the way, raised over what stands in the tank if need be; None where exact distances refuse it.

    How far it is raised is found by halving, so where something stands in the way another place in plan may
    let it deeper.
    """
    if _holds(lowering, way):
        return way
    if not lowering.case.tank.standing:
        return None
    top = lowering.case.tank.depth_mm - float((lowering.outline_mm @ way.up).min())

    def raised(to_mm: float) -> Lowered:
        shift = np.array([way.shift_mm[0], way.shift_mm[1], to_mm])
        return _at(lowering, way.angles, shift, "what stands there")

    low, high = float(way.shift_mm[2]), top
    if not _holds(lowering, raised(high)):
        return None
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (low, middle) if _holds(lowering, raised(middle)) else (middle, high)
    return raised(high)


def _holds(lowering: Lowering, way: Lowered) -> bool:
    return recheck_pass(lowering.case.part, lowering.case.tank, pose_of(lowering, way)).holds


def pose_of(lowering: Lowering, way: Lowered) -> Pose:
    """Return the pose (tank from part) of one way to let the part down."""
    case = lowering.case
    shift = way.shift_mm - way.rotation @ case.points.middle_mm
    return Pose(f"tank {case.tank.name}", f"part {case.part.name}", way.rotation, shift)


def pass_of(lowering: Lowering, way: Lowered) -> Pass:
    """Return what one pass wets, and its liquid."""
    case = lowering.case
    part, tank = case.part, case.tank
    pose = pose_of(lowering, way)
    wet_mm2 = float(wet_areas_mm2(part.skin, way.up[None, :], np.array([way.line_mm]))[0])
    heights = lowering.outline_mm @ way.up + float(way.shift_mm[2])
    return Pass(
        pose,
        lowering.level_mm,
        covered(lowering, way),
        fill_at(part, pose, tank, lowering.level_mm),
        wet_mm2 / MM2_PER_M2,
        float(heights.min()),
        float(heights.max()),
        way.held_by,
    )


def covered(lowering: Lowering, *ways: Lowered) -> float:
    """Return the share of the surface that passes wet between them."""
    ups = np.array([way.up for way in ways])
    return 1.0 - dry_share(lowering.case.part.skin, ups, np.array([way.line_mm for way in ways]))
