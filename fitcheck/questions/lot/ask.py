"""Which parts go in together: each at a way that works alone, side by side, in the fewest loads found.

Parts keep part_gap from each other as seen from above, outline to outline, and none hangs over another, where
it would drip on it. Where each may go, and how it may hang there, is told by `lot_ways.py`; the loads are
filled by `lot_fewest.py`; how few they can be at least is `lot_bound.py`'s.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from fitcheck.geometry.liquid.fill_level import fill_with
from fitcheck.questions.lot.answer import LeftOut, Lot, LotAnswer, LotPart, Work
from fitcheck.questions.lot.fewest_loads import fewest
from fitcheck.questions.lot.hanging_candidates import Footprint
from fitcheck.questions.lot.load_bound import at_least_loads
from fitcheck.questions.lot.prove_load import lot_checks, nearest_mm
from fitcheck.questions.lot.ways import Asked, Fitting, left_out, works_of
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank


def lot(
    shop: Shop,
    tank: str | None = None,
    done: Callable[[], None] = lambda: None,
) -> LotAnswer:
    """Tell which parts of a shop go in together, in one tank or for all the work that there is.

    Without a tank, every part goes once into a tank of each step of the shop that has tanks; where it has no
    steps, once into a tank of each liquid. `done` is called after each part. Raises `Refused` for a shop
    without parts or tanks, or with too many pieces.
    """
    fitting = Fitting.of(shop)
    works = works_of(shop, tank)
    for part in fitting.parts:
        for each in {tank.name: tank for work in works for tank in work.tanks}.values():
            fitting.ways(part, each)
        done()
    found = [_worked(fitting, work) for work in works]
    return LotAnswer(
        tuple(lot for lots, _, _ in found for lot in lots),
        tuple(work for _, work, _ in found),
        tuple(left for _, _, out in found for left in out),
    )


def _worked(fitting: Fitting, work: Asked) -> tuple[tuple[Lot, ...], Work, tuple[LeftOut, ...]]:
    """Return the loads of one piece of work, how many they are at least, and what is left out."""
    kinds = [fitting.kind(part, work.tanks) for part in fitting.parts]
    placed = [kind for kind in kinds if kind.ways]
    left = [left_out(fitting, kind.part, work) for kind in kinds if not kind.ways]
    takes = [(kind.part, fitting.may_take(kind.part, work.tanks)) for kind in placed]
    at_least = at_least_loads(takes)
    loads, proven = fewest(placed, work.tanks, at_least)
    names = [tank.name for tank in work.tanks]
    in_turn = sorted(
        (as_lot(fitting, work, *load) for load in loads),
        key=lambda lot: (names.index(lot.tank), lot.level_mm),
    )
    lots = numbered(in_turn, fitting.parts)
    told = Work(work.name, tuple(names), len(lots), max(at_least, proven), work.steps)
    return lots, told, tuple(left)


def is_proven(fitting: Fitting, work: Asked, at_least: float) -> bool:
    """Tell whether it is proven that some work takes so many loads, by the bound or by the solver."""
    kinds = [fitting.kind(part, work.tanks) for part in fitting.parts]
    placed = [kind for kind in kinds if kind.ways]
    takes = [(kind.part, fitting.may_take(kind.part, work.tanks)) for kind in placed]
    known = at_least_loads(takes)
    return at_least <= known or at_least <= fewest(placed, work.tanks, known)[1]


def as_lot(
    fitting: Fitting, work: Asked, tank: Tank, hung: Sequence[tuple[Footprint, tuple[float, float]]]
) -> Lot:
    """Return a load as it is told, looked at again by exact distance."""
    level = max(footprint.level_mm for footprint, _ in hung)
    posed = [(footprint.part, footprint.moved(shift)) for footprint, shift in hung]
    air = sum(fitting.air_l(footprint, level) for footprint, _ in hung)
    fill = fill_with(posed, tank, level, air)
    found = Lot(
        work.name,
        tank.name,
        tuple(LotPart(each.part.name, 1, each.moved(shift), each.hook_mm) for each, shift in hung),
        level,
        fill.rise_mm,
        fill.liquid_l,
        air,
        sum(footprint.wet_kg for footprint, _ in hung),
        nearest_mm(posed),
    )
    wrong = [check.what for check in lot_checks(found, posed, tank) if not check.holds]
    if wrong:
        raise RuntimeError(f"a load in {tank.name} does not stand up to the exact check: not so: {wrong[0]}")
    return found


def numbered(lots: Iterable[Lot], parts: Sequence[Part]) -> tuple[Lot, ...]:
    """Return loads with their parts in the order of the shop, the pieces of a kind numbered through."""
    kinds = [part.name for part in parts]
    seen: dict[str, int] = {}
    told = []
    for each in lots:
        rows = []
        for row in sorted(each.parts, key=lambda row: kinds.index(row.part)):
            seen[row.part] = seen.get(row.part, 0) + 1
            rows.append(replace(row, number=seen[row.part]))
        told.append(replace(each, parts=tuple(rows)))
    return tuple(told)
