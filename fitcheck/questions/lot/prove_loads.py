"""Are loads, or a fill ladder, right? Each load by exact distance, the counts, the order, and the bounds.

The loads are looked at by code that did not search (`prove_lot.py`). The bounds are worked out again, and for
them the search is asked again which tank may take which part.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.liquid.blocks_in_tank import with_pieces
from fitcheck.questions.ladder.answer import sum_apart
from fitcheck.questions.ladder.ask import bath_at_least_l
from fitcheck.questions.lot.answer import Lot
from fitcheck.questions.lot.ask import is_proven
from fitcheck.questions.lot.prove_load import lot_checks
from fitcheck.questions.lot.ways import Asked, Fitting, works_of
from fitcheck.things.proved import Check
from fitcheck.things.shop import Shop
from fitcheck.things.stock import Piece, Stock
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused

# Litres of metres cubed agree to far better than a dip-stick tells.
SAME_L = 1e-6
# Sizes go through inches and back.
SAME_MM = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Told:
    """One load as told, with its blocks; liquid_l, add_l: of a ladder's step, else None."""

    lot: Lot
    blocks: Sequence[Piece]
    liquid_l: float | None
    add_l: float | None


def prove_loads(
    shop: Shop,
    loads: Sequence[Told],
    left_out: Sequence[tuple[str, str, int]],
    bounds: Mapping[str, float],
    mix_l: Mapping[str, float],
    total_bound: float,
) -> tuple[Check, ...]:
    """Return what is so and what not of loads; left_out: part, work and count; bounds: for each work.

    mix_l: what is mixed for each work, of a ladder; empty for plain loads. total_bound: for all the work.
    Raises `Refused` for a part, a tank or a piece of work that is not in the shop.
    """
    works = {name: _work(shop, name) for name in bounds}
    for told in loads:
        _known(shop, told.lot, works)
    fitting = Fitting.of(shop)
    checks = [check for k, told in enumerate(loads) for check in _load_checks(shop, k, told)]
    for name, work in works.items():
        mine = [told for told in loads if told.lot.work == name]
        tanks = {tank.name for tank in work.tanks}
        checks += [
            Check(f"{name}: its loads are in its tanks", all(told.lot.tank in tanks for told in mine)),
            Check(f"{name}: every piece goes in once, or is listed", _counts(shop, name, mine, left_out)),
        ]
        stays = _stay_out(fitting, work, left_out)
        checks.append(Check(f"{name}: what is listed does not go in, asked again", stays))
        checks += _bound_checks(fitting, work, bounds[name], len(mine), shop.stock if mix_l else None)
        if mix_l:
            comes_to = _comes_to(mine, mix_l.get(name, -1.0))
            checks.append(Check(f"{name}: its loads come to what is mixed", comes_to))
            within = bounds[name] <= mix_l.get(name, -1.0) + SAME_L
            checks.append(Check(f"{name}: the bound is not over what is mixed", within))
    if mix_l:
        most = sum_apart([([tank.name for tank in works[name].tanks], bounds[name]) for name in bounds])
        checks.append(Check("the bounds add up", total_bound <= most + SAME_L))
        checks.append(Check("liquid is only added, and each load has its own", _only_added(loads)))
    else:
        checks.append(Check("the bounds add up", total_bound <= sum(bounds.values())))
    return tuple(checks)


def _bound_checks(
    fitting: Fitting, work: Asked, bound: float, loads: int, stock: Stock | None
) -> list[Check]:
    """Return whether a bound is proven: of a ladder's liquid (stock: for its blocks), or of the loads."""
    if stock is not None:
        again = bound <= bath_at_least_l(fitting, work, stock) + SAME_L
        return [Check(f"{work.name}: no less liquid will do, worked out again", again)]
    return [
        Check(f"{work.name}: no fewer loads do, worked out again", is_proven(fitting, work, bound)),
        Check(f"{work.name}: the bound is not over the loads", bound <= loads),
    ]


def _stay_out(fitting: Fitting, work: Asked, left_out: Sequence[tuple[str, str, int]]) -> bool:
    out = {part for part, name, _ in left_out if name == work.name}
    return not any(fitting.kind(part, work.tanks).ways for part in fitting.parts if part.name in out)


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


def _work(shop: Shop, name: str) -> Asked:
    for work in works_of(shop, None):
        if work.name == name:
            return work
    if name not in shop.tanks:
        raise Refused(f"there is no step, liquid or tank {name} in this shop", "give the shop file it is of")
    return works_of(shop, name)[0]


def _known(shop: Shop, lot: Lot, works: Mapping[str, Asked]) -> None:
    if lot.work not in works or lot.tank not in shop.tanks:
        raise Refused(f"a load is for {lot.work} in {lot.tank}, which is not there", "give its shop file")
    for each in lot.parts:
        if each.part not in shop.parts:
            raise Refused(f"there is no part {each.part} in this shop", "give the shop file it is of")


def _load_checks(shop: Shop, k: int, told: Told) -> list[Check]:
    """Return the checks of one load that fail, or one that says that it holds."""
    tank = shop.tanks[told.lot.tank]
    posed = [(shop.parts[each.part], each.pose) for each in told.lot.parts]
    found = lot_checks(told.lot, posed, with_pieces(tank, told.blocks))
    found = (*found, Check("its blocks stand in the tank, none in another", _stand(tank, told.blocks)))
    wrong = [check for check in found if not check.holds]
    name = f"load {k + 1}, {told.lot.tank}"
    if not wrong:
        return [Check(f"{name}: {len(found)} things looked at, by exact distance", True)]
    return [Check(f"{name}: {check.what}", False) for check in wrong]


def _counts(shop: Shop, name: str, loads: Sequence[Told], left_out: Sequence[tuple[str, str, int]]) -> bool:
    placed = sorted((each.part, each.number) for told in loads for each in told.lot.parts)
    out = {part: count for part, work, count in left_out if work == name}
    want = sorted(
        (part.name, k + 1) for part in shop.parts.values() for k in range(part.count) if part.name not in out
    )
    return placed == want and all(
        name in shop.parts and shop.parts[name].count == n for name, n in out.items()
    )


def _only_added(loads: Sequence[Told]) -> bool:
    """Tell whether liquid is only added, tank by tank, and each load has what it is said to have."""
    held: dict[str, float] = {}
    for told in loads:
        liquid, add = told.liquid_l, told.add_l
        if liquid is None or add is None or add < -SAME_L:
            return False
        most = SAME_L * max(1.0, liquid)
        before = held.get(told.lot.tank, 0.0)
        if abs(before + add - liquid) > most or abs(liquid - told.lot.liquid_l) > most:
            return False
        held[told.lot.tank] = liquid
    return True


def _comes_to(loads: Sequence[Told], mix_l: float) -> bool:
    """Tell whether what the tanks hold at most is what is said to be mixed."""
    most: dict[str, float] = {}
    for told in loads:
        most[told.lot.tank] = max(most.get(told.lot.tank, 0.0), told.lot.liquid_l)
    return abs(sum(most.values()) - mix_l) <= SAME_L * max(1.0, mix_l)
