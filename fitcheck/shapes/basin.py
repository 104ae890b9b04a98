"""The clear space inside a box tank with rounded inside corners."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.shapes.block import block
from fitcheck.shapes.rings import between
from fitcheck.shapes.shape import Shape, Size, above_zero, under
from fitcheck.things.solid import Floats
from fitcheck.words.errors import Refused

# Flats of a quarter turn: they reach beyond the true corner by 1 % of the fillet, far less than a tape reads.
FLATS_PER_CORNER = 8


def basin(size_mm: Size, fillet_mm: float = 0.0) -> Shape:
    """Return the convex inside of a tank of this clear length, width and depth, up to the rim.

    The edges of the floor and the upright edges are rounded to the fillet, and the bottom corners are eighths
    of a sphere. Each flat touches the true surface and lies outside of it, so that the true space is all
    inside the shape; chord_mm says how far the shape's corners reach beyond. Raises `Refused` where the
    fillet does not go in.
    """
    above_zero("inside", *size_mm)
    if not fillet_mm >= 0.0:
        raise Refused(f"fillet is {fillet_mm:g} mm", "write 0 or more")
    if fillet_mm == 0.0:
        return block(size_mm)
    length, width, depth = size_mm
    under("fillet", fillet_mm, min(length, width) / 2.0, "half of the inside length and width")
    under("fillet", fillet_mm, depth, "the depth")
    reach, height = _profile(fillet_mm)
    turn = _corner()
    cores = np.array([[length, width], [0.0, width], [0.0, 0.0], [length, 0.0]])
    inward = fillet_mm * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    sides = np.concatenate([_quarter_turned(turn, k)[None] for k in range(4)])
    rings = []
    for r, z in zip([*reach, fillet_mm], [*height, depth], strict=True):
        plan = ((cores + inward)[:, None] + r * sides).reshape(-1, 2)
        rings.append(np.column_stack([plan, np.full(len(plan), z)]))
    # Farthest out: the corner of a corner, beyond the sphere by both polygons' share.
    beyond = fillet_mm * (1.0 / math.cos(math.pi / 4.0 / FLATS_PER_CORNER) ** 2 - 1.0)
    return Shape(between(np.array(rings), source="inside"), size_mm, beyond)


def _profile(radius: float) -> tuple[Floats, Floats]:
    """Return reach and height of the corners of the polygon around a quarter circle, from floor to wall."""
    step = math.pi / 2.0 / FLATS_PER_CORNER
    angle = (np.arange(FLATS_PER_CORNER) + 0.5) * step
    far = radius / math.cos(step / 2.0)
    return far * np.sin(angle), radius - far * np.cos(angle)


def _corner() -> Floats:
    """Return the corners of the polygon around the unit quarter circle from +x to +y."""
    step = math.pi / 2.0 / FLATS_PER_CORNER
    angle = (np.arange(FLATS_PER_CORNER) + 0.5) * step
    return np.column_stack([np.cos(angle), np.sin(angle)]) / math.cos(step / 2.0)


def _quarter_turned(points: Floats, turns: int) -> Floats:
    """Return plan points turned by so many quarters, counter-clockwise, exactly."""
    x, y = points.T
    return np.column_stack([(x, y), (-y, x), (-x, -y), (y, -x)][turns])
