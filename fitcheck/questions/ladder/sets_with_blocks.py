"""Parts in their places in a tank with blocks beside them, on as little liquid as is found or as is there."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.geometry.liquid.blocks_in_tank import with_pieces
from fitcheck.geometry.liquid.fill_level import fill_with
from fitcheck.geometry.mesh.measure import volume_mm3
from fitcheck.geometry.plan.columns import Rectangle, area
from fitcheck.geometry.plan.outline_nesting import Nearness
from fitcheck.questions.block.ask import MOST_BOXES
from fitcheck.questions.ladder.answer import Built
from fitcheck.questions.ladder.blocks_beside import pieces_beside
from fitcheck.questions.ladder.few_blocks import Place, Spot, enough_of, of_these
from fitcheck.questions.lot.fewest_loads import nested
from fitcheck.questions.lot.hanging_candidates import Footprint
from fitcheck.questions.lot.ways import Fitting, Kind
from fitcheck.things.stock import Piece, Stock
from fitcheck.things.tank import Tank
from fitcheck.words.units import MM3_PER_LITRE

# What parts take of the plan is given to the search for blocks as so many rectangles at most.
_MOST_RECTANGLES = 8
# An outline that fills less of its box lies askew: it is taken in slices, with more blocks beside it.
_SQUARE, _SLICES, _STEPPED = 0.7, 8, 9
# Litres that are the same but for rounding.
SAME = 1.0 + 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class LoadSet:
    """Parts in their places in a tank, with blocks beside them, and the liquid that takes."""

    hung: tuple[tuple[Footprint, tuple[float, float]], ...]
    pieces: tuple[Piece, ...]
    liquid_l: float
    without_l: float


class Setter:
    """Sets parts and blocks into one tank: blocks made for each load, or such as are built once for all."""

    def __init__(
        self, fitting: Fitting, tank: Tank, stock: Stock, built: Sequence[Built] | None = None
    ) -> None:
        self.tank, self._stock, self._fitting, self._built = tank, stock, fitting, built
        self._near = Nearness()
        self._standing_l = sum(volume_mm3(thing.solid) for thing in tank.standing) / MM3_PER_LITRE

    def alone(self, kind: Kind) -> list[LoadSet]:
        """Return a part alone, at each of its ways."""
        tries = [self.tried((way,), math.inf) for way in kind.ways[self.tank.name]]
        return [each for each in tries if each is not None]

    def tried(self, ways: Sequence[Footprint], most_l: float) -> LoadSet | None:
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
        # What stands in the tank may be under a part.
        under = own + air + self._standing_l
        if _together_mm2(taken) * level / MM3_PER_LITRE - under > most_l * SAME:
            return None
        posed = [(way.part, way.moved(shift)) for way, shift in hung]
        without = fill_with(posed, self.tank, level, air).liquid_l
        best = LoadSet(tuple(hung), (), without, without)
        if self._built is not None:
            place = Place.of(self.tank, self._stock, taken, level)
            if math.isfinite(most_l):
                stood = enough_of(place, self._built, without - most_l)
            else:
                stood = of_these(place, self._built)
            best = replace(best, pieces=stood.pieces, liquid_l=without - stood.displaced_l)
            return best if best.liquid_l <= most_l * SAME else None
        for boxes in range(1, most_boxes + 1) if self.tank.is_box else ():
            # No more blocks than it takes.
            if best.liquid_l <= most_l * SAME and math.isfinite(most_l):
                break
            blocks = pieces_beside(self.tank, taken, level, self._stock, boxes)
            if blocks and blocks != best.pieces:
                liquid = fill_with(posed, with_pieces(self.tank, blocks), level, air).liquid_l
                best = replace(best, pieces=blocks, liquid_l=liquid) if liquid < best.liquid_l else best
        return best if best.liquid_l <= most_l * SAME else None

    def spot(self, alone: LoadSet) -> Spot:
        """Return where a part alone leaves room for blocks, and its liquid without any."""
        taken = _merged([each for way, shift in alone.hung for each in self._taken(way, shift)])
        level = max(way.level_mm for way, _ in alone.hung)
        return Spot(alone.without_l, Place.of(self.tank, self._stock, taken, level))

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
