"""A block that tapers along x."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.shapes.rings import across_x, between
from fitcheck.shapes.shape import Shape, Size, above_zero
from fitcheck.things.solid import Floats, Solid
from fitcheck.words.errors import Refused
from fitcheck.words.units import both_lengths


def wedge(size_mm: Size, end_size_mm: tuple[float, float]) -> Shape:
    """Return the block of this size at x = 0 that tapers to a width and height of end_size_mm at its +x end.

    Its floor stays flat at z = 0 and it is the same to both sides of mid-width. An end size of 0 gives an
    edge or a point. Raises `Refused` for an end that is larger than the size.
    """
    above_zero("size", *size_mm)
    length, width, height = size_mm
    end_width, end_height = end_size_mm
    for end, start in ((end_width, width), (end_height, height)):
        if not (math.isfinite(end) and 0.0 <= end <= start):
            raise Refused(
                f"end_size of {both_lengths(end)} is not between 0 and the size at the other end, "
                f"{both_lengths(start)}",
                "write the large end as size and the small end as end_size",
            )
    edge = (width - end_width) / 2.0
    start_ring = across_x(_rectangle(0.0, width, height), 0.0)
    end_ring = across_x(_rectangle(edge, end_width, end_height), length)
    if min(end_width, end_height) > 0.0:
        return Shape(between(np.array([start_ring, end_ring]), source="wedge"), size_mm)
    return Shape(_pointed(np.vstack([start_ring, end_ring])), size_mm)


def _rectangle(y: float, width: float, height: float) -> Floats:
    return np.array([[y, 0.0], [y + width, 0.0], [y + width, height], [y, height]])


def _pointed(points: Floats) -> Solid:
    """Return the hull of two rings, the second one an edge or a point, without its doubled corners."""
    vertices, index = np.unique(points, axis=0, return_inverse=True)
    a, b = index.reshape(-1)[:4], index.reshape(-1)[4:]
    sides = [(a[i], a[j], b[j], b[i]) for i, j in ((0, 1), (1, 2), (2, 3), (3, 0))]
    quads = [*sides, (a[3], a[2], a[1], a[0]), tuple(b)]
    halves = [half for p, q, r, s in quads for half in ((p, q, r), (p, r, s))]
    triangles = np.array([t for t in halves if len(set(t)) == 3])
    return Solid(vertices, triangles, "wedge")
