"""The answer for a part among what stands in its tank, of which the tank alone would have room for it."""

from __future__ import annotations

import math

from fitcheck.geometry.liquid.attitude_map import vessel_of
from fitcheck.geometry.liquid.fill_level import covering_level_mm
from fitcheck.geometry.liquid.pockets import Vessel
from fitcheck.geometry.poses.dip_problem import DipProblem
from fitcheck.geometry.poses.dip_with_obstacles import (
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
from fitcheck.geometry.poses.pose_relaxation import Settled
from fitcheck.geometry.rotations.rotation_search import FIT_MM
from fitcheck.proving.exact_gaps import recheck
from fitcheck.questions.dip.advice import advice
from fitcheck.questions.dip.answer import (
    DipAnswer,
    DoesNotFit,
    Effort,
    Fits,
    LeastLevel,
    MeasureAgain,
    NotFound,
)
from fitcheck.questions.dip.free_space import (
    NO_WAY,
    Bound,
    Wishes,
    answer_in_room,
    check_exactly,
    decide,
    level_bound_mm,
    next_try,
    spare_of,
    spare_search,
)
from fitcheck.questions.dip.insertion import way_in
from fitcheck.things.answer import Verdict

# Poses for which a way in is looked for.
MOST_TRIES = 2


def answer_among(case: DipProblem, bound: Bound, wishes: Wishes) -> DipAnswer:
    """Return the answer for a tank in which things stand that would do without them."""
    if wishes.one_attitude:
        at_once = _beside(case, bound, wishes)
        if at_once is not None:
            return at_once
    among = found_among(case)
    if among.at_most_mm < bound.at_most_mm:
        bound = Bound(among.at_most_mm, True, Effort(among.evaluated, among.open_share))
    else:
        bound = Bound(bound.at_most_mm, False, Effort(among.evaluated, among.open_share))
    others: list[DipAnswer] = []
    for found in among.poses[:MOST_TRIES] if among.proof is None else ():
        room = room_about(case, found.pose)
        least = None if room is None else spare_search(case, room)
        if room is not None and least and -least.tau_mm >= min(case.tape_mm, found.spare_mm) - FIT_MM:
            answer = answer_in_room(case, room, least, bound, wishes)
        elif found.spare_mm >= case.tape_mm - FIT_MM:
            answer = _astride(case, found, (bound, wishes), wishes.vessel or vessel_of(case.part))
        else:
            continue
        if _lifts_straight(answer):
            return answer
        others.append(answer)
        if isinstance(answer, Fits):
            break
    for found in liftable(case) if others else ():
        answer = _told(case, (found,) * 3, (bound, wishes), wishes.vessel or vessel_of(case.part))
        if _lifts_straight(answer):
            return answer
        others.append(answer)
    # Tilted in only where no pose was found that it goes straight down to.
    goes_in = [answer for answer in others if not isinstance(answer, NotFound)]
    return (goes_in or others or [_without_a_pose(case, among, bound, wishes)])[0]


def _lifts_straight(answer: DipAnswer) -> bool:
    """Tell whether an answer needs no better: it has a pose to which the part goes straight down."""
    if isinstance(answer, Fits) and answer.way_in is not None:
        return answer.way_in.kind == "straight down"
    return not isinstance(answer, NotFound)


def _beside(case: DipProblem, bound: Bound, wishes: Wishes) -> DipAnswer | None:
    """Return the answer where at one attitude the part has room behind a face of each thing; None else."""
    tries = [(spare_search(case, room), room) for room in rooms_by_faces(case)]
    if not tries:
        return None
    found, room = min(tries, key=lambda pair: pair[0].tau_mm)
    if -found.tau_mm < case.tape_mm - FIT_MM:
        return None
    bound = Bound(bound.at_most_mm, False, bound.effort)
    answer = answer_in_room(case, room, found, bound, wishes)
    return None if isinstance(answer, NotFound) else answer


def _without_a_pose(case: DipProblem, among: Found, bound: Bound, wishes: Wishes) -> DipAnswer:
    """Return the answer where no pose clear of everything, tapes included, was found."""
    best = among.poses[0]
    nearest = pose_of(case, best.pose)
    if not math.isfinite(best.spare_mm):
        best = Settled(best.pose, recheck(case.part, case.tank, nearest).spare_mm)
    spare = spare_of(case, min(best.spare_mm, bound.at_most_mm), bound)
    verdict = decide(spare, bound.closed)
    common = (case.part.name, case.tank.name, _reason_among(case, verdict), spare, bound.effort)
    if verdict == "does not fit" and among.proof is not None:
        return DoesNotFit(*common, nearest, among.proof)
    if verdict == "measure again":
        vessel = wishes.vessel or vessel_of(case.part)
        return MeasureAgain(*common, advice(case, nearest, best.spare_mm, wishes.level_mm, vessel), ())
    return NotFound(*common, nearest, next_try(case))


def _astride(case: DipProblem, found: Settled, asked: tuple[Bound, Wishes], vessel: Vessel) -> DipAnswer:
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
    case: DipProblem, poses: tuple[Settled, Settled, Settled], asked: tuple[Bound, Wishes], vessel: Vessel
) -> DipAnswer:
    """Return the answer for a pose chosen, the roomiest and the lowest, if there is a way in to one."""
    bound, wishes = asked
    chosen, most, low = poses
    lowest = pose_of(case, low.pose)
    spare = spare_of(case, most.spare_mm, bound)
    got = way_in(case, *(pose_of(case, each.pose) for each in (chosen, most)))
    if got is None:
        names = (case.part.name, case.tank.name)
        return NotFound(*names, NO_WAY, spare, bound.effort, pose_of(case, chosen.pose), next_try(case))
    pose, way = got
    has_mm = recheck(case.part, case.tank, pose).spare_mm
    check_exactly(case.part, case.tank, pose)
    level = covering_level_mm(case.part, lowest, case.tank)
    under = level_bound_mm(case, low.pose[:3])
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


def _reason_among(case: DipProblem, verdict: Verdict) -> str:
    names = ", ".join(thing.name for thing in case.tank.standing)
    if verdict == "fits":
        return f"it goes under round {names}, with every clearance kept, tapes included"
    if verdict == "does not fit":
        return f"proven: with {names} in the tank there is no pose that keeps every clearance"
    if verdict == "measure again":
        return f"it is a matter of the tape; measure again {names} and the part"
    return f"no pose clear of {names} was found, nor shown to be impossible"
