"""Whether the part goes under in one pass, how it should hang, and how much liquid that takes.

The verdict comes from the certified search (`geometry/search.py`), the liquid from `fill`, and every "fits"
is looked at again by `prove`, which shares no code with the search, before it is given.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.geometry.distance import Surface
from fitcheck.geometry.envelope import Envelope
from fitcheck.geometry.juts import JUT
from fitcheck.geometry.place import place
from fitcheck.geometry.pockets import Vessel
from fitcheck.geometry.search import FIT_MM, Budget, Least
from fitcheck.geometry.settling import Settled
from fitcheck.questions.advice import advice, advised, spare_in
from fitcheck.questions.among import (
    Found,
    eased,
    found_among,
    liftable,
    lowest_from,
    pose_of,
    room_about,
    roomiest,
    rooms_by_faces,
)
from fitcheck.questions.at_hand import AtHand
from fitcheck.questions.case import Case, case_of, in_room, left_mm, level_search, pose_in
from fitcheck.questions.cures import cures
from fitcheck.questions.fill import covering_level_mm
from fitcheck.questions.getting_in import needs_a_way, way_in
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
# The exact check may differ by what the search forgives, and rounding of sums of metres.
CHECK_MM = 2.0 * FIT_MM
# Sides within this of the tightest decide too: less is not read off a tape.
CLOSE_MM = 0.5
# Poses for which a way in is looked for.
MOST_TRIES = 2
NO_WAY = "it would hang there clear of everything, but no way was found to lower it to that place"
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
    case = case_of(part, tank, angles)
    wishes = _Wishes(prefer, level_mm, angles is not None, vessel)
    proof = _spare_search(case, case.outer)
    bound = _Bound(-proof.at_least_mm, proof.closed, Effort(proof.cells, proof.open_share))
    if tank.standing and decide(_spare(case, -proof.tau_mm, bound), proof.closed) != "does not fit":
        answer = _among(case, bound, wishes)
        return _with_what_helps(answer, part, tank, angles) if with_cures else answer
    spare = _spare(case, -proof.tau_mm, bound)
    if decide(spare, proof.closed) != "does not fit":
        return _in_room(case, case.outer, proof, bound, wishes)
    deciding = _deciding(case, case.outer, proof.angles_rad)
    leaves = Proof(proof.leaves.middle_rad, proof.leaves.half_rad)
    helps = cures(part, tank, case.turns, case.tape_mm) if with_cures else ()
    reason = _reason("does not fit", deciding, wishes.one_attitude)
    roomiest = pose_in(case, case.outer, proof.angles_rad)
    return DoesNotFit(part.name, tank.name, reason, spare, bound.effort, roomiest, leaves, deciding, helps)


def _with_what_helps(answer: Answer, part: Part, tank: Tank, angles: Angles | None) -> Answer:
    """Return an answer that refuses with what it is enough to take out of the tank, looked for one by one."""
    if not isinstance(answer, DoesNotFit):
        return answer
    # What juts into the tank is part of it.
    loose = [thing for thing in (*tank.blocks, *tank.fittings) if thing.solid.source != JUT]
    for thing in loose:
        without = dip(part, tank.without(thing.name), angles=angles, with_cures=False)
        if isinstance(without, Fits):
            return replace(answer, reason=f"{answer.reason}; with {thing.name} taken out it goes under")
    return answer


@dataclass(frozen=True, slots=True)
class InShort:
    """A verdict, its spare, and where it goes under the tilt advised and the least level that covers it."""

    verdict: Verdict
    spare: Spare
    tilt_rad: float | None = None
    level_mm: float | None = None


def in_short(at_hand: AtHand, tank: Tank) -> InShort:
    """Return what `dip` says in short, without what takes long and a chart does not show."""
    part = at_hand.part
    if needs_a_way(tank):
        return _shortened(dip(part, tank, with_cures=False, vessel=at_hand.vessel))
    case = case_of(part, tank)
    proof = _spare_search(case, case.outer)
    bound = _Bound(-proof.at_least_mm, proof.closed, Effort(proof.cells, proof.open_share))
    spare = _spare(case, -proof.tau_mm, bound)
    verdict = decide(spare, proof.closed)
    if verdict in {"does not fit", "not found"}:
        return InShort(verdict, spare)
    least = _least_level(case, case.outer, proof) if spare.mm >= -FIT_MM else None
    if verdict == "measure again" or least is None:
        pose = pose_in(case, case.outer, proof.angles_rad)
        level = least.level_mm if least else covering_level_mm(part, pose, tank)
        return InShort("measure again", spare, pose.angles.tilt_rad, level)
    pose = pose_in(case, case.outer, advised(case, case.outer, proof, "level", at_hand))
    _look_again(part, tank, pose, at_hand.surface)
    return InShort("fits", spare, pose.angles.tilt_rad, least.level_mm)


def _shortened(answer: Answer) -> InShort:
    match answer:
        case Fits(advice=told, least=LeastLevel(level_mm=level)):
            return InShort(answer.verdict, answer.spare, told.pose.angles.tilt_rad, level)
        case MeasureAgain(advice=told, least=least):
            level = least.level_mm if least else told.fill.level_mm
            return InShort(answer.verdict, answer.spare, told.pose.angles.tilt_rad, level)
        case _:
            return InShort(answer.verdict, answer.spare)


@dataclass(frozen=True, slots=True, eq=False)
class _Wishes:
    """What was asked for: see `dip`."""

    prefer: Prefer
    level_mm: float | None
    one_attitude: bool
    vessel: Vessel | None


@dataclass(frozen=True, slots=True)
class _Bound:
    """The most spare that any pose has, whether all poses were looked at, and the effort of that."""

    at_most_mm: float
    closed: bool
    effort: Effort


def _in_room(case: Case, room: Envelope, found: Least, bound: _Bound, wishes: _Wishes) -> Answer:
    """Return the answer for a convex room in which the search found that rotation."""
    spare = _spare(case, -found.tau_mm, bound)
    verdict = decide(spare, bound.closed)
    deciding = _deciding(case, room, found.angles_rad)
    reason = _reason(verdict, deciding, wishes.one_attitude)
    common = (case.part.name, case.tank.name, reason, spare, bound.effort)
    roomiest = pose_in(case, room, found.angles_rad)
    if verdict == "not found":
        return NotFound(*common, roomiest, _next_try(case), deciding)
    vessel = wishes.vessel or vessel_of(case.part)
    least = _least_level(case, room, found) if spare.mm >= -FIT_MM else None
    if verdict == "measure again" or least is None:
        told = advice(case, roomiest, spare_in(case, room, roomiest), wishes.level_mm, vessel)
        return MeasureAgain(*common, told, deciding, least)
    pose = pose_in(case, room, advised(case, room, found, wishes.prefer, AtHand(case.part, vessel)))
    way = None
    if needs_a_way(case.tank):
        got = way_in(case, pose, roomiest)
        if got is None:
            common = (case.part.name, case.tank.name, NO_WAY, spare, bound.effort)
            return NotFound(*common, roomiest, _next_try(case), deciding)
        pose, way = got
    _look_again(case.part, case.tank, pose)
    told = advice(case, pose, spare_in(case, room, pose), wishes.level_mm, vessel)
    return Fits(*common, told, roomiest, least, deciding, way_in=way)


def _among(case: Case, bound: _Bound, wishes: _Wishes) -> Answer:
    """Return the answer for a tank in which things stand that would do without them."""
    if wishes.one_attitude:
        at_once = _beside(case, bound, wishes)
        if at_once is not None:
            return at_once
    among = found_among(case)
    if among.at_most_mm < bound.at_most_mm:
        bound = _Bound(among.at_most_mm, True, Effort(among.looked, among.open_share))
    else:
        bound = _Bound(bound.at_most_mm, False, Effort(among.looked, among.open_share))
    no_way = None
    for found in among.poses[:MOST_TRIES] if among.proof is None else ():
        room = room_about(case, found.pose)
        least = None if room is None else _spare_search(case, room)
        if room is not None and least and -least.tau_mm >= min(case.tape_mm, found.spare_mm) - FIT_MM:
            answer = _in_room(case, room, least, bound, wishes)
        elif found.spare_mm >= case.tape_mm - FIT_MM:
            answer = _astride(case, found, (bound, wishes), wishes.vessel or vessel_of(case.part))
        else:
            continue
        if not isinstance(answer, NotFound):
            return answer
        no_way = answer if no_way is None else no_way
    for found in liftable(case) if no_way is not None else ():
        answer = _told(case, (found,) * 3, (bound, wishes), wishes.vessel or vessel_of(case.part))
        if not isinstance(answer, NotFound):
            return answer
    return _without_a_pose(case, among, bound, wishes) if no_way is None else no_way


def _beside(case: Case, bound: _Bound, wishes: _Wishes) -> Answer | None:
    """Return the answer where at one attitude the part has room behind a face of each thing; None else."""
    tries = [(_spare_search(case, room), room) for room in rooms_by_faces(case)]
    if not tries:
        return None
    found, room = min(tries, key=lambda pair: pair[0].tau_mm)
    if -found.tau_mm < case.tape_mm - FIT_MM:
        return None
    bound = _Bound(bound.at_most_mm, False, bound.effort)
    answer = _in_room(case, room, found, bound, wishes)
    return None if isinstance(answer, NotFound) else answer


def _without_a_pose(case: Case, among: Found, bound: _Bound, wishes: _Wishes) -> Answer:
    """Return the answer where no pose clear of everything, tapes included, was found."""
    best = among.poses[0]
    nearest = pose_of(case, best.pose)
    if not math.isfinite(best.spare_mm):
        best = Settled(best.pose, recheck(case.part, case.tank, nearest).spare_mm)
    spare = _spare(case, min(best.spare_mm, bound.at_most_mm), bound)
    verdict = decide(spare, bound.closed)
    common = (case.part.name, case.tank.name, _reason_among(case, verdict), spare, bound.effort)
    if verdict == "does not fit" and among.proof is not None:
        return DoesNotFit(*common, nearest, among.proof)
    if verdict == "measure again":
        vessel = wishes.vessel or vessel_of(case.part)
        return MeasureAgain(*common, advice(case, nearest, best.spare_mm, wishes.level_mm, vessel), ())
    return NotFound(*common, nearest, _next_try(case))


def _astride(case: Case, found: Settled, asked: tuple[_Bound, _Wishes], vessel: Vessel) -> Answer:
    """Return the answer for a part that goes round something: no convex room has it."""
    wishes = asked[1]
    most = roomiest(case, found)
    low = lowest_from(case, most)
    chosen = {"most-room": most, "least-liquid": lowest_from(case, found)}.get(
        wishes.prefer, eased(case, most)
    )
    most = max(most, chosen, key=lambda pose: pose.spare_mm)
    return _told(case, (chosen, most, low), asked, vessel)


def _told(
    case: Case, poses: tuple[Settled, Settled, Settled], asked: tuple[_Bound, _Wishes], vessel: Vessel
) -> Answer:
    """Return the answer for a pose chosen, the roomiest and the lowest, if there is a way in to one."""
    bound, wishes = asked
    chosen, most, low = poses
    lowest = pose_of(case, low.pose)
    spare = _spare(case, most.spare_mm, bound)
    got = way_in(case, *(pose_of(case, each.pose) for each in (chosen, most)))
    if got is None:
        names = (case.part.name, case.tank.name)
        return NotFound(*names, NO_WAY, spare, bound.effort, pose_of(case, chosen.pose), _next_try(case))
    pose, way = got
    has_mm = recheck(case.part, case.tank, pose).spare_mm
    _look_again(case.part, case.tank, pose)
    level = covering_level_mm(case.part, lowest, case.tank)
    under = _level_bound_mm(case, low.pose[:3])
    return Fits(
        case.part.name,
        case.tank.name,
        _reason_among(case, "fits"),
        spare,
        bound.effort,
        advice(case, pose, min(has_mm, most.spare_mm), wishes.level_mm, vessel),
        pose_of(case, most.pose),
        LeastLevel(level, min(level, under), lowest),
        way_in=way,
    )


def _spare(case: Case, mm: float, bound: _Bound) -> Spare:
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


def _spare_search(case: Case, room: Envelope) -> Least:
    return in_room(case, room).least(case.turns, SPARE_BUDGET)


def _least_level(case: Case, room: Envelope, found: Least) -> LeastLevel:
    """Search the lowest level in the room where the part fits; the bound holds for every room."""
    best = level_search(case, room, found.angles_rad)
    cover = case.tank.rules.cover_mm
    bound = best.at_least_mm + cover if room is case.outer else _level_bound_mm(case, found.angles_rad)
    pose = pose_in(case, room, best.angles_rad)
    return LeastLevel(best.tau_mm + cover, min(best.tau_mm + cover, bound), pose)


def _level_bound_mm(case: Case, angles_rad: Floats) -> float:
    """Return a level under which no pose is covered, whatever stands in the tank."""
    return level_search(case, case.outer, angles_rad).at_least_mm + case.tank.rules.cover_mm


def _look_again(part: Part, tank: Tank, pose: Pose, surface: Surface | None = None) -> None:
    """Have the pose checked by exact mesh distance; a disagreement is a fault of the code, never hidden."""
    check = recheck(part, tank, pose, surface)
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


def _reason_among(case: Case, verdict: Verdict) -> str:
    names = ", ".join(thing.name for thing in case.tank.standing)
    if verdict == "fits":
        return f"it goes under round {names}, with every clearance kept, tapes included"
    if verdict == "does not fit":
        return f"proven: with {names} in the tank there is no pose that keeps every clearance"
    if verdict == "measure again":
        return f"it is a matter of the tape; measure again {names} and the part"
    return f"no pose clear of {names} was found, nor shown to be impossible"


def _next_try(case: Case) -> str:
    if case.tank.standing:
        names = ", ".join(thing.name for thing in case.tank.standing)
        return f"take out or move {names}, or try a fixed tilt, roll and swing"
    return "set tilt_at_most, roll_at_most or swing_at_most for the part, or try a fixed tilt, roll and swing"
