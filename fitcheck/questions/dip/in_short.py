"""What `dip` says in short, for a chart: without what takes long."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.geometry.liquid.fill_level import covering_level_mm
from fitcheck.geometry.poses.dip_problem import dip_problem, pose_in
from fitcheck.geometry.poses.part_memo import PartMemo
from fitcheck.geometry.rotations.rotation_search import FIT_MM
from fitcheck.questions.dip.advice import advised
from fitcheck.questions.dip.answer import DipAnswer, Fits, LeastLevel, MeasureAgain, Spare
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.dip.free_space import (
    check_exactly,
    decide,
    least_level,
    searched,
)
from fitcheck.questions.dip.insertion import needs_a_way
from fitcheck.things.answer import Verdict
from fitcheck.things.tank import Tank


@dataclass(frozen=True, slots=True)
class InShort:
    """A verdict, its spare, and where it goes under the tilt advised and the least level that covers it."""

    verdict: Verdict
    spare: Spare
    tilt_rad: float | None = None
    level_mm: float | None = None


def in_short(at_hand: PartMemo, tank: Tank) -> InShort:
    """Return what `dip` says in short, without what takes long and a chart does not show."""
    part = at_hand.part
    if needs_a_way(tank):
        return _shortened(dip(part, tank, with_cures=False, vessel=at_hand.vessel))
    case = dip_problem(part, tank)
    proof, _, spare = searched(case)
    verdict = decide(spare, proof.closed)
    if verdict in {"does not fit", "not found"}:
        return InShort(verdict, spare)
    least = least_level(case, case.outer, proof) if spare.mm >= -FIT_MM else None
    if verdict == "measure again" or least is None:
        pose = pose_in(case, case.outer, proof.angles_rad)
        level = least.level_mm if least else covering_level_mm(part, pose, tank)
        return InShort("measure again", spare, pose.angles.tilt_rad, level)
    pose = pose_in(case, case.outer, advised(case, case.outer, proof, "level", at_hand))
    check_exactly(part, tank, pose)
    return InShort("fits", spare, pose.angles.tilt_rad, least.level_mm)


def _shortened(answer: DipAnswer) -> InShort:
    match answer:
        case Fits(advice=told, least=LeastLevel(level_mm=level)):
            return InShort(answer.verdict, answer.spare, told.pose.angles.tilt_rad, level)
        case MeasureAgain(advice=told, least=least):
            level = least.level_mm if least else told.fill.level_mm
            return InShort(answer.verdict, answer.spare, told.pose.angles.tilt_rad, level)
        case _:
            return InShort(answer.verdict, answer.spare)
