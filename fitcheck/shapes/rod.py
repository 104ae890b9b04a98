"""A solid round rod along x."""

from __future__ import annotations

import numpy as np

from fitcheck.shapes.rings import across_x, between, circle, circle_chord_mm
from fitcheck.shapes.shape import Shape, above_zero


def rod(diameter_mm: float, length_mm: float) -> Shape:
    """Return the round rod along x: flats of the same cross-section area as the circle.

    Raises `Refused` for a size that is not above 0.
    """
    above_zero("diameter", diameter_mm)
    above_zero("length", length_mm)
    outline = circle(diameter_mm) + diameter_mm / 2.0
    solid = between(np.array([across_x(outline, 0.0), across_x(outline, length_mm)]), source="rod")
    return Shape(solid, (length_mm, diameter_mm, diameter_mm), circle_chord_mm(diameter_mm))
