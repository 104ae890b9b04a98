"""An angle (L section) along x."""

from __future__ import annotations

import numpy as np

from fitcheck.shapes.bricks import bricks
from fitcheck.shapes.shape import Shape, Size, above_zero, under


def angle(size_mm: Size, wall_mm: float) -> Shape:
    """Return the angle of these outside sizes: one leg along the floor (z = 0), one up the y = 0 side.

    Raises `Refused` for a wall as thick as a leg is long.
    """
    above_zero("size", *size_mm)
    above_zero("wall", wall_mm)
    length, width, height = size_mm
    under("wall", wall_mm, min(width, height), "the width and height")
    filled = np.array([[[True, True], [True, False]]])
    planes = ([0.0, length], [0.0, wall_mm, width], [0.0, wall_mm, height])
    return Shape(bricks(planes, filled, "angle"), size_mm)
