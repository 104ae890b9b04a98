"""Which parts go in together: each at a way that works alone, side by side, in the fewest loads found.

Parts keep part_gap from each other as seen from above, outline to outline, and none hangs over another, where
it would drip on it. Where each may go, and how it may hang there, is told by `ways.py`; the loads are filled
by `fewest_loads.py`; how few they can be at least is `load_bound.py`'s.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from fitcheck.geometry.liquid.fill_level import fill_with
from fitcheck.proving.load_checks import LoadFigures, load_checks, nearest_mm
from fitcheck.questions.lot.answer import LeftOut, Lot, LotAnswer, LotPart, LotWork
from fitcheck.questions.lot.cautions import cautions_of
from fitcheck.questions.lot.fewest_loads import fewest
from fitcheck.questions.lot.hanging_candidates import Footprint
from fitcheck.questions.lot.load_bound import at_least_loads
from fitcheck.questions.lot.ways import Fitting, left_out
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.things.work import AskedWork, works_of
from fitcheck.words.progress import Progress, silent


def lot(shop: Shop, tank: str | None = None, progress: Progress = silent) -> LotAnswer:
    """Tell which parts of a shop go in together, in one tank or for all the work that there is.

    Without a tank, every part goes once into a tank of each step of the shop that has tanks; where it has no
    steps, once into a tank of each liquid.

    Parameters
    ----------
    shop : Shop
        Its parts, each as often as its `count` says, and its tanks.
    tank : str, optional
        The name of the one tank that is asked about.
    progress : Progress
        Called after each part.

    Returns
    -------
    LotAnswer
        Loads with each piece at its pose (tank from part, mm), and for each work how many loads are proven
        to be needed. A part that goes into no tank is in `left_out` with the verdict of the tank that comes
        nearest; the others go in all the same.

    Raises
    ------
    Refused
        For a shop without parts or tanks, a tank that it does not have, or more than 400 pieces.
    RuntimeError
        Where the exact distances do not bear out the search.

    Notes
    -----
    The loads are the fewest found; how few do at least is bin packing's bound L2 (S. Martello, P. Toth,
    Knapsack Problems, Wiley 1990, section 8.3), or the solver's.

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> answer = fc.lot(fc.Shop.of(shop.parts["P10"], shop.tanks["T2"]))
    >>> answer.verdict, len(answer.lots), answer.at_least_lots
    ('fits', 1, 1)
    """
    fitting = Fitting.of(shop)
    works = works_of(shop, tank)
    for part in fitting.parts:
        for each in {tank.name: tank for work in works for tank in work.tanks}.values():
            fitting.ways(part, each)
        progress()
    found = [_worked(fitting, work) for work in works]
    answer = LotAnswer.of(
        tuple(lot for lots, _, _ in found for lot in lots),
        tuple(work for _, work, _ in found),
        tuple(left for _, _, out in found for left in out),
    )
    return replace(answer, cautions=cautions_of(answer, shop), asked=shop)


def _worked(fitting: Fitting, work: AskedWork) -> tuple[tuple[Lot, ...], LotWork, tuple[LeftOut, ...]]:
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
    told = LotWork(work.name, tuple(names), len(lots), max(at_least, proven), work.steps)
    return lots, told, tuple(left)


def is_proven(fitting: Fitting, work: AskedWork, at_least: float) -> bool:
    """Tell whether it is proven that some work takes so many loads, by the bound or by the solver."""
    kinds = [fitting.kind(part, work.tanks) for part in fitting.parts]
    placed = [kind for kind in kinds if kind.ways]
    takes = [(kind.part, fitting.may_take(kind.part, work.tanks)) for kind in placed]
    known = at_least_loads(takes)
    return at_least <= known or at_least <= fewest(placed, work.tanks, known)[1]


def as_lot(
    fitting: Fitting, work: AskedWork, tank: Tank, hung: Sequence[tuple[Footprint, tuple[float, float]]]
) -> Lot:
    """Return a load as it is told, checked by exact distance first."""
    level = max(footprint.level_mm for footprint, _ in hung)
    posed = [(footprint.part, footprint.moved(shift)) for footprint, shift in hung]
    air = sum(fitting.air_l(footprint, level) for footprint, _ in hung)
    fill = fill_with(posed, tank, level, air)
    wet, gap = sum(footprint.wet_kg for footprint, _ in hung), nearest_mm(posed)
    hooks = tuple(each.hook_mm for each, _ in hung)
    figures = LoadFigures(level, fill.rise_mm, fill.liquid_l, air, wet, hooks, gap)
    wrong = [check.what for check in load_checks(figures, posed, tank) if not check.holds]
    if wrong:
        raise RuntimeError(f"a load in {tank.name} does not stand up to the exact check: not so: {wrong[0]}")
    parts = tuple(LotPart(each.part.name, 1, each.moved(shift), each.hook_mm) for each, shift in hung)
    return Lot(work.name, tank.name, parts, level, fill.rise_mm, fill.liquid_l, air, wet, gap)


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
