"""A channel (U section) along x."""

from __future__ import annotations

import numpy as np

from fitcheck.shapes.bricks import bricks
from fitcheck.shapes.shape import Shape, Size, above_zero, under


def channel(size_mm: Size, wall_mm: float) -> Shape:
    """Return the channel of these outside sizes, its web on top and its open side down (-z).

    Raises `Refused` for a wall that leaves no space inside.
    """
    above_zero("size", *size_mm)
    above_zero("wall", wall_mm)
    length, width, height = size_mm
    under("wall", wall_mm, width / 2.0, "half of the width")
    under("wall", wall_mm, height, "the height")
    y = [0.0, wall_mm, width - wall_mm, width]
    z = [0.0, height - wall_mm, height]
    filled = np.ones((1, 3, 2), dtype=bool)
    filled[0, 1, 0] = False
    return Shape(bricks(([0.0, length], y, z), filled, "channel"), size_mm)
