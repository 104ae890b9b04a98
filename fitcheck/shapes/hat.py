"""A hat section along x."""

from __future__ import annotations

import numpy as np

from fitcheck.shapes.bricks import bricks
from fitcheck.shapes.shape import Shape, Size, above_zero, under


def hat(size_mm: Size, wall_mm: float, crown_mm: float | None = None) -> Shape:
    """Return the hat section of these outside sizes, crown on top, open side down (-z), brims at z = 0.

    crown_mm: outside width of the crown, in mid-width; half of the width where it is not given. Raises
    `Refused` for a wall that leaves no space under the crown, and for a crown that leaves no brim.
    """
    above_zero("size", *size_mm)
    above_zero("wall", wall_mm)
    length, width, height = size_mm
    crown = width / 2.0 if crown_mm is None else crown_mm
    above_zero("crown", crown)
    under("crown", crown, width, "the width")
    under("wall", wall_mm, crown / 2.0, "half of the crown's width")
    under("wall", wall_mm, height / 2.0, "half of the height")
    low, high = (width - crown) / 2.0, (width + crown) / 2.0
    y = [0.0, low, low + wall_mm, high - wall_mm, high, width]
    z = [0.0, wall_mm, height - wall_mm, height]
    filled = np.zeros((1, 5, 3), dtype=bool)
    filled[0, [0, 4], 0] = True
    filled[0, [1, 3], :] = True
    filled[0, 2, 2] = True
    return Shape(bricks(([0.0, length], y, z), filled, "hat"), size_mm)
