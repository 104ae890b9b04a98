"""A zee (Z section) along x."""

from __future__ import annotations

import numpy as np

from fitcheck.shapes.bricks import bricks
from fitcheck.shapes.shape import Shape, Size, above_zero, under


def zee(size_mm: Size, wall_mm: float) -> Shape:
    """Return the zee of these outside sizes: web upright in mid-width, foot towards +y, head towards -y.

    Raises `Refused` for a wall that leaves no flange or no web.
    """
    above_zero("size", *size_mm)
    above_zero("wall", wall_mm)
    length, width, height = size_mm
    under("wall", wall_mm, width, "the width")
    under("wall", wall_mm, height / 2.0, "half of the height")
    y = [0.0, (width - wall_mm) / 2.0, (width + wall_mm) / 2.0, width]
    z = [0.0, wall_mm, height - wall_mm, height]
    foot, web, head = 0, 1, 2
    filled = np.zeros((1, 3, 3), dtype=bool)
    filled[0, 1, :] = True
    filled[0, web:, foot] = True
    filled[0, : web + 1, head] = True
    return Shape(bricks(([0.0, length], y, z), filled, "zee"), size_mm)
