"""Meshes wound from rings of points: round shapes, extruded outlines, tapers and rounded corners."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from fitcheck.things.solid import Floats, Indices, Solid

# Flats of a full circle. A multiple of 4, so that four of them touch the sides of the box around it.
FLATS = 72


def circle(diameter_mm: float) -> Floats:
    """Return the (72, 2) corners of the polygon of the same area as the circle around (0, 0).

    Equal area keeps litres and masses right. Corner 0 is half a flat past the first axis.
    """
    step = 2.0 * math.pi / FLATS
    radius = 0.5 * diameter_mm * math.sqrt(step / math.sin(step))
    angle = (np.arange(FLATS) + 0.5) * step
    return radius * np.column_stack([np.cos(angle), np.sin(angle)])


def circle_chord_mm(diameter_mm: float) -> float:
    """Return how far that polygon and its circle part: corners outside by more than flats inside."""
    step = 2.0 * math.pi / FLATS
    corner = 0.5 * diameter_mm * math.sqrt(step / math.sin(step))
    return max(corner - 0.5 * diameter_mm, 0.5 * diameter_mm - corner * math.cos(step / 2.0))


def across_x(outline_mm: Floats, x_mm: float) -> Floats:
    """Return the (n, 3) ring of an outline of (y, z) points at this x."""
    return np.column_stack([np.full(len(outline_mm), x_mm), outline_mm])


def between(rings: ArrayLike, caps: Indices | None = None, source: str = "shape") -> Solid:
    """Return the solid wound over (k, n, 3) rings, each joined to the next and the two end rings capped.

    Each ring runs counter-clockwise seen from ahead, looking back along the way that the rings go.
    caps: (m, 3) triangles of the ring's points that fill it, counter-clockwise; None fills a convex ring from
    its middle.
    """
    points = np.asarray(rings, dtype=np.float64)
    count, around = points.shape[:2]
    walls = _walls(count - 1, around)
    last = (count - 1) * around
    vertices = points.reshape(-1, 3)
    if caps is None:
        here = np.arange(around)
        first_middle, last_middle = len(vertices), len(vertices) + 1
        vertices = np.vstack([vertices, points[0].mean(axis=0), points[-1].mean(axis=0)])
        start = np.column_stack([np.roll(here, -1), here, np.full(around, first_middle)])
        end = np.column_stack([here + last, np.roll(here, -1) + last, np.full(around, last_middle)])
    else:
        start, end = caps[:, ::-1], caps + last
    return Solid(vertices, np.vstack([walls, start, end]), source)


def endless(rings: ArrayLike, source: str = "shape") -> Solid:
    """Return the solid wound over (k, n, 3) rings, the last joined to the first, without caps."""
    points = np.asarray(rings, dtype=np.float64)
    count, around = points.shape[:2]
    return Solid(points.reshape(-1, 3), _walls(count, around) % (count * around), source)


def _walls(steps: int, around: int) -> Indices:
    """Return the triangles of the quadrilaterals between each of `steps` rings and the next."""
    here = np.arange(around)
    ahead = np.roll(here, -1)
    one = np.column_stack([here, ahead, ahead + around])
    two = np.column_stack([here, ahead + around, here + around])
    band = np.vstack([one, two])
    shifts = np.arange(steps) * around
    walls: Indices = (band[None] + shifts[:, None, None]).reshape(-1, 3)
    return walls
