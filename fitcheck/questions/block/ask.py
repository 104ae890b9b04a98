"""Which block or dam saves most liquid, stays down, and leaves the parts free.

The parts go in one after another, each in a corner of the tank, in the ways that `corner` finds worth trying;
the poses are chosen together with what is built. What stands free beside and under them is filled with boxes
from the floor up, or shut off by a board.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.geometry.liquid.block_pieces import (
    ballast,
    boards,
    counted,
    filling,
    floats_at_mm,
    lift_kg,
    liftable,
    metacentric_height_mm,
    plan_of,
    sheets_by_area,
)
from fitcheck.geometry.liquid.blocks_in_tank import with_pieces
from fitcheck.geometry.mesh.measure import volume_mm3
from fitcheck.geometry.plan.columns import Columns, Rectangle, at_most_free_mm3, boxes_left, empty, under
from fitcheck.geometry.statics.plate import strip_bent
from fitcheck.proving.exact_gaps import recheck
from fitcheck.questions.block.answer import BlockAnswer, Design, FloorSag, TankLoad
from fitcheck.questions.block.cautions import cautions_of
from fitcheck.questions.block.corner import Hung, Way, hung_liquid_l, hung_together, ways_in_corner
from fitcheck.questions.block.dam import dams
from fitcheck.questions.block.ranking import ranked
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop
from fitcheck.things.stock import HOLD_DOWN, Piece, Stock
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM3_PER_LITRE, MM_PER_INCH, MM_PER_METRE, PA_PER_MPA, STANDARD_GRAVITY_M_S2

# Boxes in one design: more are more work than liquid.
MOST_BOXES = 3
# A box stands so much over the liquid that it is not flooded from above.
PROUD_MM = 25.0
# The plan of the parts is cut so often along and across, to find room under what is tilted or notched.
CUTS_ALONG, CUTS_ACROSS = 12, 4
# Rounds in which the pose of one part after another is chosen anew.
ROUNDS = 2
# A line of the plan lies so much beyond a clearance that rounding cannot put it within.
NUDGE_MM = 1e-6
JOISTS_IN = (12.0, 16.0, 24.0)


@dataclass(frozen=True, slots=True, eq=False)
class _Tried:
    """What one way of hanging all parts gives, the liquid without and at least, and what was not built."""

    hung: Hung
    designs: tuple[Design, ...]
    without_l: float
    at_least_l: float
    unbuilt: tuple[str, ...]

    @property
    def least_l(self) -> float:
        return min((design.liquid_l for design in self.designs), default=self.without_l)


def block(tank: Tank, parts: Sequence[Part], stock: Stock | None = None) -> BlockAnswer:
    """Tell which blocks, or which dam, save most liquid while each of the parts can still be dipped.

    Parameters
    ----------
    tank : Tank
        A plain box, as taped; what stands in it already is kept clear of.
    parts : sequence of Part
        One or more, which go in one after another, each as it hangs best beside what is built.
    stock : Stock, optional
        What boards and blocks are made of, and what one person lifts; plywood of 3/4 in without.

    Returns
    -------
    BlockAnswer
        The designs, best first: pieces in mm and kg, liquid in litres, uplift and thrust in N. The liquid is
        what the largest of the parts needs. No designs where there is no room for one that is worth building;
        `unbuilt` then says what was in the way.

    Raises
    ------
    Refused
        For no part, for a tank that is no plain box, and for a part that does not fit the tank as it is,
        tapes included.

    Notes
    -----
    Uplift is what is displaced less the weight (Archimedes), thrust on a board half the specific weight times
    the square of the level (hydrostatics); straps are for 1.5 times the uplift (common practice).

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> answer = fc.block(shop.tanks["T4"], [shop.parts["P09"]], shop.stock)
    >>> best = answer.designs[0]
    >>> best.kind, len(best.pieces), best.liquid_l < answer.without_l
    ('block', 2, True)
    >>> [caution.kind for caution in answer.cautions]
    ['blocks float', 'ask an engineer', 'low rim', 'water test', 'outranked']
    """
    stock = stock or Stock()
    ways = _ways(tank, parts)
    tried = _try_ways(tank, ways, stock)
    without = min(each.without_l for each in tried)
    found = sorted(
        (
            replace(d, saves_l=without - d.liquid_l)
            for each in tried
            for d in each.designs
            if d.liquid_l < without
        ),
        key=lambda each: (each.liquid_l, each.kind),
    )
    designs = ranked(_best_of_each(tank, parts, found), without, stock)
    bound = max(without - each.at_least_l for each in tried)
    best = designs[0].saves_l if designs else 0.0
    level = designs[0].level_mm if designs else min(each.hung.level_mm for each in tried)
    return BlockAnswer(
        tank.name,
        tuple(part.name for part in parts),
        without,
        bound,
        best / bound if bound > 0.0 else 0.0,
        designs,
        _load(tank, level, stock),
        len(tried),
        tank.liquid.recipe.price_per_l,
        tuple(dict.fromkeys(why for each in tried for why in each.unbuilt)),
        cautions=cautions_of(tank),
        asked=replace(Shop.of(tank, *parts), stock=stock),
    )


def _ways(tank: Tank, parts: Sequence[Part]) -> tuple[tuple[Way, ...], ...]:
    """Return the ways of each part that are worth trying; raises `Refused` where nothing can be laid out."""
    if not parts:
        raise Refused("no part was named", "name the parts that are to go in")
    if not tank.is_box:
        raise Refused(
            f"{tank.name} is no plain box", "blocks are laid out in box tanks only; give its clear sizes"
        )
    ways = tuple(ways_in_corner(tank, parts))
    misfits = " and ".join(part.name for part, own in zip(parts, ways, strict=True) if not own)
    if misfits:
        raise Refused(
            f"{misfits} does not fit {tank.name} as it is, tapes included", "ask fitcheck dip what would help"
        )
    return ways


def _try_ways(tank: Tank, ways: Sequence[tuple[Way, ...]], stock: Stock) -> tuple[_Tried, ...]:
    """Return what the ways give: all of one part; of several, one part's way after another's chosen anew."""
    tried: dict[tuple[int, ...], _Tried] = {}

    def least_l(choice: tuple[int, ...]) -> float:
        if choice not in tried:
            hung = hung_together(tank, [own[k] for own, k in zip(ways, choice, strict=True)])
            tried[choice] = _tried(tank, hung, stock)
        return tried[choice].least_l

    if len(ways) == 1:
        for k in range(len(ways[0])):
            least_l((k,))
        return tuple(tried.values())
    lowest = tuple(int(np.argmin([way.level_mm for way in own])) for own in ways)
    best = min(((0,) * len(ways), lowest), key=least_l)
    for _, place in itertools.product(range(ROUNDS), range(len(ways))):
        others = [(*best[:place], k, *best[place + 1 :]) for k in range(len(ways[place]))]
        best = min([best, *others], key=least_l)
    return tuple(tried.values())


def _tried(tank: Tank, hung: Hung, stock: Stock) -> _Tried:
    unbuilt: list[str] = []
    designs = (*_blocks(tank, hung, stock, unbuilt), *dams(tank, hung, stock))
    plan = (0.0, 0.0, tank.size_mm[0], tank.size_mm[1])
    placed = [part.solid.moved(pose.rotation, pose.shift_mm) for part, pose in hung.parts]
    side = tank.rules.side_clearance_mm
    free = at_most_free_mm3(plan, hung.level_mm, placed, side, _below_mm(tank))
    standing = sum(volume_mm3(thing.solid) for thing in tank.standing)
    metal = min(volume_mm3(part.skin) for part, _ in hung.parts)
    whole = plan[2] * plan[3] * hung.level_mm
    at_least = max(whole - free - metal - standing, 0.0) / MM3_PER_LITRE
    return _Tried(hung, designs, hung_liquid_l(tank, hung), at_least, tuple(unbuilt))


def _best_of_each(tank: Tank, parts: Sequence[Part], designs: Sequence[Design]) -> tuple[Design, ...]:
    """Return the best design of each kind and number of pieces, best first, looked at by exact distance."""
    seen: dict[tuple[str, int], Design] = {}
    for design in designs:
        kind = design.kind, len(design.pieces)
        if kind not in seen and _leaves_free(tank, parts, design):
            seen[kind] = design
    return tuple(seen.values())


def _leaves_free(tank: Tank, parts: Sequence[Part], design: Design) -> bool:
    full = with_pieces(tank, design.pieces)
    return all(recheck(part, full, pose).holds for part, pose in zip(parts, design.poses, strict=True))


def _load(tank: Tank, level_mm: float, stock: Stock) -> TankLoad:
    # kg/l times mm is kg/m2.
    pressure = tank.liquid.specific_gravity * level_mm * STANDARD_GRAVITY_M_S2
    sags = tuple(
        FloorSag(
            joists * MM_PER_INCH,
            strip_bent(
                pressure / PA_PER_MPA, joists * MM_PER_INCH, stock.sheet_thickness_mm, stock.modulus_mpa
            ).sag_mm,
        )
        for joists in JOISTS_IN
    )
    thrust = pressure * level_mm / MM_PER_METRE / 2.0
    return TankLoad(level_mm, thrust, pressure, stock.sheet_thickness_mm, sags)


def _blocks(tank: Tank, hung: Hung, stock: Stock, unbuilt: list[str]) -> Iterator[Design]:
    """Give designs of one, two and three boxes; why one was not built is added to `unbuilt`."""
    columns = _free(tank, hung, stock)
    seen: set[tuple[tuple[Rectangle, float], ...]] = set()
    for most in range(1, MOST_BOXES + 1):
        boxes = boxes_left(columns, hung.level_mm, stock.gap_mm, stock.thinnest_mm, most)
        if boxes and boxes not in seen:
            seen.add(boxes)
            pieces: list[Piece] = []
            for box, height in boxes:
                try:
                    pieces += liftable(box, height, stock)
                except Refused as refused:
                    unbuilt.append(refused.problem)
            if pieces:
                yield _block_design(tank, hung, stock, pieces)


def _free(tank: Tank, hung: Hung, stock: Stock) -> Columns:
    """Return how high boxes may stand over the plan, clear of every part and of what stands there."""
    gap = stock.gap_mm
    plan = (gap, gap, tank.size_mm[0] - gap, tank.size_mm[1] - gap)
    columns = empty(plan, min(hung.level_mm + PROUD_MM, tank.depth_mm))
    side = tank.rules.side_clearance_mm
    placed = [part.solid.moved(pose.rotation, pose.shift_mm) for part, pose in hung.parts]
    lows = np.array([solid.vertices_mm.min(axis=0) for solid in placed])
    highs = np.array([solid.vertices_mm.max(axis=0) for solid in placed])
    cuts = [
        [
            *(lows[:, axis] - side - NUDGE_MM).tolist(),
            *(highs[:, axis] + side + NUDGE_MM).tolist(),
            *np.linspace(lows[:, axis].min(), highs[:, axis].max(), count + 1).tolist(),
        ]
        for axis, count in ((0, CUTS_ALONG), (1, CUTS_ACROSS))
    ]
    columns = columns.cut(*cuts)
    for solid in placed:
        columns = under(columns, solid, side, _below_mm(tank))
    for thing in tank.standing:
        columns = columns.without(plan_of(thing, gap))
    return columns


def _below_mm(tank: Tank) -> float:
    """Return how far a part keeps over a block: what settles lies on a block as on the floor."""
    return max(tank.rules.bottom_clearance_mm, tank.rules.side_clearance_mm)


def _block_design(tank: Tank, hung: Hung, stock: Stock, pieces: Sequence[Piece]) -> Design:
    """Return boxes in these places, with what holds them down."""
    specific, level = tank.liquid.specific_gravity, hung.level_mm
    lift = sum(lift_kg(piece, level, specific) for piece in pieces)
    first = min(floats_at_mm(piece, specific) for piece in pieces)
    panels = tuple(panel for piece in pieces for panel in boards(piece, stock))
    held = ballast(pieces, level, specific, stock)
    return Design(
        kind="block",
        pieces=tuple(pieces),
        poses=tuple(pose for _, pose in hung.parts),
        level_mm=level,
        liquid_l=hung_liquid_l(with_pieces(tank, pieces), hung),
        saves_l=0.0,
        empty_mass_kg=sum(piece.mass_kg for piece in pieces),
        panels=counted(panels),
        sheets_at_least=sheets_by_area(panels, stock),
        uplift_n=lift * STANDARD_GRAVITY_M_S2,
        hold_down_n=HOLD_DOWN * max(lift, 0.0) * STANDARD_GRAVITY_M_S2,
        ballast_kg=held.kg,
        lifts_at_mm=first if first < level else None,
        metacentre_mm=min(metacentric_height_mm(piece, specific) for piece in pieces),
        ballast=held,
        filling=filling(pieces, level, specific),
    )
