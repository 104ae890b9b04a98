"""Which part goes in which tank? Every part in every tank, in short."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass

from fitcheck.geometry.pockets import Vessel
from fitcheck.questions.dip import dip
from fitcheck.questions.ways_up import vessel_of
from fitcheck.things.answers import Fits, MeasureAgain, Verdict
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank


@dataclass(frozen=True, slots=True)
class ChartRow:
    """A dip answer in short. tilt_rad and least_level_mm are None where no pose is advised."""

    part: str
    tank: str
    verdict: Verdict
    spare_mm: float
    spare_at_most_mm: float
    tilt_rad: float | None
    least_level_mm: float | None


def chart(
    shop: Shop, done: Callable[[], None] = lambda: None, executor: Executor | None = None
) -> tuple[ChartRow, ...]:
    """Return the answer for every part in every tank, part by part; `done` is called after each part.

    executor: who helps, any of `concurrent.futures`: it begins with the first parts and this process with the
    last, until they meet. The rows do not depend on it.
    """
    tanks, parts = tuple(shop.tanks.values()), list(shop.parts.values())
    jobs = [] if executor is None else [executor.submit(_rows, part, tanks) for part in parts]
    mine: list[list[ChartRow]] = []
    while len(mine) < len(parts) and (not jobs or jobs[-1].cancel()):
        mine.append(_rows(parts[len(parts) - 1 - len(mine)], tanks))
        jobs = jobs[:-1]
        done()
    theirs: list[list[ChartRow]] = []
    for job in jobs:
        theirs.append(job.result())
        done()
    return tuple(row for rows in (*theirs, *reversed(mine)) for row in rows)


def _rows(part: Part, tanks: tuple[Tank, ...]) -> list[ChartRow]:
    """Return the answers for one part, tank by tank."""
    vessel = vessel_of(part)
    return [_row(part, tank, vessel) for tank in tanks]


def _row(part: Part, tank: Tank, vessel: Vessel) -> ChartRow:
    """Return the answer for one part in one tank, in short."""
    answer = dip(part, tank, with_cures=False, vessel=vessel)
    tilt, level = None, None
    if isinstance(answer, Fits | MeasureAgain):
        tilt = answer.advice.pose.angles.tilt_rad
        level = answer.least.level_mm if answer.least else answer.advice.fill.level_mm
    spare = answer.spare
    return ChartRow(part.name, tank.name, answer.verdict, spare.mm, spare.at_most_mm, tilt, level)
