"""Round holes drilled along an axis."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

import numpy as np

from fitcheck.shapes.manifold import manifold_of, solid_of
from fitcheck.shapes.rings import across_x, between, circle, circle_chord_mm
from fitcheck.shapes.shape import Shape, above_zero
from fitcheck.things.solid import Solid
from fitcheck.words.errors import Refused

if TYPE_CHECKING:
    from manifold3d import Manifold

Axis = Literal["x", "y", "z"]


@dataclass(frozen=True, slots=True)
class Hole:
    """A round hole along an axis through the point `at_mm`.

    It goes through the wall that is met first when drilling along the axis from the outside nearer to `at_mm`
    (from the low side where both are as near), or through all walls with through=True.
    """

    at_mm: tuple[float, float, float]
    along: Axis
    diameter_mm: float
    through: bool = False


def drilled(shape: Shape, hole: Hole) -> Shape:
    """Return the shape with the hole in it; 72 flats stand for the hole, of the circle's area.

    Raises `Refused` for a hole that misses the part, that cuts it apart or leaves nothing of it, and for one
    whose first wall cannot be told from the next.
    """
    above_zero("diameter", hole.diameter_mm)
    axis = "xyz".index(hole.along)
    part = manifold_of(shape.solid)
    low, high = _outside(shape.solid, axis)
    cores = (part ^ _bit(hole, low, high)).decompose()
    spans = sorted((c.bounding_box()[axis], c.bounding_box()[axis + 3]) for c in cores if c.volume() > 0.0)
    if not spans:
        raise Refused(f"the hole at {_place(hole)} misses the part", "move `at` onto it, or turn `along`")
    start, end = (low, high) if hole.through else _first_wall(hole, spans, (low, high))
    rest = part - _bit(hole, start, end)
    if _bodies(rest) != _bodies(part):
        raise Refused(
            f"the hole at {_place(hole)} cuts the part in two or leaves nothing of it",
            "make its diameter smaller",
        )
    chord = max(shape.chord_mm, circle_chord_mm(hole.diameter_mm))
    return Shape(solid_of(rest, shape.solid.source), shape.size_mm, chord)


def _outside(solid: Solid, axis: int) -> tuple[float, float]:
    """Return a place below and one above all of the solid, clear of its faces."""
    values = solid.vertices_mm[:, axis]
    clear = 0.5 * float(np.ptp(values))
    return float(values.min()) - clear, float(values.max()) + clear


def _bit(hole: Hole, start_mm: float, end_mm: float) -> Manifold:
    """Return the round bar that the hole removes, from start to end along its axis."""
    axis = "xyz".index(hole.along)
    rings = np.array([across_x(circle(hole.diameter_mm), at) for at in (start_mm, end_mm)])
    # x, y, z in turn: so moved round, the bar keeps its outside out.
    turned = np.roll(rings, axis, axis=-1)
    centre = np.array(hole.at_mm, dtype=np.float64)
    centre[axis] = 0.0
    return manifold_of(between(turned + centre, source="hole"))


def _first_wall(
    hole: Hole, spans: list[tuple[float, float]], outside: tuple[float, float]
) -> tuple[float, float]:
    """Return from where to where to drill so that only the wall nearest to the outside is cut.

    spans: where the full bar lies in metal, along the axis. The bar ends half-way to the next wall.
    """
    at = hole.at_mm["xyz".index(hole.along)]
    walls = spans[:1]
    for span in spans[1:]:
        # Pieces that share a stretch of the axis lie side by side in one wall.
        if span[0] <= walls[-1][1]:
            walls[-1] = (walls[-1][0], max(walls[-1][1], span[1]))
        else:
            walls.append(span)
    gaps = [(below[1] + above[0]) / 2.0 for below, above in pairwise(walls)]
    from_low = abs(at - walls[0][0]) <= abs(walls[-1][1] - at)
    stops = [outside[0], *gaps, outside[1]]
    return (stops[0], stops[1]) if from_low else (stops[-2], stops[-1])


def _bodies(manifold: Manifold) -> int:
    """Return the number of separate pieces of metal (skins that face outward)."""
    return sum(piece.volume() > 0.0 for piece in manifold.decompose())


def _place(hole: Hole) -> str:
    return f"({', '.join(f'{value:g}' for value in hole.at_mm)}) mm along {hole.along}"
