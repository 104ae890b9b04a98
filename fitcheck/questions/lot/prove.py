"""Are loads right? Each by exact distance, and the counts, from the shop and the answer alone.

Nothing here searches. How few loads do at least, and that what is listed goes in nowhere, is worked out again
by the code that found it (`again.py`).
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np

from fitcheck.geometry.liquid.blocks_in_tank import with_pieces
from fitcheck.proving.known import known_thing
from fitcheck.proving.load_checks import LoadFigures, Posed, load_checks
from fitcheck.questions.lot.answer import LeftOut, Lot, LotAnswer, firmest
from fitcheck.things.proved import Check, Proved
from fitcheck.things.shop import Shop
from fitcheck.things.stock import Piece
from fitcheck.things.tank import Tank
from fitcheck.things.work import AskedWork, work_named
from fitcheck.words.errors import Refused

# Sizes go through inches and back.
SAME_MM = 1e-6


def prove(answer: LotAnswer, shop: Shop) -> Proved:
    """Tell what is so and what not of loads.

    Raises `Refused` for a part, a tank or a piece of work that is not in the shop.
    """
    works = [work_named(shop, work.name) for work in answer.works]
    for lot in answer.lots:
        known_load(shop, lot, works)
    checks = [check for k, lot in enumerate(answer.lots) for check in checks_of_load(shop, k, lot)]
    for work, told in zip(works, answer.works, strict=True):
        mine = [lot for lot in answer.lots if lot.work == work.name]
        tanks = tuple(tank.name for tank in work.tanks)
        same = (told.tanks, told.steps, told.lots) == (tanks, work.steps, len(mine))
        checks += [
            Check(f"{work.name}: its tanks, steps and number of loads are as told", same),
            *work_checks(shop, work, mine, answer.left_out),
            Check(f"{work.name}: the bound is not over the loads", told.at_least <= len(mine)),
        ]
    most = sum(work.at_least for work in answer.works)
    checks += [
        Check("the bounds add up", answer.at_least_lots <= most),
        Check("the verdict is that of what is left out", answer.verdict == firmest(answer.left_out)),
        Check("what is left out is left out of this work", listed_for(works, answer.left_out)),
    ]
    return Proved(f"loads for {', '.join(work.name for work in works)}", answer.verdict, tuple(checks))


def lot_checks(lot: Lot, posed: Posed, tank: Tank) -> tuple[Check, ...]:
    """Return what is so of a load and what not; posed: its parts, in its order, at its poses."""
    hooks = tuple(each.hook_mm for each in lot.parts)
    figures = LoadFigures(lot.level_mm, lot.rise_mm, lot.liquid_l, lot.air_l, lot.wet_kg, hooks, lot.gap_mm)
    return load_checks(figures, posed, tank)


def known_load(shop: Shop, lot: Lot, works: Sequence[AskedWork]) -> None:
    """Raise `Refused` where a load is for work, in a tank or of a part that is not there."""
    if lot.work not in {work.name for work in works}:
        raise Refused(f"a load is for {lot.work}, which is not there", "give its shop file")
    known_thing(shop.tanks, lot.tank, "tank")
    for each in lot.parts:
        known_thing(shop.parts, each.part, "part")


def checks_of_load(shop: Shop, k: int, lot: Lot, blocks: Sequence[Piece] = ()) -> list[Check]:
    """Return the checks of one load beside its blocks that fail, or one that says that all hold."""
    tank = shop.tanks[lot.tank]
    posed = [(shop.parts[each.part], each.pose) for each in lot.parts]
    found = lot_checks(lot, posed, with_pieces(tank, blocks))
    found = (*found, Check("its blocks stand in the tank, none in another", _stand(tank, blocks)))
    return summed(f"load {k + 1}, {lot.tank}", found)


def summed(name: str, found: Sequence[Check]) -> list[Check]:
    """Return the checks that fail, or one that says that all hold."""
    wrong = [check for check in found if not check.holds]
    if not wrong:
        return [Check(f"{name}: {len(found)} things checked, by exact distance", True)]
    return [Check(f"{name}: {check.what}", False) for check in wrong]


def work_checks(
    shop: Shop, work: AskedWork, lots: Sequence[Lot], left_out: Sequence[LeftOut]
) -> tuple[Check, ...]:
    """Return whether the loads of some work are in its tanks, and have every piece once or list it."""
    tanks, out = {tank.name for tank in work.tanks}, [each for each in left_out if each.work == work.name]
    return (
        Check(f"{work.name}: its loads are in its tanks", all(lot.tank in tanks for lot in lots)),
        Check(f"{work.name}: every piece goes in once, or is listed", _every_piece(shop, lots, out)),
    )


def listed_for(works: Sequence[AskedWork], left_out: Sequence[LeftOut]) -> bool:
    """Tell whether all that is left out is left out of one of these."""
    return {each.work for each in left_out} <= {work.name for work in works}


def _every_piece(shop: Shop, lots: Sequence[Lot], left_out: Sequence[LeftOut]) -> bool:
    placed = sorted((each.part, each.number) for lot in lots for each in lot.parts)
    out = {each.part: each.count for each in left_out}
    want = sorted(
        (part.name, k + 1) for part in shop.parts.values() for k in range(part.count) if part.name not in out
    )
    return placed == want and all(
        name in shop.parts and shop.parts[name].count == n for name, n in out.items()
    )


def _stand(tank: Tank, blocks: Sequence[Piece]) -> bool:
    """Tell whether blocks stand within the tank's sizes and none in another."""
    boxes = [(np.array(each.at_mm), np.array(each.at_mm) + np.array(each.size_mm)) for each in blocks]
    within = all(
        (low >= -SAME_MM).all() and (high <= np.array(tank.size_mm) + SAME_MM).all() for low, high in boxes
    )
    pairs = itertools.combinations(boxes, 2)
    return within and not any(
        bool((np.minimum(one[1], two[1]) - np.maximum(one[0], two[0]) > SAME_MM).all()) for one, two in pairs
    )
