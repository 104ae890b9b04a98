"""Blocks beside parts that are in a tank together, as high as the liquid; none stands under a part."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.geometry.liquid.block_pieces import liftable, plan_of
from fitcheck.geometry.plan.columns import Rectangle, boxes_left, empty
from fitcheck.questions.block.ask import MOST_BOXES, PROUD_MM
from fitcheck.things.stock import Piece, Stock
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused


def pieces_beside(
    tank: Tank, taken: Sequence[Rectangle], level_mm: float, stock: Stock, most: int = MOST_BOXES
) -> tuple[Piece, ...]:
    """Return what fills most of the plan beside what parts take, clearances included, with `most` boxes.

    A box of which nobody could lift or cut a piece is left out.
    """
    gap = stock.gap_mm
    plan = (gap, gap, tank.size_mm[0] - gap, tank.size_mm[1] - gap)
    standing = [plan_of(thing, gap) for thing in tank.standing]
    columns = empty(plan, min(level_mm + PROUD_MM, tank.depth_mm))
    for rectangle in [*taken, *standing]:
        columns = columns.without(rectangle)
    boxes = boxes_left(columns, level_mm, gap, stock.thinnest_mm, most)
    return tuple(piece for box, height in boxes for piece in _pieces(box, height, stock))


def _pieces(box: Rectangle, height_mm: float, stock: Stock) -> tuple[Piece, ...]:
    try:
        return liftable(box, height_mm, stock)
    except Refused:
        return ()
