"""In what order, with which blocks, on how much liquid: loads so that liquid is only ever added to a tank.

What one part needs at least, alone with the best blocks found for it, sets how much is mixed. Then as many
others go in with it as need no more: blocks are stood in what is left of the plan. The loads are taken in the
order of their liquid, so that nothing is ever pumped out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from fitcheck.geometry.liquid.block_pieces import hold_down_n
from fitcheck.geometry.liquid.blocks_in_tank import with_pieces
from fitcheck.questions.dip.answer import Fits
from fitcheck.questions.ladder.answer import Bath, Build, Built, LadderAnswer, LadderStep
from fitcheck.questions.ladder.bath_bound import least_in_all, part_at_least_l
from fitcheck.questions.ladder.cautions import cautions_of
from fitcheck.questions.ladder.few_blocks import chosen
from fitcheck.questions.ladder.sets_with_blocks import SAME, LoadSet, Setter
from fitcheck.questions.lot.ask import as_lot, numbered
from fitcheck.questions.lot.hanging_candidates import Footprint
from fitcheck.questions.lot.ways import Fitting, Kind, left_out
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.things.stock import Stock
from fitcheck.things.tank import Tank
from fitcheck.things.work import AskedWork, works_of
from fitcheck.words.errors import Refused
from fitcheck.words.progress import Progress, silent

# More blocks than this are no few, and each takes as long to choose as all before.
MOST_BLOCKS = 24


@dataclass(frozen=True, slots=True, eq=False)
class Bench:
    """What blocks are made from, for which parts, and how many for a tank; few: None for as many as help."""

    fitting: Fitting
    stock: Stock
    few: int | None


def ladder(
    shop: Shop,
    tank: str | None = None,
    mixed_l: float | None = None,
    progress: Progress = silent,
    *,
    few: int | None = None,
) -> LadderAnswer:
    """Tell in what order loads go in, with which blocks, so that liquid is only added and least is mixed.

    Parameters
    ----------
    shop : Shop
        Its parts, each as often as its `count` says, its tanks, and the stock that blocks are made of.
    tank : str, optional
        The name of the one tank that is asked about; else every step of the shop, or every liquid where it
        has no steps.
    mixed_l : float, optional
        What there is for each tank, in litres; the steps then say whether they can be done.
    progress : Progress
        Called after each part.
    few : int, optional
        At most so many blocks, 0 to 24, are built for a tank, and stood beside one load after another;
        without it, each load has blocks made for it.

    Returns
    -------
    LadderAnswer
        Loads in their order, each piece at its pose (tank from part, mm), with blocks, levels in mm and
        liquid in litres; for each work what is mixed, and what is proven to be the least. A part that goes
        into no tank is in `left_out` with the verdict of the tank that comes nearest.

    Raises
    ------
    Refused
        For a shop without parts or tanks, a tank that it does not have, more than 400 pieces, and for more
        than a few blocks.
    RuntimeError
        Where the exact distances do not bear out the search.

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> answer = fc.ladder(fc.Shop.of(shop.parts["P10"], shop.tanks["T2"]))
    >>> answer.verdict, len(answer.steps)
    ('fits', 1)
    >>> answer.bound_l <= answer.mix_at_most_l <= answer.without_blocks_l
    True
    """
    if few is not None and not 0 <= few <= MOST_BLOCKS:
        raise Refused(f"{few} blocks", f"ask for 0 to {MOST_BLOCKS} to be built")
    fitting, works = Fitting.of(shop), works_of(shop, tank)
    steps: list[LadderStep] = []
    baths: list[Bath] = []
    builds: list[Build] = []
    out = []
    for work in works:
        kinds = [fitting.kind(part, work.tanks) for part in fitting.parts]
        out += [left_out(fitting, kind.part, work) for kind in kinds if not kind.ways]
        bench, placed = Bench(fitting, shop.stock, few), [kind for kind in kinds if kind.ways]
        found = _worked(bench, work, placed, progress)
        steps += found[0]
        baths.append(found[1])
        builds += found[2]
    steps = poured(steps)
    if mixed_l is not None:
        steps = [replace(step, can_do=step.liquid_l <= mixed_l * SAME) for step in steps]
    answer = LadderAnswer.of(tuple(steps), tuple(baths), tuple(out), mixed_l, tuple(builds))
    return replace(answer, cautions=cautions_of(answer, shop), asked=shop)


def poured(steps: Sequence[LadderStep]) -> list[LadderStep]:
    """Return the steps tank by tank in the order of their liquid, with what is added for each."""
    tanks = {name: k for k, name in enumerate(dict.fromkeys(step.tank for step in steps))}
    held = dict.fromkeys(tanks, 0.0)
    told = []
    for step in sorted(steps, key=lambda step: (tanks[step.tank], step.liquid_l)):
        told.append(replace(step, add_l=step.liquid_l - held[step.tank]))
        held[step.tank] = step.liquid_l
    return told


def _worked(
    bench: Bench, work: AskedWork, kinds: Sequence[Kind], progress: Progress
) -> tuple[list[LadderStep], Bath, list[Build]]:
    """Return the ladder of each tank of some work, what is mixed for it, and the few blocks to build."""
    fitting = bench.fitting
    setters = {tank.name: Setter(fitting, tank, bench.stock) for tank in work.tanks}
    alone: dict[str, dict[str, list[LoadSet]]] = {}
    for kind in kinds:
        alone[kind.part.name] = {name: setters[name].alone(kind) for name in kind.ways}
        progress()
    names = [tank.name for tank in work.tanks]
    needs = {
        part: {name: _least(each).liquid_l for name, each in sets.items()} for part, sets in alone.items()
    }
    _, held = least_in_all(needs, names)
    steps: list[LadderStep] = []
    builds: list[Build] = []
    for tank in work.tanks:
        mine = [kind for kind in kinds if _goes_to(needs[kind.part.name], held) == tank.name]
        setter = setters[tank.name]
        sets = {kind.part.name: alone[kind.part.name][tank.name] for kind in mine}
        if bench.few is not None and mine:
            setter, build = _with_few(bench, work, setter, list(sets.values()))
            sets = {kind.part.name: setter.alone(kind) for kind in mine}
            builds.append(build)
        best = {part: _least(each) for part, each in sets.items()}
        steps += _in_order(fitting, work, tank, _loads(setter, mine, best))
    lots = numbered((step.lot for step in steps), fitting.parts)
    steps = [replace(step, lot=lot) for step, lot in zip(steps, lots, strict=True)]
    top = {step.tank: step.liquid_l for step in steps}
    bare = {
        part: {name: min(each.without_l for each in tries) for name, tries in sets.items()}
        for part, sets in alone.items()
    }
    bound = bath_at_least_l(fitting, work, bench.stock)
    without = least_in_all(bare, names)[0]
    return steps, Bath(work.name, tuple(names), tuple(top), sum(top.values()), bound, without), builds


def _with_few(
    bench: Bench, work: AskedWork, setter: Setter, alone: Sequence[Sequence[LoadSet]]
) -> tuple[Setter, Build]:
    """Return who sets the parts of a tank beside a few blocks, and those blocks."""
    spots = [[setter.spot(each) for each in tries] for tries in alone]
    enough = max(_least(tries).liquid_l for tries in alone)
    blocks, mixed = chosen(spots, bench.stock, bench.few or 0, enough)
    few = Setter(bench.fitting, setter.tank, bench.stock, blocks)
    return few, Build(work.name, setter.tank.name, blocks, mixed)


def mixed_with(bench: Bench, tank: Tank, parts: Iterable[Part], blocks: Sequence[Built]) -> float:
    """Return what it takes that each of some parts goes in alone, beside such blocks as go in."""
    setter = Setter(bench.fitting, tank, bench.stock, blocks)
    kinds = [bench.fitting.kind(part, (tank,)) for part in parts]
    return max((_least(setter.alone(kind)).liquid_l for kind in kinds if kind.ways), default=0.0)


def _least(tries: Sequence[LoadSet]) -> LoadSet:
    return min(tries, key=lambda each: each.liquid_l)


def _goes_to(needs: Mapping[str, float], held: Mapping[str, float]) -> str:
    """Return the tank for a part: of those that hold enough for it, the one that it needs least in."""
    return min((name for name in needs if needs[name] <= held[name]), key=lambda name: needs[name])


def _loads(setter: Setter, kinds: Sequence[Kind], alone: Mapping[str, LoadSet]) -> list[LoadSet]:
    """Return loads, each on no more liquid than the part that needs most."""
    left = {kind.part.name: kind.part.count for kind in kinds}
    order = sorted(kinds, key=lambda kind: -alone[kind.part.name].liquid_l)
    most = max((alone[name].liquid_l for name in left), default=0.0)
    loads = []
    while any(left.values()):
        ways: list[Footprint] = []
        best: LoadSet | None = None
        for kind in order:
            way = alone[kind.part.name].hung[0][0]
            # As many of a kind as go in: all, else half as many, and so on.
            more = left[kind.part.name]
            while more:
                found = setter.tried([*ways, *[way] * more], most)
                if found is not None:
                    ways, best = [*ways, *[way] * more], found
                    left[kind.part.name] -= more
                more = min(more // 2, left[kind.part.name])
        if best is None:
            raise RuntimeError("a part that goes in alone does not go in alone")
        loads.append(best)
    return loads


def _in_order(fitting: Fitting, work: AskedWork, tank: Tank, loads: Sequence[LoadSet]) -> list[LadderStep]:
    """Return the loads of a tank in the order of their liquid, checked by exact distance."""
    steps = []
    for each in sorted(loads, key=lambda each: each.liquid_l):
        lot = as_lot(fitting, work, with_pieces(tank, each.pieces), each.hung)
        hold = hold_down_n(each.pieces, lot.level_mm, tank.liquid.specific_gravity)
        steps.append(
            LadderStep(
                work.name,
                tank.name,
                lot,
                each.pieces,
                lot.level_mm,
                lot.liquid_l,
                0.0,
                each.without_l,
                hold,
            )
        )
    return steps


def bath_at_least_l(fitting: Fitting, work: AskedWork, stock: Stock) -> float:
    """Return what is proven to be mixed at least for some work, by what each part needs in each tank."""
    kinds = [kind for kind in (fitting.kind(part, work.tanks) for part in fitting.parts) if kind.ways]
    everything = sum(kind.part.count * fitting.volume_l(kind.part) for kind in kinds)
    found: dict[str, dict[str, float]] = {}
    for kind in kinds:
        part = kind.part
        found[part.name] = {}
        for tank in fitting.may_take(part, work.tanks):
            answer = fitting.answer(part, tank)
            caught = answer.advice.held.air_l if isinstance(answer, Fits) else 0.0
            air = max(part.air_at_most_l, caught)
            found[part.name][tank.name] = part_at_least_l(part, tank, stock, air, everything)
    return least_in_all(found, [tank.name for tank in work.tanks])[0]


def without_blocks_l(bench: Bench, work: AskedWork) -> float:
    """Return what is mixed for some work where its parts go in one by one, no blocks in the tanks."""
    setters = {tank.name: Setter(bench.fitting, tank, bench.stock, ()) for tank in work.tanks}
    kinds = [bench.fitting.kind(part, work.tanks) for part in bench.fitting.parts]
    bare = {
        kind.part.name: {
            name: min(each.without_l for each in setters[name].alone(kind)) for name in kind.ways
        }
        for kind in kinds
        if kind.ways
    }
    return least_in_all(bare, [tank.name for tank in work.tanks])[0]
