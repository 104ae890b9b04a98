"""Whether the part goes under in one pass, how it should hang, and how much liquid that takes.

The verdict comes from the certified search (`geometry/search.py`), the liquid from `fill`, and every "fits"
is looked at again by `prove`, which shares no code with the search, before it is given.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from fitcheck.geometry.juts import JUT
from fitcheck.geometry.pockets import Vessel
from fitcheck.geometry.search import FIT_MM
from fitcheck.questions.advice import advised
from fitcheck.questions.among_answer import answer_among
from fitcheck.questions.at_hand import AtHand
from fitcheck.questions.case import case_of, pose_in
from fitcheck.questions.cures import cures
from fitcheck.questions.fill import covering_level_mm
from fitcheck.questions.getting_in import needs_a_way
from fitcheck.questions.room_answer import (
    Wishes,
    answer_in_room,
    decide,
    deciding_sides,
    least_level,
    look_again,
    looked_over,
    reason_of,
)
from fitcheck.things.answers import (
    Answer,
    DoesNotFit,
    Fits,
    LeastLevel,
    MeasureAgain,
    Prefer,
    Proof,
    Spare,
    Verdict,
)
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles
from fitcheck.things.tank import Tank


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
    wishes = Wishes(prefer, level_mm, angles is not None, vessel)
    proof, bound, spare = looked_over(case)
    if decide(spare, proof.closed) != "does not fit":
        if not tank.standing:
            return answer_in_room(case, case.outer, proof, bound, wishes)
        answer = answer_among(case, bound, wishes)
        return _with_what_helps(answer, part, tank, angles) if with_cures else answer
    deciding = deciding_sides(case, case.outer, proof.angles_rad)
    leaves = Proof(proof.leaves.middle_rad, proof.leaves.half_rad)
    helps = cures(part, tank, case.turns, case.tape_mm) if with_cures else ()
    reason = reason_of("does not fit", deciding, wishes.one_attitude)
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
    proof, _, spare = looked_over(case)
    verdict = decide(spare, proof.closed)
    if verdict in {"does not fit", "not found"}:
        return InShort(verdict, spare)
    least = least_level(case, case.outer, proof) if spare.mm >= -FIT_MM else None
    if verdict == "measure again" or least is None:
        pose = pose_in(case, case.outer, proof.angles_rad)
        level = least.level_mm if least else covering_level_mm(part, pose, tank)
        return InShort("measure again", spare, pose.angles.tilt_rad, level)
    pose = pose_in(case, case.outer, advised(case, case.outer, proof, "level", at_hand))
    look_again(part, tank, pose)
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
