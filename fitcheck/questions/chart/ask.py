"""Which part goes in which tank? Every part in every tank, in short."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from concurrent.futures import Executor
from types import MappingProxyType

from fitcheck.geometry.poses.part_memo import AtHand
from fitcheck.questions.chart.answer import ChartRow
from fitcheck.questions.dip.in_short import in_short
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank

__all__ = ["ChartRow", "chart"]

NO_ROWS: Mapping[tuple[str, str], ChartRow] = MappingProxyType({})


def chart(
    shop: Shop,
    done: Callable[[], None] = lambda: None,
    executor: Executor | None = None,
    known: Mapping[tuple[str, str], ChartRow] = NO_ROWS,
) -> tuple[ChartRow, ...]:
    """Return the answer for every part in every tank, part by part; `done` is called after each part.

    executor: who helps, any of `concurrent.futures`: it begins with the first parts and this process with the
    last, until they meet. The rows do not depend on it. known: rows by part and tank that are already known
    and are not asked for again. Each verdict is one of four, "not found" among them. Raises nothing of its
    own: a shop without parts or tanks has no rows.
    """
    asked = [(part, _tanks_left(part, shop, known)) for part in shop.parts.values()]
    for _, tanks in asked:
        if not tanks:
            done()
    found = dict(known)
    for row in _found([pair for pair in asked if pair[1]], done, executor):
        found[row.part, row.tank] = row
    return tuple(found[part, tank] for part in shop.parts for tank in shop.tanks)


def _tanks_left(part: Part, shop: Shop, known: Mapping[tuple[str, str], ChartRow]) -> tuple[Tank, ...]:
    return tuple(tank for tank in shop.tanks.values() if (part.name, tank.name) not in known)


def _found(
    asked: list[tuple[Part, tuple[Tank, ...]]], done: Callable[[], None], executor: Executor | None
) -> list[ChartRow]:
    """Return the rows of parts and their tanks, in any order."""
    jobs = [] if executor is None else [executor.submit(_rows, *pair) for pair in asked]
    rows: list[ChartRow] = []
    mine, told = 0, 0
    while mine < len(asked) and (not jobs or jobs[-1].cancel()):
        mine += 1
        rows += _rows(*asked[-mine])
        jobs = jobs[:-1]
        finished = sum(job.done() for job in jobs)
        for _ in range(1 + max(finished - told, 0)):
            done()
        told = max(told, finished)
    for k, job in enumerate(jobs):
        rows += job.result()
        if k >= told:
            done()
    return rows


def _rows(part: Part, tanks: tuple[Tank, ...]) -> list[ChartRow]:
    """Return the answers for one part, tank by tank."""
    at_hand = AtHand(part)
    return [_row(at_hand, tank) for tank in tanks]


def _row(at_hand: AtHand, tank: Tank) -> ChartRow:
    """Return the answer for one part in one tank, in short."""
    told = in_short(at_hand, tank)
    spare = told.spare
    names = at_hand.part.name, tank.name
    return ChartRow(*names, told.verdict, spare.mm, spare.at_most_mm, told.tilt_rad, told.level_mm)
