"""A flat rectangular ring."""

from __future__ import annotations

import numpy as np

from fitcheck.shapes.bricks import bricks
from fitcheck.shapes.shape import Shape, Size, above_zero, under


def frame(size_mm: Size, wall_mm: float) -> Shape:
    """Return the flat frame of these outside sizes, of bars as wide as `wall_mm`, open along z.

    Raises `Refused` for bars that leave no opening.
    """
    above_zero("size", *size_mm)
    above_zero("wall", wall_mm)
    length, width, height = size_mm
    under("wall", wall_mm, min(length, width) / 2.0, "half of the length and width")
    filled = np.ones((3, 3, 1), dtype=bool)
    filled[1, 1, 0] = False
    x = [0.0, wall_mm, length - wall_mm, length]
    y = [0.0, wall_mm, width - wall_mm, width]
    return Shape(bricks((x, y, [0.0, height]), filled, "frame"), size_mm)
