"""Whether the part goes under in one pass, how it should hang, and how much liquid that takes.

The verdict comes from the certified search (`geometry/search.py`), the liquid from `fill`, and every "fits"
is looked at again by `prove`, which shares no code with the search, before it is given.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.cells import Allowed
from fitcheck.geometry.envelope import Envelope, envelope_of
from fitcheck.geometry.place import hung_low, place
from fitcheck.geometry.points import Points
from fitcheck.geometry.search import FIT_MM, Budget, Least, Search, how_turned
from fitcheck.geometry.support import farthest
from fitcheck.geometry.turns import allowed, held
from fitcheck.questions.bays import bays
from fitcheck.questions.cures import cures
from fitcheck.questions.fill import covering_level_mm, fill_at
from fitcheck.questions.prove import recheck
from fitcheck.things.answers import (
    Advice,
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
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank
from fitcheck.words.units import RAD_PER_DEGREE

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


@dataclass(frozen=True, slots=True, eq=False)
class _Case:
    """One part in one tank: everything that the steps below share."""

    part: Part
    tank: Tank
    points: Points
    outer: Envelope
    rooms: tuple[Envelope, ...]
    turns: Allowed
    tape_mm: float


def dip(
    part: Part,
    tank: Tank,
    prefer: Prefer = "level",
    angles: Angles | None = None,
    level_mm: float | None = None,
    with_cures: bool = True,
) -> Answer:
    """Tell whether the part goes under in one pass, how to hang it, and how much liquid that takes.

    prefer: "level" advises the least tilted pose that works, "least-liquid" the lowest level, "most-room"
    the largest spare. angles: look at this one attitude only. level_mm: the surface wanted, part in; without
    it, the lowest that covers the part. with_cures: when it does not fit, look for single changes that help.

    Returns `Fits`, `DoesNotFit`, `MeasureAgain` (the tapes decide) or `NotFound` (not shown either way within
    the effort). Raises `Refused` for a level under the floor, and RuntimeError where the exact check does not
    bear out the search.
    """
    case = _case(part, tank, angles)
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
    deciding = _deciding(case, room, found.angles_rad)
    reason = _reason(verdict, deciding)
    common = (part.name, tank.name, reason, spare, Effort(proof.cells, proof.open_share))
    roomiest = _pose(case, room, found.angles_rad)
    if verdict == "does not fit":
        leaves = Proof(proof.leaves.middle_rad, proof.leaves.half_rad)
        helps = cures(part, tank, case.turns, case.tape_mm) if with_cures else ()
        return DoesNotFit(*common, roomiest, leaves, deciding, helps)
    if verdict == "not found":
        return NotFound(*common, roomiest, _next_try(case), deciding)
    least = _least_level(case, room, found) if spare.mm >= -FIT_MM else None
    if verdict == "measure again" or least is None:
        return MeasureAgain(*common, _advice(case, room, roomiest, level_mm), deciding, least)
    pose = _pose(case, room, _advised(case, room, found, prefer))
    _look_again(part, tank, pose)
    return Fits(*common, _advice(case, room, pose, level_mm), roomiest, least, deciding)


def decide(spare: Spare, closed: bool) -> Verdict:
    """Return the verdict by the tape rule; closed: the search left no rotation and no region out."""
    if spare.low_mm >= -FIT_MM:
        return "fits"
    if spare.high_mm < 0.0:
        return "does not fit"
    tape = spare.mm - spare.low_mm
    inside_tape = spare.mm + tape >= 0.0 and spare.at_most_mm - tape < 0.0
    return "measure again" if closed or inside_tape else "not found"


def _case(part: Part, tank: Tank, angles: Angles | None) -> _Case:
    points = Points(part.solid.vertices_mm)
    outer = envelope_of(tank)
    turns = held(angles) if angles else allowed(part.attitude, points, outer)
    tape_part = tank.rules.tape_part_mm if part.tape_mm is None else part.tape_mm
    tape = (tape_part + tank.rules.tape_tank_mm) / 2.0 + part.chord_mm + tank.chord_mm
    return _Case(part, tank, points, outer, bays(tank, outer), turns, tape)


def _in(room: Envelope, case: _Case) -> Search:
    """Return the search whose tau is minus the spare: every plane gives way alike."""
    return Search(case.points, room, np.ones(len(room.normals)))


def _spare_search(case: _Case, room: Envelope) -> Least:
    return _in(room, case).least(case.turns, SPARE_BUDGET)


def _left_mm(case: _Case, room: Envelope, angles_rad: Floats) -> Floats:
    """Return how far the part's middle may still go towards each plane (m,) at a rotation."""
    return np.asarray(room.offsets_mm - farthest(case.points.all_mm, room, angles_rad[None, :])[1][0])


def _least_level(case: _Case, room: Envelope, found: Least) -> LeastLevel:
    """Search the lowest level in the room where the part fits; the bound holds for every room."""
    best = _level_search(case, room, found.angles_rad)
    bound = best if room is case.outer else _level_search(case, case.outer, found.angles_rad)
    cover = case.tank.rules.cover_mm
    pose = _pose(case, room, best.angles_rad)
    return LeastLevel(best.tau_mm + cover, min(best.tau_mm, bound.at_least_mm) + cover, pose)


