"""Displacement blocks as they are built: pieces that one person lifts, their boards, their ballast."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from fitcheck.geometry.plan.columns import Rectangle
from fitcheck.things.stock import HOLD_DOWN, Ballast, Filling, Panel, Piece, Stock
from fitcheck.things.tank import Standing, Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM2_PER_M2, MM3_PER_LITRE, STANDARD_GRAVITY_M_S2

# A box is cut to whole millimetres.
CUT_MM = 1.0
# Dry sand at 100 lb/ft3, and concrete at 145 to 150 lb/ft3 (both from memory).
SAND_KG_L, CONCRETE_KG_L = 1.6, 2.35
WATER_KG_L = 1.0
# Levels at which the pull is told while filling.
QUARTERS = 4


def plan_of(thing: Standing, gap_mm: float) -> Rectangle:
    """Return what of the plan something that stands in the tank takes up, a gap round it."""
    low, high = thing.solid.vertices_mm.min(axis=0) - gap_mm, thing.solid.vertices_mm.max(axis=0) + gap_mm
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def liftable(box: Rectangle, height_mm: float, stock: Stock) -> tuple[Piece, ...]:
    """Return a box as the fewest equal pieces that one person lifts and stock sheets make, gaps between.

    Raises `Refused` where no piece that is worth building is light enough or has boards a sheet gives.
    """
    sides = [math.floor(side / CUT_MM) * CUT_MM for side in (box[2] - box[0], box[3] - box[1])]
    most = [max(int((side + stock.gap_mm) // (stock.thinnest_mm + stock.gap_mm)), 1) for side in sides]
    counts = itertools.product(range(1, most[0] + 1), range(1, most[1] + 1))
    from_sheet = False
    for along, across in sorted(counts, key=lambda pair: (math.prod(pair), max(pair))):
        length = (sides[0] - (along - 1) * stock.gap_mm) / along
        width = (sides[1] - (across - 1) * stock.gap_mm) / across
        size = (length, width, height_mm)
        if not _from_sheet(size, stock):
            continue
        from_sheet = True
        mass = box_mass_kg(size, stock)
        if mass <= stock.lift_kg:
            starts = itertools.product(
                [box[0] + i * (length + stock.gap_mm) for i in range(along)],
                [box[1] + j * (width + stock.gap_mm) for j in range(across)],
            )
            return tuple(Piece(size, (x, y, 0.0), mass) for x, y in starts)
    if from_sheet:
        raise Refused(
            "even pieces of the least useful thickness are heavier than one person is to lift",
            "raise lift or lower thinnest in [stock], or plan to lift them with a hoist",
        )
    raise Refused(
        "the stock sheet is smaller than a board of the smallest useful piece",
        "name a larger sheet in [stock]",
    )


def _from_sheet(size_mm: tuple[float, float, float], stock: Stock) -> bool:
    """Tell whether every board of a box can be cut from a stock sheet in one piece."""
    sheet = sorted(stock.sheet_mm)
    return all(
        side <= stock_side
        for pair in ((0, 1), (0, 2), (1, 2))
        for side, stock_side in zip(sorted(size_mm[axis] for axis in pair), sheet, strict=True)
    )


def box_mass_kg(size_mm: tuple[float, float, float], stock: Stock) -> float:
    """Return what a closed box of sheet, lined outside, weighs empty."""
    outer = math.prod(size_mm)
    board = math.prod(side - 2.0 * stock.lining_mm for side in size_mm)
    wood = max(board - _inside_mm3(size_mm, stock), 0.0)
    return (wood * stock.sheet_kg_l + (outer - board) * stock.lining_kg_l) / MM3_PER_LITRE


def _inside_mm3(size_mm: tuple[float, float, float], stock: Stock) -> float:
    wall = stock.lining_mm + stock.sheet_thickness_mm
    return math.prod(max(side - 2.0 * wall, 0.0) for side in size_mm)


def metacentric_height_mm(piece: Piece, specific_gravity: float) -> float:
    """Return how stable a box floats empty: the height of its metacentre over its centre of mass.

    GM = I / V + KB - KG, for a box of even draught d: b^2 / (12 d) + d / 2 - h / 2 (naval architecture's
    standard formula; below 0 it does not float upright).
    """
    length, width, height = piece.size_mm
    draught = piece.mass_kg / (specific_gravity / MM3_PER_LITRE * length * width)
    return min(length, width) ** 2 / (12.0 * draught) + draught / 2.0 - height / 2.0


def lift_kg(piece: Piece, level_mm: float, specific_gravity: float) -> float:
    """Return what pulls a piece up at a level, empty and held under; below 0 it stands."""
    length, width, height = piece.size_mm
    return specific_gravity / MM3_PER_LITRE * length * width * min(height, level_mm) - piece.mass_kg


def hold_down_n(pieces: Sequence[Piece], level_mm: float, specific_gravity: float) -> float:
    """Return what straps are to hold the pieces with, empty and under at a level."""
    lift = sum(max(lift_kg(piece, level_mm, specific_gravity), 0.0) for piece in pieces)
    return HOLD_DOWN * lift * STANDARD_GRAVITY_M_S2


def floats_at_mm(piece: Piece, specific_gravity: float) -> float:
    """Return the level at which a piece floats up, empty and loose (over its height: it stays)."""
    return piece.mass_kg / (specific_gravity / MM3_PER_LITRE * piece.size_mm[0] * piece.size_mm[1])


def filling(pieces: Sequence[Piece], level_mm: float, specific_gravity: float) -> tuple[Filling, ...]:
    """Return what pulls up on the pieces that would float, at each quarter of the level."""

    def pull_kg(level: float) -> float:
        return sum(max(lift_kg(piece, level, specific_gravity), 0.0) for piece in pieces)

    levels = [level_mm * k / QUARTERS for k in range(1, QUARTERS + 1)]
    return tuple(Filling(level, pull_kg(level) * STANDARD_GRAVITY_M_S2) for level in levels)


def ballast(pieces: Sequence[Piece], level_mm: float, specific_gravity: float, stock: Stock) -> Ballast:
    """Return what keeps the pieces down at a level without straps."""
    lift = sum(lift_kg(piece, level_mm, specific_gravity) for piece in pieces)
    need = sum(max(lift_kg(piece, level_mm, specific_gravity), 0.0) for piece in pieces)
    inside = sum(_inside_mm3(piece.size_mm, stock) for piece in pieces) / MM3_PER_LITRE
    presses = max(
        (piece.mass_kg + max(lift_kg(piece, level_mm, specific_gravity), 0.0))
        / (piece.size_mm[0] * piece.size_mm[1] / MM2_PER_M2)
        for piece in pieces
    )
    return Ballast(
        need,
        need / SAND_KG_L,
        need / CONCRETE_KG_L,
        inside,
        (lift - inside * WATER_KG_L) * STANDARD_GRAVITY_M_S2,
        presses * STANDARD_GRAVITY_M_S2,
    )


def shut_off(tank: Tank, board: Piece, *, beyond: bool) -> Piece:
    """Return the board with the dry end of the tank that it shuts off, as one thing that holds no liquid."""
    length, width, depth = tank.size_mm
    at, thick = board.at_mm[0], board.size_mm[0]
    low, high = (at, length) if beyond else (0.0, at + thick)
    return Piece((high - low, width, depth), (low, 0.0, 0.0), 0.0)


def boards(piece: Piece, stock: Stock) -> Iterator[Panel]:
    """Give the boards of a box with butt joints: top and bottom whole, sides between, ends between those."""
    length, width, height = (side - 2.0 * stock.lining_mm for side in piece.size_mm)
    thick = stock.sheet_thickness_mm
    yield Panel("top and bottom", (length, width), 2)
    yield Panel("side", (length, height - 2.0 * thick), 2)
    yield Panel("end", (width - 2.0 * thick, height - 2.0 * thick), 2)


def counted(panels: Sequence[Panel]) -> tuple[Panel, ...]:
    """Return the panels with equal ones counted together."""
    counts: dict[tuple[str, tuple[float, float]], int] = {}
    for panel in panels:
        size = (round(panel.size_mm[0], 1), round(panel.size_mm[1], 1))
        counts[panel.name, size] = counts.get((panel.name, size), 0) + panel.count
    return tuple(Panel(name, size, count) for (name, size), count in counts.items())


def sheets_by_area(panels: Sequence[Panel], stock: Stock) -> int:
    """Return the fewest sheets that have so much area; offcuts make it more."""
    return math.ceil(
        sum(math.prod(panel.size_mm) * panel.count for panel in panels) / math.prod(stock.sheet_mm)
    )
