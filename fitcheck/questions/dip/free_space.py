"""The answer for a part in one convex room of a tank: verdict, how it should hang, how much liquid.

All of an empty tank is such a room. The verdict comes from the certified search (`rotation_search`), and
every "fits" is looked at again by `prove`, which shares no code with the search, before it is given.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from fitcheck.geometry.liquid.attitude_map import vessel_of
from fitcheck.geometry.liquid.pockets import Vessel
from fitcheck.geometry.poses.dip_problem import (
    DipProblem,
    dip_problem,
    in_room,
    left_mm,
    level_search,
    pose_in,
)
from fitcheck.geometry.poses.part_memo import PartMemo
from fitcheck.geometry.rotations.best_shift import best_shift
from fitcheck.geometry.rotations.envelope import Envelope
from fitcheck.geometry.rotations.rotation_search import FIT_MM, Budget, Least
from fitcheck.proving.exact_gaps import recheck
from fitcheck.questions.dip.advice import advice, advised, spare_in
from fitcheck.questions.dip.answer import (
    Deciding,
    DipAnswer,
    Effort,
    Fits,
    LeastLevel,
    MeasureAgain,
    NotFound,
    Prefer,
    Spare,
)
from fitcheck.questions.dip.insertion import needs_a_way, way_in
from fitcheck.things.answer import Verdict
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, Pose
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank

# A spare is printed to 1/16 in; it is proven to a hundredth of a mm, or to a thousandth of itself.
SPARE_BUDGET = Budget(gap_mm=0.005, gap_share=1e-3, most_cells=150_000)
# The exact check may differ by what the search forgives, and rounding of sums of metres.
CHECK_MM = 2.0 * FIT_MM
# Sides within this of the tightest decide too: less is not read off a tape.
CLOSE_MM = 0.5
NO_WAY = "it would hang there clear of everything, but no way was found to lower it to that place"
# A share of the load on a plane under this is rounding.
BEARS = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Wishes:
    """What was asked for: see `dip`."""

    prefer: Prefer
    level_mm: float | None
    one_attitude: bool
    vessel: Vessel | None


@dataclass(frozen=True, slots=True)
class Bound:
    """The most spare that any pose has, whether all poses were looked at, and the effort of that."""

    at_most_mm: float
    closed: bool
    effort: Effort


def answer_in_room(case: DipProblem, room: Envelope, found: Least, bound: Bound, wishes: Wishes) -> DipAnswer:
    """Return the answer for a convex room in which the search found that rotation."""
    spare = spare_of(case, -found.tau_mm, bound)
    verdict = decide(spare, bound.closed)
    deciding = deciding_sides(case, room, found.angles_rad)
    reason = reason_of(verdict, deciding, wishes.one_attitude)
    common = (case.part.name, case.tank.name, reason, spare, bound.effort)
    roomiest = pose_in(case, room, found.angles_rad)
    if verdict == "not found":
        return NotFound(*common, roomiest, next_try(case), deciding)
    vessel = wishes.vessel or vessel_of(case.part)
    least = least_level(case, room, found) if spare.mm >= -FIT_MM else None
    if verdict == "measure again" or least is None:
        told = advice(case, roomiest, spare_in(case, room, roomiest), wishes.level_mm, vessel)
        return MeasureAgain(*common, told, deciding, least)
    angles = advised(case, room, found, wishes.prefer, PartMemo(case.part, vessel))
    tau = float(in_room(case, room).tau_at(angles[None])[0])
    if tau < found.tau_mm - FIT_MM:
        # Within its gap the search for the roomiest may end at one that has less room.
        found, wishes = replace(found, tau_mm=tau, angles_rad=angles), replace(wishes, vessel=vessel)
        return answer_in_room(case, room, found, bound, wishes)
    pose = pose_in(case, room, angles)
    way = None
    if needs_a_way(case.tank):
        got = way_in(case, pose, roomiest)
        if got is None:
            common = (case.part.name, case.tank.name, NO_WAY, spare, bound.effort)
            return NotFound(*common, roomiest, next_try(case), deciding)
        pose, way = got
    check_exactly(case.part, case.tank, pose)
    told = advice(case, pose, spare_in(case, room, pose), wishes.level_mm, vessel)
    return Fits(*common, told, roomiest, least, deciding, way_in=way)


def spare_of(case: DipProblem, mm: float, bound: Bound) -> Spare:
    """Return a spare that some pose has and the bound of all, with what the tapes make of both."""
    return Spare(mm, bound.at_most_mm, mm - case.tape_mm, bound.at_most_mm + case.tape_mm)


def decide(spare: Spare, closed: bool) -> Verdict:
    """Return the verdict by the tape rule; closed: the search left no rotation and no region out."""
    if spare.low_mm >= -FIT_MM:
        return "fits"
    if spare.high_mm < 0.0:
        return "does not fit"
    tape = spare.mm - spare.low_mm
    inside_tape = spare.mm + tape >= 0.0 and spare.at_most_mm - tape < 0.0
    return "measure again" if closed or inside_tape else "not found"


def spare_search(case: DipProblem, room: Envelope) -> Least:
    """Search the largest spare of a room, as what it lacks."""
    return in_room(case, room).least(case.turns, SPARE_BUDGET)


def searched(case: DipProblem) -> tuple[Least, Bound, Spare]:
    """Return the search of the tank alone, what it proves, and the spare that comes of it."""
    found = spare_search(case, case.outer)
    bound = Bound(-found.at_least_mm, found.closed, Effort(found.cells, found.open_share))
    return found, bound, spare_of(case, -found.tau_mm, bound)


def least_level(case: DipProblem, room: Envelope, found: Least) -> LeastLevel:
    """Search the lowest level in the room where the part fits; the bound holds for every room."""
    best = level_search(case, room, found.angles_rad)
    cover = case.tank.rules.cover_mm
    bound = best.at_least_mm + cover if room is case.outer else level_bound_mm(case, found.angles_rad)
    pose = pose_in(case, room, best.angles_rad)
    return LeastLevel(best.tau_mm + cover, min(best.tau_mm + cover, bound), pose)


def level_bound_mm(case: DipProblem, angles_rad: Floats) -> float:
    """Return a level under which no pose is covered, whatever stands in the tank."""
    return level_search(case, case.outer, angles_rad).at_least_mm + case.tank.rules.cover_mm


def check_exactly(part: Part, tank: Tank, pose: Pose) -> None:
    """Have the pose checked by exact mesh distance; a disagreement is a fault of the code, never hidden."""
    check = recheck(part, tank, pose)
    if check.spare_mm < -CHECK_MM:
        raise RuntimeError(
            f"{part.name} in {tank.name}: the exact check finds {check.gaps[0].between} too near by "
            f"{-check.spare_mm:.6f} mm where the search found room"
        )


def deciding_sides(case: DipProblem, room: Envelope, angles_rad: Floats) -> tuple[Deciding, ...]:
    """Return the sides of the tank that leave least room at a rotation."""
    left = left_mm(case, room, angles_rad)
    if room.complete and case.tank.is_box:
        sides: list[Deciding] = []
        for side, axis in (("length", 0), ("width", 1), ("height", 2)):
            pair = np.abs(room.normals[:, axis]) > 0.5
            sides.append(Deciding(side, float(left[pair].sum()) / 2.0))  # type: ignore[arg-type]
        least = min(side.spare_mm for side in sides)
        return tuple(side for side in sides if side.spare_mm <= least + max(case.tape_mm, CLOSE_MM))
    held_by = best_shift(room, left[None, :], np.ones(len(left)))
    upright = room.is_floor | room.is_rim
    by_height = held_by.weights[0, upright].sum() > BEARS
    by_walls = held_by.weights[0, ~upright].sum() > BEARS
    spare = -float(held_by.tau_mm[0])
    named = (("height", by_height), ("walls", by_walls))
    return tuple(Deciding(side, spare) for side, bears in named if bears)  # type: ignore[arg-type]


def tightest_sides(part: Part, tank: Tank, angles: Angles) -> tuple[str, ...]:
    """Return the sides of the tank that leave least room to a part hung at these angles."""
    case = dip_problem(part, tank)
    turned = np.array([angles.swing_rad, angles.tilt_rad, angles.roll_rad])
    return tuple(each.side for each in deciding_sides(case, case.outer, turned))


def reason_of(verdict: Verdict, deciding: tuple[Deciding, ...], one_attitude: bool) -> str:
    """Return why, in words: by the sides that decide."""
    sides = " and ".join(side.side for side in deciding)
    where = "hung like this there is not" if one_attitude else "at no allowed tilt, roll and swing is there"
    if verdict == "fits":
        return f"it goes under with every clearance kept, tapes included; least room in {sides}"
    if verdict == "does not fit":
        return f"proven: {where} room enough; short in {sides}"
    if verdict == "measure again":
        return f"it is a matter of the tape; measure again what decides: {sides}"
    return "neither shown nor refused: something stands in the way, or the search was ended by its effort"


def next_try(case: DipProblem) -> str:
    """Return what may help where nothing was found."""
    if case.tank.standing:
        names = ", ".join(thing.name for thing in case.tank.standing)
        return f"take out or move {names}, or try a fixed tilt, roll and swing"
    return "set tilt_at_most, roll_at_most or swing_at_most for the part, or try a fixed tilt, roll and swing"
