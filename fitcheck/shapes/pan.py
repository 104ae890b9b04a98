"""A tray."""

from __future__ import annotations

import numpy as np

from fitcheck.shapes.bricks import bricks
from fitcheck.shapes.shape import Shape, Size, above_zero, under


def pan(size_mm: Size, wall_mm: float) -> Shape:
    """Return the tray of these outside sizes: a floor and four sides of this wall, open on top (+z).

    Raises `Refused` for a wall that leaves no space inside.
    """
    above_zero("size", *size_mm)
    above_zero("wall", wall_mm)
    length, width, height = size_mm
    under("wall", wall_mm, min(length, width) / 2.0, "half of the length and width")
    under("wall", wall_mm, height, "the height")
    filled = np.ones((3, 3, 2), dtype=bool)
    filled[1, 1, 1] = False
    x = [0.0, wall_mm, length - wall_mm, length]
    y = [0.0, wall_mm, width - wall_mm, width]
    return Shape(bricks((x, y, [0.0, wall_mm, height]), filled, "pan"), size_mm)
