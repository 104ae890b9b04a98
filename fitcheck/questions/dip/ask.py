"""Whether the part goes under in one pass, how it should hang, and how much liquid that takes.

The verdict comes from the certified search (`rotation_search`), the liquid from `fill`, and every "fits"
is looked at again by `prove`, which shares no code with the search, before it is given.
"""

from __future__ import annotations

from dataclasses import replace

from fitcheck.geometry.convex.concavities import JUT
from fitcheck.geometry.liquid.pockets import Vessel
from fitcheck.geometry.poses.dip_problem import Case, case_of, pose_in
from fitcheck.questions.dip.answer import DipAnswer, DoesNotFit, Fits, Prefer
from fitcheck.questions.dip.cautions import cautions_of
from fitcheck.questions.dip.cures import cures
from fitcheck.questions.dip.free_space import (
    Wishes,
    answer_in_room,
    decide,
    deciding_sides,
    looked_over,
    reason_of,
)
from fitcheck.questions.dip.obstructed_tank import answer_among
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles
from fitcheck.things.proof import Proof
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank


def dip(  # noqa: PLR0913, PLR0917 - each is a choice of its own
    part: Part,
    tank: Tank,
    prefer: Prefer = "level",
    angles: Angles | None = None,
    level_mm: float | None = None,
    with_cures: bool = True,
    vessel: Vessel | None = None,
) -> DipAnswer:
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
    answer = _dipped(case, Wishes(prefer, level_mm, angles is not None, vessel), with_cures)
    if with_cures:
        answer = _with_what_helps(answer, part, tank, angles)
    return replace(answer, cautions=cautions_of(answer, part, tank), asked=Shop.of(part, tank))


def _dipped(case: Case, wishes: Wishes, with_cures: bool) -> DipAnswer:
    proof, bound, spare = looked_over(case)
    if decide(spare, proof.closed) != "does not fit":
        if not case.tank.standing:
            return answer_in_room(case, case.outer, proof, bound, wishes)
        return answer_among(case, bound, wishes)
    deciding = deciding_sides(case, case.outer, proof.angles_rad)
    return DoesNotFit(
        case.part.name,
        case.tank.name,
        reason_of("does not fit", deciding, wishes.one_attitude),
        spare,
        bound.effort,
        pose_in(case, case.outer, proof.angles_rad),
        Proof(proof.leaves.middle_rad, proof.leaves.half_rad),
        deciding,
        cures(case.part, case.tank, case.turns, case.tape_mm) if with_cures else (),
    )


def _with_what_helps(answer: DipAnswer, part: Part, tank: Tank, angles: Angles | None) -> DipAnswer:
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
