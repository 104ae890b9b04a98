"""Whether the part goes under in one pass, how it should hang, and how much liquid that takes.

The verdict comes from the certified search (`geometry/search.py`), the liquid from `fill`, and every "fits"
is looked at again by `prove`, which shares no code with the search, before it is given.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.envelope import Envelope
from fitcheck.geometry.place import place
from fitcheck.geometry.pockets import Vessel
from fitcheck.geometry.search import FIT_MM, Budget, Least
from fitcheck.questions.advice import advice, advised
from fitcheck.questions.case import Case, case_of, in_room, left_mm, level_search, pose_in
from fitcheck.questions.cures import cures
from fitcheck.questions.fill import covering_level_mm
from fitcheck.questions.prove import recheck
from fitcheck.questions.ways_up import vessel_of
from fitcheck.things.answers import (
    Answer,
    Deciding,
    DoesNotFit,
    Effort,
    Fits,
    LeastLevel,
    MeasureAgain,
    NotFound,
    Prefer,
    Proof,
    Spare,
    Verdict,
)
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, Pose
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank

# A spare is printed to 1/16 in; it is proven to a hundredth of a mm, or to a thousandth of itself.
SPARE_BUDGET = Budget(gap_mm=0.005, gap_share=1e-3, most_cells=150_000)
# A level is read off a stick to about 1 mm.
LEVEL_BUDGET = Budget(gap_mm=0.1, gap_share=2e-4, most_cells=100_000)
POSE_BUDGET = Budget(most_cells=60_000)
# Angles are set with a spirit level: whole degrees where they work, else finer.
ANGLE_STEPS_DEG = (1.0, 0.5, 0.1)
# Steps of an angle that are whole but for rounding stay where they are.
ALREADY_ROUND = 1e-9
# The exact check may differ by what the search forgives, and rounding of sums of metres.
CHECK_MM = 2.0 * FIT_MM
# Sides within this of the tightest decide too: less is not read off a tape.
CLOSE_MM = 0.5
# A share of the load on a plane under this is rounding.
BEARS = 1e-9


def dip(  # noqa: PLR0913, PLR0917 - each is a choice of its own
    part: Part,
    tank: Tank,
    prefer: Prefer = "level",
    angles: Angles | None = None,
    level_mm: float | None = None,
    with_cures: bool = True,
    vessel: Vessel | None = None,
) -> Answer:
    """Tell whether the part goes under in one pass, how to hang it, and how much liquid that takes.

    prefer: "level" advises the least tilted pose that works, and passes over those that catch more air than
    the part's limit where another is found; "least-liquid" the lowest level, "most-room" the largest spare,
    "best-drain" the least air going in and liquid coming out. angles: look at this one attitude only.
    level_mm: the surface wanted, part in; without it, the lowest that covers the part. with_cures: when it
    does not fit, look for single changes that help. vessel: of the part, where it is at hand (`vessel_of`).

    Returns `Fits`, `DoesNotFit`, `MeasureAgain` (the tapes decide) or `NotFound` (not shown either way within
    the effort). Raises `Refused` for a level under the floor, and RuntimeError where the exact check does not
    bear out the search.
    """
    known = _looked_into(part, tank, angles)
    case, room, verdict = known.case, known.room, known.verdict
    deciding = _deciding(case, room, known.found.angles_rad)
    reason = _reason(verdict, deciding, angles is not None)
    effort = Effort(known.proof.cells, known.proof.open_share)
    common = (part.name, tank.name, reason, known.spare, effort)
    roomiest = pose_in(case, room, known.found.angles_rad)
    if verdict == "does not fit":
        leaves = Proof(known.proof.leaves.middle_rad, known.proof.leaves.half_rad)
        helps = cures(part, tank, case.turns, case.tape_mm) if with_cures else ()
        return DoesNotFit(*common, roomiest, leaves, deciding, helps)
    if verdict == "not found":
        return NotFound(*common, roomiest, _next_try(case), deciding)
    vessel = vessel or vessel_of(part)
    least = _least_of(known)
    if verdict == "measure again" or least is None:
        return MeasureAgain(*common, advice(case, room, roomiest, level_mm, vessel), deciding, least)
    pose = _advised_pose(known, prefer, vessel)
    return Fits(*common, advice(case, room, pose, level_mm, vessel), roomiest, least, deciding)


@dataclass(frozen=True, slots=True)
class InShort:
    """A verdict, its spare, and where it goes under the tilt advised and the least level that covers it."""

    verdict: Verdict
    spare: Spare
    tilt_rad: float | None = None
    level_mm: float | None = None


def in_short(part: Part, tank: Tank, vessel: Vessel) -> InShort:
    """Return what `dip` says in short, without what takes long and a chart does not show."""
    known = _looked_into(part, tank, None)
    if known.verdict in {"does not fit", "not found"}:
        return InShort(known.verdict, known.spare)
    least = _least_of(known)
    if known.verdict == "measure again" or least is None:
        pose = pose_in(known.case, known.room, known.found.angles_rad)
        level = least.level_mm if least else covering_level_mm(part, pose, tank)
        return InShort("measure again", known.spare, pose.angles.tilt_rad, level)
    pose = _advised_pose(known, "level", vessel)
    return InShort("fits", known.spare, pose.angles.tilt_rad, least.level_mm)


@dataclass(frozen=True, slots=True, eq=False)
class _Known:
    """What the search for spare found: in which room it found most, and what bounds it."""

    case: Case
    room: Envelope
    found: Least
    proof: Least
    spare: Spare
    verdict: Verdict


def _looked_into(part: Part, tank: Tank, angles: Angles | None) -> _Known:
    case = case_of(part, tank, angles)
    proof = _spare_search(case, case.outer)
    found, room = proof, case.outer
    if case.rooms != (case.outer,):
        tries = [(_spare_search(case, bay), bay) for bay in case.rooms]
        found, room = min(tries, key=lambda pair: pair[0].tau_mm, default=(proof, case.outer))
    spare = Spare(
        mm=-found.tau_mm,
        at_most_mm=-proof.at_least_mm,
        low_mm=-found.tau_mm - case.tape_mm,
        high_mm=-proof.at_least_mm + case.tape_mm,
    )
    verdict = decide(spare, proof.closed and case.rooms == (case.outer,))
    if verdict != "does not fit" and not case.rooms:
        verdict = "not found"
    return _Known(case, room, found, proof, spare, verdict)


def _least_of(known: _Known) -> LeastLevel | None:
    return _least_level(known.case, known.room, known.found) if known.spare.mm >= -FIT_MM else None


def _advised_pose(known: _Known, prefer: Prefer, vessel: Vessel) -> Pose:
    """Return the pose to advise, looked at again by exact distance."""
    case, room = known.case, known.room
    pose = pose_in(case, room, advised(case, room, known.found, prefer, vessel))
    _look_again(case.part, case.tank, pose)
    return pose


def decide(spare: Spare, closed: bool) -> Verdict:
    """Return the verdict by the tape rule; closed: the search left no rotation and no region out."""
    if spare.low_mm >= -FIT_MM:
        return "fits"
    if spare.high_mm < 0.0:
        return "does not fit"
    tape = spare.mm - spare.low_mm
    inside_tape = spare.mm + tape >= 0.0 and spare.at_most_mm - tape < 0.0
    return "measure again" if closed or inside_tape else "not found"


def _spare_search(case: Case, room: Envelope) -> Least:
    return in_room(case, room).least(case.turns, SPARE_BUDGET)


def _least_level(case: Case, room: Envelope, found: Least) -> LeastLevel:
    """Search the lowest level in the room where the part fits; the bound holds for every room."""
    best = level_search(case, room, found.angles_rad)
    bound = best if room is case.outer else level_search(case, case.outer, found.angles_rad)
    cover = case.tank.rules.cover_mm
    pose = pose_in(case, room, best.angles_rad)
    return LeastLevel(best.tau_mm + cover, min(best.tau_mm, bound.at_least_mm) + cover, pose)


def _look_again(part: Part, tank: Tank, pose: Pose) -> None:
    """Have the pose checked by exact mesh distance; a disagreement is a fault of the code, never hidden."""
    check = recheck(part, tank, pose)
    if check.spare_mm < -CHECK_MM:
        raise RuntimeError(
            f"{part.name} in {tank.name}: the exact check finds {check.gaps[0].between} too near by "
            f"{-check.spare_mm:.6f} mm where the search found room"
        )


def _deciding(case: Case, room: Envelope, angles_rad: Floats) -> tuple[Deciding, ...]:
    """Return the sides of the tank that leave least room at a rotation."""
    left = left_mm(case, room, angles_rad)
    if room.complete and case.tank.is_box:
        sides: list[Deciding] = []
        for side, axis in (("length", 0), ("width", 1), ("height", 2)):
            pair = np.abs(room.normals[:, axis]) > 0.5
            sides.append(Deciding(side, float(left[pair].sum()) / 2.0))  # type: ignore[arg-type]
        least = min(side.spare_mm for side in sides)
        return tuple(side for side in sides if side.spare_mm <= least + max(case.tape_mm, CLOSE_MM))
    held_by = place(room, left[None, :], np.ones(len(left)))
    upright = room.is_floor | room.is_rim
    by_height = held_by.weights[0, upright].sum() > BEARS
    by_walls = held_by.weights[0, ~upright].sum() > BEARS
    spare = -float(held_by.tau_mm[0])
    named = (("height", by_height), ("walls", by_walls))
    return tuple(Deciding(side, spare) for side, bears in named if bears)  # type: ignore[arg-type]


def _reason(verdict: Verdict, deciding: tuple[Deciding, ...], one_attitude: bool) -> str:
    sides = " and ".join(side.side for side in deciding)
    where = "hung like this there is not" if one_attitude else "at no allowed tilt, roll and swing is there"
    if verdict == "fits":
        return f"it goes under with every clearance kept, tapes included; least room in {sides}"
    if verdict == "does not fit":
        return f"proven: {where} room enough; short in {sides}"
    if verdict == "measure again":
        return f"it is a matter of the tape; measure again what decides: {sides}"
    return "neither shown nor refused: something stands in the way, or the search was ended by its effort"


def _next_try(case: Case) -> str:
    if case.tank.standing:
        names = ", ".join(thing.name for thing in case.tank.standing)
        return f"take out or move {names}, or try a fixed tilt, roll and swing"
    return "set tilt_at_most, roll_at_most or swing_at_most for the part, or try a fixed tilt, roll and swing"
