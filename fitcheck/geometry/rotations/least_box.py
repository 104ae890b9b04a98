"""Smallest box, with room added at its sides, around a part that may be turned: found, and proven.

What is made least is the product of (extent + added room) over length, width and height. Over a cell of
rotations each extent is at least a linear function of the angles (`support.reach`); the logarithm of a
product of linear functions is concave, so the product is least at a corner of the cell, and the least of
eight corners is a bound. Where a linear function is not above 0 all over the cell, the least of each factor
is taken instead.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.envelope import Envelope
from fitcheck.geometry.rotations.rotation_cells import Allowed, Cells
from fitcheck.geometry.rotations.rotation_search import ROUNDING, WIDEST_RAD
from fitcheck.geometry.rotations.support_function import farthest, reach
from fitcheck.things.solid import Floats, Indices

# Cells taken from the front in a round, and how often each is halved: measured, not derived.
TAKEN, HALVINGS = 256, 2
_CORNERS = np.array(list(itertools.product((-1.0, 1.0), repeat=3)))


@dataclass(frozen=True, slots=True, eq=False)
class LeastBox:
    """The least product found and the rotation (swing, tilt, roll); proven: none is under at_least_mm3."""

    volume_mm3: float
    at_least_mm3: float
    angles_rad: Floats


def extents(points: ActivePoints, box: Envelope, angles_rad: Floats) -> Floats:
    """Return length, width and height (k, 3) of the part at rotations (k, 3)."""
    _, value = farthest(points.all_mm, box, angles_rad)
    plus, minus = _pairs(box)
    return np.asarray(value[:, plus] + value[:, minus])


def least_box(
    points: ActivePoints,
    box: Envelope,
    turns: Allowed,
    added_mm: Floats,
    most_cells: int = 200_000,
    gap: float = 0.005,
) -> LeastBox:
    """Return the least product of extents and added_mm (3,), to a share `gap` or until most_cells."""

    def exact(angles: Floats) -> Floats:
        return np.asarray((extents(points, box, angles) + added_mm).prod(axis=1))

    tries = turns.simple_rad
    found = exact(tries)
    best, where = float(found.min()), tries[found.argmin()]
    fresh, cells, low = turns.cells(WIDEST_RAD), Cells(np.zeros((0, 3)), np.zeros((0, 3))), np.zeros(0)
    evaluated = 0
    while len(fresh):
        evaluated += len(fresh)
        middles = exact(fresh.middle_rad)
        if middles.min() < best:
            best, where = float(middles.min()), fresh.middle_rad[middles.argmin()]
        cells = cells.joined(fresh)
        low = np.concatenate([low, _bound(points, box, fresh, added_mm)])
        keep = low < best * (1.0 - gap)
        cells, low = cells.chosen(keep), low[keep]
        if evaluated >= most_cells or not len(low):
            break
        order = np.argsort(low, kind="stable")
        fresh = cells.chosen(order[:TAKEN])
        for _ in range(HALVINGS):
            fresh = fresh.halved(points.levers_mm)
        cells, low = cells.chosen(order[TAKEN:]), low[order[TAKEN:]]
    return LeastBox(best, min(best * (1.0 - gap), float(low.min(initial=np.inf))), where)


def _bound(points: ActivePoints, box: Envelope, cells: Cells, added_mm: Floats) -> Floats:
    """Return a lower bound of the product in each cell (B,)."""
    there = reach(points.all_mm, box, cells, cells.middle_rad)
    plus, minus = _pairs(box)
    value = (there.value - there.drop)[:, plus] + (there.value - there.drop)[:, minus]
    slope = there.gradient[:, plus] + there.gradient[:, minus]
    steps = _CORNERS[None] * cells.half_rad[:, None, :]
    at_corners = value[:, None, :] + np.einsum("bci,bki->bck", steps, slope) - ROUNDING * box.size_mm
    straight = (at_corners > 0.0).all(axis=(1, 2))
    by_corner = (np.maximum(at_corners, 0.0) + added_mm).prod(axis=2).min(axis=1)
    by_axis = (np.maximum(at_corners.min(axis=1), 0.0) + added_mm).prod(axis=1)
    return np.asarray(np.where(straight, by_corner, by_axis))


def _pairs(box: Envelope) -> tuple[Indices, Indices]:
    """Return which planes of a box face along +x, +y, +z, and which the other way."""
    return box.normals.argmax(axis=0), box.normals.argmin(axis=0)
