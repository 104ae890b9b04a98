"""Inner and outer boxes on a grid of shapes in plan.

A grid of step u has its lines at whole multiples of u. For a proof, a place anywhere is taken down to the
grid line at its west and south: k = floor(x / u). Two things side by side, x + w <= x', then still are:
k + floor(w / u) <= k', because floor(a) + floor(b) <= floor(a + b). So with every length and every edge taken
down, whatever stands anywhere stands on the grid too; and where all lengths are whole multiples of u, nothing
is lost by it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from fitcheck.things.solid import Floats

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

# What rounding may add to a length given in steps.
_ROUNDING = 1e-7
# A slanting or round shape is cut into so many rows at most.
_ROWS = 48
# Lengths are whole multiples of this but for rounding: 0.1 micrometre.
_FINEST_MM = 1e-4


class Box(NamedTuple):
    """A box on the grid, in steps."""

    left: int
    low: int
    right: int
    high: int


def common_step_mm(lengths_mm: Sequence[float], least_mm: float) -> float:
    """Return the largest step of which all lengths are whole multiples, but no less than `least_mm`."""
    step = 0
    for length in lengths_mm:
        step = math.gcd(step, round(length / _FINEST_MM))
    return max(step * _FINEST_MM, least_mm)


def down(mm: float, step_mm: float) -> int:
    """Return a length in whole steps, rounded down."""
    return math.floor(mm / step_mm + _ROUNDING)


def up(mm: float, step_mm: float) -> int:
    """Return a length in whole steps, rounded up."""
    return math.ceil(mm / step_mm - _ROUNDING)


def covering(ring: Floats, step_mm: float) -> list[Box]:
    """Return boxes on the grid that have all of a convex ring (n, 2)."""
    import shapely

    scaled = ring / step_mm
    (left, low), (right, high) = scaled.min(axis=0), scaled.max(axis=0)
    if _is_upright(ring):
        return _whole([Box(down(left, 1.0), down(low, 1.0), up(right, 1.0), up(high, 1.0))])
    shape = shapely.Polygon(scaled)
    lines = _lines(down(low, 1.0), up(high, 1.0))
    boxes = []
    for a, b in itertools.pairwise(lines):
        row = shapely.clip_by_rect(shape, left - 1.0, a + _ROUNDING, right + 1.0, b - _ROUNDING)
        if not row.is_empty:
            x0, _, x1, _ = row.bounds
            boxes.append(Box(down(x0, 1.0), a, up(x1, 1.0), b))
    return _whole(boxes)


def within(ring: Floats, step_mm: float) -> list[Box]:
    """Return boxes, their edges taken down to the grid, that stand for rectangles within a convex ring."""
    scaled = ring / step_mm
    (left, low), (right, high) = scaled.min(axis=0), scaled.max(axis=0)
    if _is_upright(ring):
        return _whole([Box(*(down(value, 1.0) for value in (left, low, right, high)))])
    inner = [float(line) for line in _lines(up(low, 1.0), down(high, 1.0))]
    lines = [float(low), *(line for line in inner if low < line < high), float(high)]
    boxes = []
    for a, b in itertools.pairwise(lines):
        chords = [_chord(scaled, y) for y in (a, b)]
        x0, x1 = max(chord[0] for chord in chords), min(chord[1] for chord in chords)
        if x1 > x0:
            boxes.append(Box(down(x0, 1.0), down(a, 1.0), down(x1, 1.0), down(b, 1.0)))
    return _whole(boxes)


def apart(boxes: Sequence[Box]) -> list[Box]:
    """Return boxes that have the same floor, none over another."""
    lines = sorted({edge for box in boxes for edge in (box.low, box.high)})
    found: list[Box] = []
    for low, high in itertools.pairwise(lines):
        spans = sorted((box.left, box.right) for box in boxes if box.low <= low and box.high >= high)
        joined: list[list[int]] = []
        for left, right in spans:
            if joined and left <= joined[-1][1]:
                joined[-1][1] = max(joined[-1][1], right)
            else:
                joined.append([left, right])
        for left, right in joined:
            last = next((box for box in found if (box.left, box.right, box.high) == (left, right, low)), None)
            if last is not None:
                found.remove(last)
            found.append(Box(left, last.low if last else low, right, high))
    return found


def convex_pieces(shape: BaseGeometry) -> list[Floats]:
    """Return a polygon with holes as convex rings: cut level through every corner, into trapezoids."""
    import shapely

    found = []
    corners = shapely.get_coordinates(shape)
    if not len(corners):
        return []
    levels = np.unique(np.round(corners[:, 1], 6))
    x0, _, x1, _ = shape.bounds
    for low, high in itertools.pairwise(levels):
        row = shapely.clip_by_rect(shape, x0 - 1.0, low, x1 + 1.0, high)
        found += [
            np.asarray(shapely.get_coordinates(part.convex_hull)[:-1])
            for part in shapely.get_parts(row)
            if part.geom_type == "Polygon" and part.area > 0.0
        ]
    return found


def _is_upright(ring: Floats) -> bool:
    """Return whether a convex ring is a rectangle square to the grid."""
    low, high = ring.min(axis=0), ring.max(axis=0)
    edge = np.minimum(np.abs(ring - low), np.abs(ring - high)) <= _FINEST_MM
    return len(ring) == 4 and bool(edge.all())


def _lines(low: int, high: int) -> list[int]:
    """Return whole grid lines from low to high, not too many."""
    stride = max(1, math.ceil((high - low) / _ROWS))
    return sorted({*range(low, high, stride), high})


def _chord(ring: Floats, y: float) -> tuple[float, float]:
    """Return from where to where a convex ring reaches at a height."""
    crossings = []
    for (ax, ay), (bx, by) in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        if min(ay, by) - _ROUNDING <= y <= max(ay, by) + _ROUNDING:
            if abs(by - ay) <= _ROUNDING:
                crossings += [float(ax), float(bx)]
            else:
                crossings.append(float(ax + (bx - ax) * (y - ay) / (by - ay)))
    return (min(crossings), max(crossings)) if crossings else (math.inf, -math.inf)


def _whole(boxes: Sequence[Box]) -> list[Box]:
    return [box for box in boxes if box.left < box.right and box.low < box.high]
