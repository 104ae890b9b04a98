"""In what order, with which blocks, on how much liquid: loads so that liquid is only ever added to a tank.

What one part needs at least, alone with the best blocks found for it, sets how much is mixed. Then as many
others go in with it as need no more: blocks are stood in what is left of the plan. The loads are taken in the
order of their liquid, so that nothing is ever pumped out.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.geometry.columns import Rectangle, area
from fitcheck.geometry.nesting import Nearness
from fitcheck.questions.beside import hold_down_n, pieces_beside
from fitcheck.questions.block import MOST_BOXES
from fitcheck.questions.block_pieces import with_pieces
from fitcheck.questions.fill import fill_with
from fitcheck.questions.footprint import Footprint
from fitcheck.questions.ladder_bound import least_in_all, part_at_least_l
from fitcheck.questions.lot import as_lot, numbered
from fitcheck.questions.lot_fewest import nested
from fitcheck.questions.lot_ways import Asked, Fitting, Kind, left_out, works_of
from fitcheck.things.answers import Fits
from fitcheck.things.block_design import Piece, Stock
from fitcheck.things.lots import Bath, LadderAnswer, LadderStep
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.words.units import MM3_PER_LITRE

# What parts take of the plan is given to the search for blocks as so many rectangles at most.
_MOST_RECTANGLES = 8
# An outline that fills less of its box lies askew: it is taken in slices, with more blocks beside it.
_SQUARE, _SLICES, _STEPPED = 0.7, 8, 9
# Litres that are the same but for rounding.
_SAME = 1.0 + 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class _Set:
    """Parts in their places in a tank, with blocks beside them, and the liquid that takes."""

    hung: tuple[tuple[Footprint, tuple[float, float]], ...]
    pieces: tuple[Piece, ...]
    liquid_l: float
    without_l: float


class _Setter:
    """Sets parts and blocks into one tank."""

    def __init__(self, fitting: Fitting, tank: Tank, stock: Stock) -> None:
        self.tank, self._stock, self._fitting = tank, stock, fitting
        self._near = Nearness()

    def least(self, kind: Kind) -> _Set:
        """Return a part alone, at that of its ways that takes least liquid."""
        tries = [self.tried((way,), math.inf) for way in kind.ways[self.tank.name]]
        return min((each for each in tries if each is not None), key=lambda each: each.liquid_l)

    def tried(self, ways: Sequence[Footprint], most_l: float) -> _Set | None:
        """Return these parts in one load on no more than so much liquid; None where that was not found."""
        pieces = [Kind(way.part, {self.tank.name: (way,)}) for way in ways]
        loads = nested(pieces, (self.tank,), 1, self._near, 0)
        if len(loads) != 1:
            return None
        hung = loads[0][1]
        level = max(way.level_mm for way in ways)
        taken = _merged([each for way, shift in hung for each in self._taken(way, shift)])
        most_boxes = _STEPPED if any(_is_askew(way) for way in ways) else MOST_BOXES
        own = sum(self._fitting.volume_l(way.part) for way in ways)
        air = sum(self._fitting.air_l(way, level) for way in ways)
        if _together_mm2(taken) * level / MM3_PER_LITRE - own - air > most_l * _SAME:
            return None
        posed = [(way.part, way.moved(shift)) for way, shift in hung]
        without = fill_with(posed, self.tank, level, air).liquid_l
        best = _Set(tuple(hung), (), without, without)
        for boxes in range(1, most_boxes + 1) if self.tank.is_box else ():
            # No more blocks than it takes.
            if best.liquid_l <= most_l * _SAME and math.isfinite(most_l):
                break
            blocks = pieces_beside(self.tank, taken, level, self._stock, boxes)
            if blocks and blocks != best.pieces:
                liquid = fill_with(posed, with_pieces(self.tank, blocks), level, air).liquid_l
                best = replace(best, pieces=blocks, liquid_l=liquid) if liquid < best.liquid_l else best
        return best if best.liquid_l <= most_l * _SAME else None

    def _taken(self, way: Footprint, shift_mm: tuple[float, float]) -> list[Rectangle]:
        """Return what a part takes of the plan, with its clearance: a rectangle, or slices of one askew."""
        from shapely import Polygon, box

        clear = self.tank.rules.side_clearance_mm
        ring = Polygon(way.way.ring + np.array(shift_mm))
        x0, y0, x1, y1 = ring.bounds
        slices = _SLICES if _is_askew(way) else 1
        steps = np.linspace(x0, x1, slices + 1)
        found = []
        for left, right in itertools.pairwise(steps.tolist()):
            low_x, low_y, high_x, high_y = ring.intersection(box(left, y0, right, y1)).bounds
            found.append((low_x - clear, low_y - clear, high_x + clear, high_y + clear))
        return found


def ladder(
    shop: Shop, tank: str | None = None, mixed_l: float | None = None, done: Callable[[], None] = lambda: None
) -> LadderAnswer:
    """Tell in what order loads go in, with which blocks, so that liquid is only added and least is mixed.

    tank: one tank only; else every step of the shop, or every liquid where it has none. mixed_l: what there
    is for each tank; the steps then say whether they can be done. `done` is called after each part. Raises
    `Refused` as `lot` does.
    """
    fitting, works = Fitting.of(shop), works_of(shop, tank)
    steps: list[LadderStep] = []
    baths: list[Bath] = []
    out = []
    for work in works:
        kinds = [fitting.kind(part, work.tanks) for part in fitting.parts]
        out += [left_out(fitting, kind.part, work) for kind in kinds if not kind.ways]
        found = _worked(fitting, work, [kind for kind in kinds if kind.ways], shop.stock, done)
        steps += found[0]
        baths.append(found[1])
    steps = poured(steps)
    if mixed_l is not None:
        steps = [replace(step, can_do=step.liquid_l <= mixed_l * _SAME) for step in steps]
    return LadderAnswer(tuple(steps), tuple(baths), tuple(out), mixed_l)


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
    fitting: Fitting, work: Asked, kinds: Sequence[Kind], stock: Stock, done: Callable[[], None]
) -> tuple[list[LadderStep], Bath]:
    """Return the ladder of each tank of some work, and what is mixed for it."""
    setters = {tank.name: _Setter(fitting, tank, stock) for tank in work.tanks}
    alone: dict[str, dict[str, _Set]] = {}
    for kind in kinds:
        alone[kind.part.name] = {name: setters[name].least(kind) for name in kind.ways}
        done()
    names = [tank.name for tank in work.tanks]
    needs = {part: {name: each.liquid_l for name, each in sets.items()} for part, sets in alone.items()}
    bare = {part: {name: each.without_l for name, each in sets.items()} for part, sets in alone.items()}
    _, held = least_in_all(needs, names)
    steps: list[LadderStep] = []
    for name in names:
        mine = [kind for kind in kinds if _goes_to(needs[kind.part.name], held) == name]
        loads = _loads(
            setters[name], mine, {part: sets[name] for part, sets in alone.items() if name in sets}
        )
        steps += _in_order(fitting, work, setters[name].tank, loads)
    lots = numbered((step.lot for step in steps), fitting.parts)
    steps = [replace(step, lot=lot) for step, lot in zip(steps, lots, strict=True)]
    top = {step.tank: step.liquid_l for step in steps}
    bath = Bath(
        work.name,
        tuple(names),
        tuple(top),
        sum(top.values()),
        bath_at_least_l(fitting, work, stock),
        least_in_all(bare, names)[0],
    )
    return steps, bath


def _goes_to(needs: Mapping[str, float], held: Mapping[str, float]) -> str:
    """Return the tank for a part: of those that hold enough for it, the one that it needs least in."""
    return min((name for name in needs if needs[name] <= held[name]), key=lambda name: needs[name])


def _loads(setter: _Setter, kinds: Sequence[Kind], alone: Mapping[str, _Set]) -> list[_Set]:
    """Return loads, each on no more liquid than the part that needs most."""
    left = {kind.part.name: kind.part.count for kind in kinds}
    order = sorted(kinds, key=lambda kind: -alone[kind.part.name].liquid_l)
    most = max((alone[name].liquid_l for name in left), default=0.0)
    loads = []
    while any(left.values()):
        ways: list[Footprint] = []
        best: _Set | None = None
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


def _in_order(fitting: Fitting, work: Asked, tank: Tank, loads: Sequence[_Set]) -> list[LadderStep]:
    """Return the loads of a tank in the order of their liquid, looked at again by exact distance."""
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


def bath_at_least_l(fitting: Fitting, work: Asked, stock: Stock) -> float:
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


def _is_askew(way: Footprint) -> bool:
    """Tell whether the outline fills little of its box."""
    from shapely import Polygon

    ring = Polygon(way.way.ring)
    return float(ring.area) < _SQUARE * float(ring.envelope.area)


def _together_mm2(taken: Sequence[Rectangle]) -> float:
    """Return the area that rectangles cover: liquid stands there, whatever is stood beside it."""
    from shapely import box, union_all

    return float(union_all([box(*each) for each in taken]).area)


def _merged(taken: Sequence[Rectangle]) -> list[Rectangle]:
    """Return fewer rectangles that hold all of these, those joined that waste least."""
    left = list(taken)
    while len(left) > _MOST_RECTANGLES:
        pairs = [(i, j) for i in range(len(left)) for j in range(i)]
        i, j = min(pairs, key=lambda ij: _waste(left[ij[0]], left[ij[1]]))
        joined = _around(left[i], left[j])
        left = [each for k, each in enumerate(left) if k not in {i, j}] + [joined]
    return left


def _around(one: Rectangle, other: Rectangle) -> Rectangle:
    return min(one[0], other[0]), min(one[1], other[1]), max(one[2], other[2]), max(one[3], other[3])


def _waste(one: Rectangle, other: Rectangle) -> float:
    return area(_around(one, other)) - area(one) - area(other)
