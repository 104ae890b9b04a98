"""Parts with hollows, and a tank that has a block in it."""

from __future__ import annotations

from strategies.solids import box, part_of, tank_of

from fitcheck.shapes.manifold import manifold_of, solid_of
from fitcheck.things.part import Part
from fitcheck.things.solid import Solid
from fitcheck.things.tank import Tank
from fitcheck.words.units import MM_PER_INCH


def union(*solids: Solid) -> Solid:
    whole = manifold_of(solids[0])
    for solid in solids[1:]:
        whole += manifold_of(solid)
    return solid_of(whole, "union")


def l_shaped(high_in: float) -> Part:
    """Return a slab 50 x 14 in, so high, with a foot 8 in long at one end that reaches 8 in further down."""
    inch = MM_PER_INCH
    slab = box((50 * inch, 14 * inch, high_in * inch))
    return part_of(union(slab, box((8 * inch, 14 * inch, (high_in + 8) * inch), (42 * inch, 0, -8 * inch))))


def stepped_tank() -> Tank:
    """Return a tank of 60 x 20 x 24 in, half of it filled with a block 12 in high: 12 in are left over it."""
    inch = MM_PER_INCH
    return tank_of(box((60 * inch, 20 * inch, 24 * inch)), None, block=box((30 * inch, 20 * inch, 12 * inch)))


def frame(outer: tuple[float, float, float], wall: float) -> Solid:
    x, y, z = outer
    hole = box((x - 2 * wall, y - 2 * wall, z + 2.0), (wall, wall, -1.0))
    return solid_of(manifold_of(box(outer)) - manifold_of(hole), "frame")