def _level_search(case: _Case, room: Envelope, first_rad: Floats) -> Least:
    rim = np.where(room.is_rim, 1.0, 0.0)
    lowered = room.with_offsets(np.where(room.is_rim, 0.0, room.offsets_mm))
    highest = float(room.offsets_mm[room.is_rim].min())
    return Search(case.points, lowered, rim).least(
        case.turns, LEVEL_BUDGET, highest + FIT_MM, first_rad[None, :]
    )


def _advised(case: _Case, room: Envelope, found: Least, prefer: Prefer) -> Floats:
    """Return the rotation (swing, tilt, roll) to advise."""
    if prefer == "most-room" or (case.turns.low_rad == case.turns.high_rad).all():
        return found.angles_rad
    # The lowest and the least tilted pose lie at the edge of what fits: the tapes are kept in hand.
    tight = room.with_offsets(room.offsets_mm - case.tape_mm)
    if prefer == "least-liquid":
        lowest = _level_search(case, tight, found.angles_rad)
        return lowest.angles_rad if math.isfinite(lowest.tau_mm) else found.angles_rad
    search = _in(tight, case)
    simplest = search.simplest(case.turns, POSE_BUDGET)
    return found.angles_rad if simplest is None else _rounded(search, simplest, case.turns)


def _rounded(search: Search, angles_rad: Floats, turns: Allowed) -> Floats:
    """Return the nearest angles in whole degrees that fit too, else halves, else tenths, else as they are."""
    for step_deg in ANGLE_STEPS_DEG:
        step = step_deg * RAD_PER_DEGREE
        corners = np.stack(np.meshgrid([0, 1], [0, 1], [0, 1], indexing="ij"), axis=-1).reshape(-1, 3)
        near = (np.floor(angles_rad / step + ALREADY_ROUND) + corners) * step
        near = near[((near >= turns.low_rad) & (near <= turns.high_rad)).all(axis=1)]
        if len(near):
            fits = near[search.tau_at(near) <= FIT_MM]
            if len(fits):
                return np.asarray(fits[np.argmin(how_turned(fits))])
    return angles_rad


def _pose(case: _Case, room: Envelope, angles_rad: Floats) -> Pose:
    """Return the pose at a rotation: hung as low as the room lets it, in the middle in plan.

    Where the part does not fit, every plane gives way alike, by just as much as it must.
    """
    swing, tilt, roll = (float(angle) for angle in angles_rad)
    rotation = rotation_from(Angles(tilt, roll, swing))
    tau = float(_in(room, case).tau_at(angles_rad[None, :])[0])
    shift = hung_low(room, _left_mm(case, room, angles_rad) + max(tau, 0.0))
    shift = shift - rotation @ case.points.middle_mm
    return Pose(f"tank {case.tank.name}", f"part {case.part.name}", rotation, shift)


def _advice(case: _Case, room: Envelope, pose: Pose, level_mm: float | None) -> Advice:
    spare = -float(_in(room, case).tau_at(held(pose.angles).middle_rad[None, :])[0])
    level = covering_level_mm(case.part, pose, case.tank) if level_mm is None else level_mm
    return Advice(pose, spare, fill_at(case.part, pose, case.tank, level))


def _look_again(part: Part, tank: Tank, pose: Pose) -> None:
    """Have the pose checked by exact mesh distance; a disagreement is a fault of the code, never hidden."""
    check = recheck(part, tank, pose)
    if check.spare_mm < -CHECK_MM:
        raise RuntimeError(
            f"{part.name} in {tank.name}: the exact check finds {check.gaps[0].between} too near by "
            f"{-check.spare_mm:.6f} mm where the search found room"
        )


def _deciding(case: _Case, room: Envelope, angles_rad: Floats) -> tuple[Deciding, ...]:
    """Return the sides of the tank that leave least room at a rotation."""
    left = _left_mm(case, room, angles_rad)
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


def _reason(verdict: Verdict, deciding: tuple[Deciding, ...]) -> str:
    sides = " and ".join(side.side for side in deciding)
    if verdict == "fits":
        return f"it goes under with every clearance kept, tapes included; least room in {sides}"
    if verdict == "does not fit":
        return f"proven: at no allowed tilt, roll and swing is there room enough; short in {sides}"
    if verdict == "measure again":
        return f"it is a matter of the tape; measure again what decides: {sides}"
    return "neither shown nor refused: something stands in the way, or the search was ended by its effort"


def _next_try(case: _Case) -> str:
    if case.tank.standing:
        names = ", ".join(thing.name for thing in case.tank.standing)
        return f"take out or move {names}, or try a fixed tilt, roll and swing"
    return "set tilt_at_most, roll_at_most or swing_at_most for the part, or try a fixed tilt, roll and swing"
