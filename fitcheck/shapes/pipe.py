"""A round tube along x."""

from __future__ import annotations

import numpy as np

from fitcheck.shapes.rings import across_x, between, circle, circle_chord_mm, endless
from fitcheck.shapes.shape import Shape, above_zero, under
from fitcheck.shapes.tube import Ends, end_walls_mm
from fitcheck.things.solid import Floats, Solid


def pipe(diameter_mm: float, length_mm: float, wall_mm: float, ends: Ends = "open") -> Shape:
    """Return the pipe of this outside diameter along x; inside and outside are flats of their circles' areas.

    ends: "open"; "closed" (both, which seals the space inside); "one" (the +x end closed). A closed end is as
    thick as the wall. Raises `Refused` for a wall that leaves no space inside.
    """
    above_zero("diameter", diameter_mm)
    above_zero("length", length_mm)
    above_zero("wall", wall_mm)
    under("wall", wall_mm, diameter_mm / 2.0, "half of the diameter")
    near, far = end_walls_mm(length_mm, wall_mm, ends)
    outer = circle(diameter_mm) + diameter_mm / 2.0
    inner = circle(diameter_mm - 2.0 * wall_mm) + diameter_mm / 2.0
    outside = [across_x(outer, 0.0), across_x(outer, length_mm)]
    inside = [across_x(inner, length_mm - far), across_x(inner, near)]
    if ends == "open":
        solid = endless(np.array(outside + inside), "pipe")
    elif ends == "one":
        solid = between(np.array(inside + outside), source="pipe")
    else:
        solid = _sealed(outside, inside)
    return Shape(solid, (length_mm, diameter_mm, diameter_mm), circle_chord_mm(diameter_mm))


def _sealed(outside: list[Floats], inside: list[Floats]) -> Solid:
    """Return both skins of a closed pipe in one solid, the inner one facing the space."""
    skin = between(np.array(outside), source="pipe")
    space = between(np.array(inside[::-1]), source="pipe")
    vertices = np.vstack([skin.vertices_mm, space.vertices_mm])
    inner = space.triangles[:, ::-1] + len(skin.vertices_mm)
    return Solid(vertices, np.vstack([skin.triangles, inner]), "pipe")
