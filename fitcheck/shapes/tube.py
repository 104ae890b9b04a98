"""A rectangular tube along x."""

from __future__ import annotations

from typing import Literal

import numpy as np

from fitcheck.shapes.bricks import bricks
from fitcheck.shapes.shape import Shape, Size, above_zero, under

Ends = Literal["open", "closed", "one"]


def tube(size_mm: Size, wall_mm: float, ends: Ends = "open") -> Shape:
    """Return the rectangular tube of these outside sizes.

    ends: "open"; "closed" (both, which seals the space inside); "one" (the +x end closed). A closed end is as
    thick as the wall. Raises `Refused` for a wall that leaves no space inside.
    """
    above_zero("size", *size_mm)
    above_zero("wall", wall_mm)
    length, width, height = size_mm
    under("wall", wall_mm, min(width, height) / 2.0, "half of the width and height")
    near, far = end_walls_mm(length, wall_mm, ends)
    x = [0.0, near, length - far, length]
    y = [0.0, wall_mm, width - wall_mm, width]
    z = [0.0, wall_mm, height - wall_mm, height]
    filled = np.ones((3, 3, 3), dtype=bool)
    filled[1, 1, 1] = False
    steps = [0] * (near > 0.0) + [1] + [2] * (far > 0.0)
    return Shape(bricks((np.unique(x), y, z), filled[steps], "tube"), size_mm)


def end_walls_mm(length_mm: float, wall_mm: float, ends: Ends) -> tuple[float, float]:
    """Return the thickness of the wall at the low and at the high end; 0 for an open end."""
    near = wall_mm if ends == "closed" else 0.0
    far = 0.0 if ends == "open" else wall_mm
    under("wall", near + far, length_mm, "the length (of the closed ends together)")
    return near, far
