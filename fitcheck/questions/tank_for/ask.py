"""Which box tank is to be built for a list of parts? Least liquid; proven for one part, bounded for more.

For each part alone the least plan times level is searched and bounded over all its rotations. For a list,
tanks are put together from the extents of every part at many ways of hanging: the best found, beside the
bound that the worst part alone sets. In two passes a part goes straight down, is turned end for end and goes
down again, so half its height and half the overlap are under each time; each part is then asked of `passes`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.envelope import Envelope, envelope_of
from fitcheck.geometry.rotations.least_box import extents, least_box
from fitcheck.geometry.rotations.rotation_cells import Allowed
from fitcheck.geometry.rotations.rotation_symmetry import allowed
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.passes.ask import passes
from fitcheck.questions.tank_for.answer import NewTank, TankForAnswer
from fitcheck.questions.tank_for.cautions import cautions_of
from fitcheck.shapes.block import block
from fitcheck.things.answer import Verdict
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles
from fitcheck.things.shop import Shop
from fitcheck.things.solid import Floats
from fitcheck.things.stock import Panel, Stock
from fitcheck.things.tank import Rules, Tank
from fitcheck.words.errors import Refused
from fitcheck.words.progress import Progress, silent
from fitcheck.words.units import MM3_PER_LITRE

# Ways of hanging that a list is tried at: steps of each angle. Sizes tried of each side of the plan.
STEPS, SIZES = 13, 40
# Angles read off a matrix are off by the root of rounding where the part stands on end.
SAME_RAD = 1e-7
# Ways with room that are asked about two passes, each as it is and a quarter turn round.
TRIED = 3
# Cells looked at for a part alone; in a list the bound is only there to compare with.
MOST_CELLS = 200_000
# Sizes are built to a whole mm.
BUILT_MM = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class _Hung:
    """Extents (k, 3) of a part at some ways, room added, longer side of the plan first; the bound alone.

    ways_rad (k, 3): swing, tilt and roll of each. needs_mm: in one pass; twice_mm: in two, or in one where
    that takes no more.
    """

    ways_rad: Floats
    needs_mm: Floats
    twice_mm: Floats
    at_least_mm3: float


def tank_for(
    parts: Sequence[Part], rules: Rules, stock: Stock | None = None, progress: Progress = silent
) -> TankForAnswer:
    """Tell which box tank takes these parts one at a time, in one pass, on the least liquid.

    Swing limits of a part do not matter: the tank is turned with it.

    Parameters
    ----------
    parts : sequence of Part
        One or more.
    rules : Rules
        The clearances and tapes of the new tank.
    stock : Stock, optional
        What it is cut from; boards of 3/4 in without.
    progress : callable
        Called after each part.

    Returns
    -------
    TankForAnswer
        Inside sizes in mm, liquid in litres: the tank for all first, then those for fewer parts on less. For
        one part the least liquid is proven, for more it is the best found beside a proven bound. What `dip`
        says of each part in the first tank is told, be it that it fits or not.

    Raises
    ------
    Refused
        For no parts.

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> answer = fc.tank_for([shop.parts["P15"]], shop.rules)
    >>> answer.checked, answer.at_least_l <= answer.tanks[0].liquid_l
    ((('P15', 'fits'),), True)
    """
    if not parts:
        raise Refused("no part is named", "name the parts, as in --for P01,P02")
    hung = []
    for part in parts:
        hung.append(_hung(part, rules, MOST_CELLS if len(parts) == 1 else MOST_CELLS // 10))
        progress()
    board = stock or Stock()
    once = [row.needs_mm for row in hung]
    tanks = tuple(_tank(size, takes, parts, rules, board) for size, takes in _choices(once))
    whole = _as_tank(tanks[0], rules)
    in_two, counts = _in_two(hung, parts, rules, board)
    return TankForAnswer(
        parts=tuple(part.name for part in parts),
        tanks=tanks,
        at_least_l=max(row.at_least_mm3 for row in hung) / MM3_PER_LITRE,
        proven_parts=tuple(
            (p.name, h.at_least_mm3 / MM3_PER_LITRE) for p, h in zip(parts, hung, strict=True)
        ),
        checked=tuple((part.name, _goes_in(part, whole)) for part in parts),
        board_mm=board.sheet_thickness_mm,
        in_two=in_two if in_two.liquid_l < tanks[0].liquid_l else None,
        in_two_passes=counts if in_two.liquid_l < tanks[0].liquid_l else (),
        cautions=cautions_of(),
        asked=Shop("", rules=rules, parts={part.name: part for part in parts}, stock=board),
    )


def _goes_in(part: Part, tank: Tank) -> Verdict:
    """Return whether it goes under, swung as the tank has it."""
    free = replace(part, attitude=replace(part.attitude, swing_rad=math.pi))
    return dip(free, tank, with_cures=False).verdict


def _in_two(
    hung: Sequence[_Hung], parts: Sequence[Part], rules: Rules, stock: Stock
) -> tuple[NewTank, tuple[tuple[str, int], ...]]:
    """Return the least tank found that takes all parts in two passes or one, and in how many each.

    A part that `passes` does not bear out is given its room for one pass, and the tank is chosen anew.
    """
    needs = [row.twice_mm for row in hung]
    while True:
        size, takes = _choices(needs)[0]
        new = _tank(size, takes, parts, rules, stock)
        tank = _as_tank(new, rules)
        counts = [
            1 if mine is row.needs_mm else _passes(part, row, size, tank)
            for part, row, mine in zip(parts, hung, needs, strict=True)
        ]
        if None not in counts:
            told = zip(parts, counts, strict=True)
            return new, tuple((part.name, count) for part, count in told if count is not None)
        needs = [
            row.needs_mm if count is None else mine
            for row, mine, count in zip(hung, needs, counts, strict=True)
        ]


def _passes(part: Part, hung: _Hung, size: Floats, tank: Tank) -> int | None:
    """Return in how many passes, two at most, the part goes at a way with room; None: not found."""
    goes_in = np.flatnonzero((hung.twice_mm <= size).all(axis=1))
    least_first = goes_in[np.argsort(hung.twice_mm[goes_in, 2], kind="stable")][:TRIED]
    for swing, tilt, roll in hung.ways_rad[least_first]:
        for quarter in (0.0, math.pi / 2.0):
            answer = passes(part, tank, Angles(float(tilt), float(roll), float(swing) + quarter))
            poses = [each.pose.angles for each in answer.passes]
            if answer.verdict == "fits" and len(poses) <= 2 and all(_may_hang(part, each) for each in poses):
                return len(poses)
    return None


def _may_hang(part: Part, angles: Angles) -> bool:
    """Tell whether the part may be tilted and rolled so far; angles are read off a matrix."""
    tilts, rolls = (
        abs(angles.tilt_rad) - part.attitude.tilt_rad,
        abs(angles.roll_rad) - part.attitude.roll_rad,
    )
    return max(tilts, rolls) <= SAME_RAD


def _hung(part: Part, rules: Rules, most_cells: int) -> _Hung:
    from scipy.spatial import ConvexHull

    points = ActivePoints(part.solid.vertices_mm[ConvexHull(part.solid.vertices_mm).vertices])
    box = _cage(points)
    turns = allowed(part.attitude, points, box)
    # Length and width may change places, so a quarter turn of swing shows all there is.
    eighth = math.pi / 4.0
    turns = Allowed(np.array([-eighth, *turns.low_rad[1:]]), np.array([eighth, *turns.high_rad[1:]]))
    tape = ((rules.tape_part_mm if part.tape_mm is None else part.tape_mm) + rules.tape_tank_mm) / 2.0
    room = 2.0 * (tape + part.chord_mm)
    side = 2.0 * rules.side_clearance_mm + room
    added = np.array([side, side, rules.bottom_clearance_mm + rules.cover_mm + room])
    best = least_box(points, box, turns, added, most_cells)
    grid = [np.linspace(low, high, STEPS) for low, high in zip(turns.low_rad, turns.high_rad, strict=True)]
    ways = np.stack(np.meshgrid(*grid, indexing="ij"), axis=-1).reshape(-1, 3)
    ways = np.vstack([best.angles_rad[None, :], turns.simple_rad, ways])
    needs = np.ceil((extents(points, box, ways) + added) / BUILT_MM - 1e-9) * BUILT_MM
    needs[:, :2] = np.sort(needs[:, :2], axis=1)[:, ::-1]
    return _Hung(ways, needs, _twice(needs, rules, room), best.at_least_mm3)


def _twice(needs_mm: Floats, rules: Rules, room_mm: float) -> Floats:
    """Return what a part needs in two passes straight down, turned end for end between them."""
    high = needs_mm[:, 2] - rules.bottom_clearance_mm - rules.cover_mm
    under = (high + rules.overlap_mm + room_mm) / 2.0 + rules.bottom_clearance_mm + room_mm
    # No tank is less deep than its clearances.
    under = np.maximum(under, rules.bottom_clearance_mm + rules.cover_mm + BUILT_MM)
    twice = needs_mm.copy()
    twice[:, 2] = np.minimum(needs_mm[:, 2], np.ceil(under / BUILT_MM) * BUILT_MM)
    return twice


def _cage(points: ActivePoints) -> Envelope:
    """Return the planes of some box, as large as the part turned."""
    side = 4.0 * float(points.levers_mm[0])
    size = (side, side, side)
    return envelope_of(Tank("cage", block(size).solid, size, Liquid("none")))


def _choices(needs_mm: Sequence[Floats]) -> list[tuple[Floats, list[int]]]:
    """Return (length, width, level) and which parts it takes: all, then fewer on less."""
    first = np.array([rows[0] for rows in needs_mm])
    every = np.concatenate([rows[:, :2] for rows in needs_mm])
    lengths, widths = (
        np.unique(
            np.concatenate(
                [first[:, k], np.quantile(every[:, k], np.linspace(0.0, 1.0, SIZES), method="higher")]
            )
        )
        for k in (0, 1)
    )
    levels = np.stack([_levels(rows, lengths, widths) for rows in needs_mm])
    order = np.sort(levels, axis=0)
    plan = lengths[:, None] * widths
    found: list[tuple[Floats, list[int]]] = []
    least = math.inf
    for count in range(len(needs_mm), 0, -1):
        liquid = plan * order[count - 1]
        i, j = np.unravel_index(int(np.argmin(liquid)), liquid.shape)
        if not liquid[i, j] < least:
            continue
        least = float(liquid[i, j])
        level = order[count - 1, i, j]
        takes = np.flatnonzero(levels[:, i, j] <= level).tolist()
        found.append((np.array([lengths[i], widths[j], level]), takes))
    return found


def _levels(needs_mm: Floats, lengths: Floats, widths: Floats) -> Floats:
    """Return the least level for each length and width (l, w); inf where no way goes in."""
    table = np.full((len(lengths) + 1, len(widths) + 1), np.inf)
    i, j = np.searchsorted(lengths, needs_mm[:, 0]), np.searchsorted(widths, needs_mm[:, 1])
    np.minimum.at(table, (i, j), needs_mm[:, 2])
    grown = np.minimum.accumulate(np.minimum.accumulate(table, axis=0), axis=1)
    return np.asarray(grown[:-1, :-1])


def _tank(size: Floats, takes: list[int], parts: Sequence[Part], rules: Rules, stock: Stock) -> NewTank:
    length, width, level = size.tolist()
    depth = level + math.ceil(rules.freeboard_mm / BUILT_MM) * BUILT_MM
    board = stock.sheet_thickness_mm
    panels = (
        Panel("floor", (length + 2.0 * board, width + 2.0 * board), 1),
        Panel("long side", (length + 2.0 * board, depth), 2),
        Panel("end", (width, depth), 2),
    )
    litres = length * width * level / MM3_PER_LITRE
    return NewTank((length, width, depth), level, litres, tuple(parts[k].name for k in takes), panels)


def _as_tank(new: NewTank, rules: Rules) -> Tank:
    return Tank("new", block(new.inside_mm).solid, new.inside_mm, Liquid("any"), rules)
