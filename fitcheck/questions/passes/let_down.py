"""One part let down as deep as it goes at one attitude, out over the rims where it is too long or wide."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.liquid.fill_level import fill_at
from fitcheck.geometry.liquid.halfspace_area import dry_share, wet_areas_mm2
from fitcheck.geometry.liquid.overhang import ROUNDING_MM, lowest_between
from fitcheck.geometry.poses.dip_problem import DipProblem
from fitcheck.geometry.poses.part_memo import PartMemo
from fitcheck.proving.exact_gaps import recheck_pass
from fitcheck.questions.passes.answer import HeldBy, Pass
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.solid import Floats
from fitcheck.words.units import MM2_PER_M2, MM3_PER_LITRE

HALF = math.pi
# A pose let down with its tapes in hand keeps them but for rounding of sums of metres.
TAPE_ROUNDING_MM = 1e-9
# Halvings of the height over things that stand in the tank: a metre comes down to a hundredth of a mm.
HALVINGS = 17


@dataclass(frozen=True, slots=True, eq=False)
class OverTank:
    """One part over one tank. outline_mm (n, 3): the corners of its hull, centred as case.points are."""

    case: DipProblem
    outline_mm: Floats
    at_hand: PartMemo

    @property
    def level_mm(self) -> float:
        """The highest level that the freeboard leaves."""
        return self.case.tank.depth_mm - self.case.tank.rules.freeboard_mm


@dataclass(frozen=True, slots=True, eq=False)
class LetDown:
    """One way to let the part down; up . p <= line_mm is wet, in the part's frame.

    shift_mm: of the centred part. held_by: what keeps it from going deeper.
    """

    angles: Angles
    rotation: Floats
    shift_mm: Floats
    up: Floats
    line_mm: float
    held_by: HeldBy


def over_tank(case: DipProblem) -> OverTank:
    """Return a part over a tank, with only the points of it that stick out."""
    from scipy.spatial import ConvexHull

    points = case.points.all_mm
    return OverTank(case, points[ConvexHull(points).vertices], PartMemo(case.part))


def let_down(over: OverTank, angles: Angles, tape_mm: float) -> LetDown | None:
    """Return the part let down as deep as it goes at an attitude, every clearance larger by tape_mm.

    None where that attitude is not allowed. Walls are taken as upright and what stands in the tank as not
    there: `settled` looks again.
    """
    case, rules = over.case, over.case.tank.rules
    if not is_allowed(case, angles):
        return None
    length, width, depth = case.tank.size_mm
    clear = rules.side_clearance_mm + tape_mm
    rotation = rotation_from(angles)
    points = over.outline_mm @ rotation.T
    along = lowest_between(points[:, [0, 2]], length, depth, clear)
    across = lowest_between(points[:, [1, 2]], width, depth, clear)
    down = rules.bottom_clearance_mm + tape_mm - float(points[:, 2].min())
    lift = max(down, along.lift_mm, across.lift_mm)
    shift = np.array([along.shift_mm, across.shift_mm, lift])
    held_by: HeldBy = "rim" if lift > down + ROUNDING_MM else "floor"
    return _at(over, angles, shift, held_by)


def _at(over: OverTank, angles: Angles, shift: Floats, held_by: HeldBy) -> LetDown:
    rotation = rotation_from(angles)
    up = rotation[2]
    line = over.level_mm - float(shift[2]) + float(up @ over.case.points.middle_mm)
    return LetDown(angles, rotation, shift, up, line, held_by)


def is_allowed(case: DipProblem, angles: Angles) -> bool:
    """Tell whether the part may be turned so; end for end by hand it may be always."""
    attitude = case.part.attitude
    swing = min(abs(angles.swing_rad), HALF - abs(angles.swing_rad))
    return (
        abs(angles.tilt_rad) <= attitude.tilt_rad
        and abs(angles.roll_rad) <= attitude.roll_rad
        and swing <= attitude.swing_rad
    )


def settled(over: OverTank, way: LetDown, tape_mm: float) -> LetDown | None:
    """Return the way, raised over what stands in the tank if need be; None where exact distances refuse it.

    How far it is raised is found by halving, so where something stands in the way another place in plan may
    let it deeper.
    """
    if _holds(over, way, tape_mm):
        return way
    if not over.case.tank.standing:
        return None
    top = over.case.tank.depth_mm - float((over.outline_mm @ way.up).min())

    def raised(to_mm: float) -> LetDown:
        shift = np.array([way.shift_mm[0], way.shift_mm[1], to_mm])
        return _at(over, way.angles, shift, "what stands there")

    low, high = float(way.shift_mm[2]), top
    if not _holds(over, raised(high), tape_mm):
        return None
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (low, middle) if _holds(over, raised(middle), tape_mm) else (middle, high)
    return raised(high)


def _holds(over: OverTank, way: LetDown, tape_mm: float) -> bool:
    found = recheck_pass(over.case.part, over.case.tank, pose_of(over, way))
    return found.spare_mm >= tape_mm - max(found.tolerance_mm, TAPE_ROUNDING_MM if tape_mm else 0.0)


def pose_of(over: OverTank, way: LetDown) -> Pose:
    """Return the pose (tank from part) of one way to let the part down."""
    case = over.case
    shift = way.shift_mm - way.rotation @ case.points.middle_mm
    return Pose(f"tank {case.tank.name}", f"part {case.part.name}", way.rotation, shift)


def pass_of(over: OverTank, way: LetDown, level_mm: float) -> Pass:
    """Return what one pass wets up to a level, its liquid, and the air that the part keeps."""
    case = over.case
    part, tank = case.part, case.tank
    pose = pose_of(over, way)
    wet_mm2 = float(wet_areas_mm2(part.skin, way.up[None, :], np.array([way.line_mm]))[0])
    heights = over.outline_mm @ way.up + float(way.shift_mm[2])
    air_mm3, bare_mm2 = over.at_hand.vessel.held_under(pose.rotation, level_mm - float(pose.shift_mm[2]))
    air_l = air_mm3 / MM3_PER_LITRE
    return Pass(
        pose,
        level_mm,
        covered(over, way),
        fill_at(part, pose, tank, level_mm, air_l),
        wet_mm2 / MM2_PER_M2,
        float(heights.min()),
        float(heights.max()),
        way.held_by,
        air_l,
        bare_mm2 / MM2_PER_M2,
    )


def covered(over: OverTank, *ways: LetDown) -> float:
    """Return the share of the surface that passes wet between them."""
    ups = np.array([way.up for way in ways])
    return 1.0 - dry_share(over.case.part.skin, ups, np.array([way.line_mm for way in ways]))
