"""Which part goes in which tank? Every part in every tank, in short."""

from __future__ import annotations

from collections.abc import Mapping
from concurrent.futures import Executor
from dataclasses import replace
from types import MappingProxyType

from fitcheck.geometry.poses.part_memo import PartMemo
from fitcheck.questions.chart.answer import Chart, ChartRow
from fitcheck.questions.dip.in_short import in_short
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.words.progress import Progress, silent

NO_ROWS: Mapping[tuple[str, str], ChartRow] = MappingProxyType({})


def chart(
    shop: Shop,
    progress: Progress = silent,
    executor: Executor | None = None,
    known: Mapping[tuple[str, str], ChartRow] = NO_ROWS,
) -> Chart:
    """Tell which part goes under in which tank: every part in every tank, in short.

    Parameters
    ----------
    shop : Shop
        The shop; all of its parts and tanks are asked about.
    progress : callable, optional
        Called after each part.
    executor : Executor, optional
        Who helps, any of `concurrent.futures`: it begins with the first parts and this process with the last,
        until they meet. The rows do not depend on it.
    known : mapping, optional
        Rows by part and tank that are already known and are not asked for again.

    Returns
    -------
    Chart
        A sequence of `ChartRow`, part by part; mm and radians. Each verdict is that of `dip`, one of four,
        "not found" among them. A shop without parts or tanks has no rows.

    Raises
    ------
    Refused
        Nothing of its own.

    Examples
    --------
    >>> import fitcheck as fc
    >>> from dataclasses import replace
    >>> shop = fc.demo_shop()
    >>> parts = {name: shop.parts[name] for name in ("P02", "P08")}
    >>> answer = fc.chart(replace(shop, parts=parts, tanks={"T1": shop.tanks["T1"]}))
    >>> [(row.part, row.tank, row.verdict) for row in answer]
    [('P02', 'T1', 'does not fit'), ('P08', 'T1', 'fits')]
    >>> answer.verdict, answer.to_pandas().shape
    ('does not fit', (2, 7))
    """
    asked = [(part, _tanks_left(part, shop, known)) for part in shop.parts.values()]
    for _, tanks in asked:
        if not tanks:
            progress()
    found = dict(known)
    for row in _found([pair for pair in asked if pair[1]], progress, executor):
        found[row.part, row.tank] = row
    rows = (found[part, tank] for part in shop.parts for tank in shop.tanks)
    return Chart(tuple(replace(row, asked=shop) for row in rows), asked=shop)


def _tanks_left(part: Part, shop: Shop, known: Mapping[tuple[str, str], ChartRow]) -> tuple[Tank, ...]:
    return tuple(tank for tank in shop.tanks.values() if (part.name, tank.name) not in known)


def _found(
    asked: list[tuple[Part, tuple[Tank, ...]]], progress: Progress, executor: Executor | None
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
            progress()
        told = max(told, finished)
    for k, job in enumerate(jobs):
        rows += job.result()
        if k >= told:
            progress()
    return rows


def _rows(part: Part, tanks: tuple[Tank, ...]) -> list[ChartRow]:
    """Return the answers for one part, tank by tank."""
    at_hand = PartMemo(part)
    return [_row(at_hand, tank) for tank in tanks]


def _row(at_hand: PartMemo, tank: Tank) -> ChartRow:
    """Return the answer for one part in one tank, in short."""
    told = in_short(at_hand, tank)
    spare = told.spare
    names = at_hand.part.name, tank.name
    return ChartRow(*names, told.verdict, spare.mm, spare.at_most_mm, told.tilt_rad, told.level_mm)
