"""Whether the part goes under in one pass, how it should hang, and how much liquid that takes.

The verdict comes from the certified search (`rotation_search`), the liquid from `fill`, and every "fits"
is looked at again by `prove`, which shares no code with the search, before it is given.
"""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from fitcheck.geometry.convex.concavities import JUT
from fitcheck.geometry.liquid.pockets import Vessel
from fitcheck.geometry.poses.dip_problem import DipProblem, dip_problem, pose_in
from fitcheck.questions.dip.answer import DipAnswer, DoesNotFit, Fits, Prefer
from fitcheck.questions.dip.cautions import cautions_of
from fitcheck.questions.dip.cures import cures
from fitcheck.questions.dip.free_space import (
    Wishes,
    answer_in_room,
    decide,
    deciding_sides,
    reason_of,
    searched,
)
from fitcheck.questions.dip.obstructed_tank import answer_among
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles
from fitcheck.things.proof import Proof
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused


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

    Parameters
    ----------
    part : Part
        The part; its own limits on tilt, roll and swing are kept.
    tank : Tank
        The tank, its rules and what stands in it.
    prefer : {"level", "least-liquid", "most-room", "best-drain"}
        "level" advises the least tilted pose that works, and passes over those that catch more air than the
        part's limit where another is found; "least-liquid" the lowest level, "most-room" the largest spare,
        "best-drain" the least air going in and liquid coming out.
    angles : Angles, optional
        Search this one attitude only, for its place in the tank.
    level_mm : float, optional
        The surface wanted, part in, over the tank's floor; without it, the lowest that covers the part.
    with_cures : bool
        When it does not fit, search for single changes that help.
    vessel : Vessel, optional
        Of the part, where it is at hand; it saves time when one part is asked about often.

    Returns
    -------
    Fits
        With the pose advised, its liquid, and the bounds: poses are tank from part, in mm.
    DoesNotFit
        Proven: no allowed pose keeps the clearances, tapes included.
    MeasureAgain
        The tapes decide.
    NotFound
        Not shown either way within the effort.

    Raises
    ------
    Refused
        For a level under the floor.
    RuntimeError
        Where the exact check does not bear out the search.

    Notes
    -----
    The search cuts the rotations of the part into cells and bounds what any rotation of a cell can spare
    (branch and bound: A. H. Land and A. G. Doig, Econometrica 28 (1960) 497-520), so that a "does not fit"
    has been refused in every cell. Every "fits" is checked again, by exact distances, before it is given.

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> match fc.dip(shop.parts["P11"], shop.tanks["T1"]):
    ...     case fc.Fits(advice=advice):
    ...         print(round(advice.fill.level_mm), "mm;", "it floats" if advice.uplift_n > 0 else "it sinks")
    ...     case other:
    ...         print(other.verdict, other.reason)
    302 mm; it floats
    """
    if prefer not in get_args(Prefer):
        raise Refused(f"prefer is {prefer!r}", f"it is one of {', '.join(get_args(Prefer))}")
    case = dip_problem(part, tank, angles)
    answer = _dipped(case, Wishes(prefer, level_mm, angles is not None, vessel), with_cures)
    if with_cures:
        answer = _with_what_helps(answer, part, tank, angles)
    return replace(answer, cautions=cautions_of(answer, part, tank), asked=Shop.of(part, tank))


def _dipped(case: DipProblem, wishes: Wishes, with_cures: bool) -> DipAnswer:
    proof, bound, spare = searched(case)
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
