"""A solid block."""

from __future__ import annotations

import numpy as np

from fitcheck.shapes.bricks import bricks
from fitcheck.shapes.shape import Shape, Size, above_zero


def block(size_mm: Size) -> Shape:
    """Return the box of this length, width and height, its low corner at the origin.

    Raises `Refused` for a size that is not above 0.
    """
    above_zero("size", *size_mm)
    length, width, height = size_mm
    solid = bricks(([0.0, length], [0.0, width], [0.0, height]), np.ones((1, 1, 1), dtype=bool), "block")
    return Shape(solid, size_mm)
