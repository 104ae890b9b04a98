"""The rotation search, asked about the corners of a part in a tank."""

from __future__ import annotations

import math

import numpy as np
from oracles.referee import settled
from strategies.solids import box, hulled, tank_of

from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.envelope import Envelope, envelope_of
from fitcheck.geometry.rotations.rotation_search import Budget, Least, Search
from fitcheck.geometry.rotations.rotation_symmetry import allowed
from fitcheck.things.part import Attitude
from fitcheck.things.solid import Floats

# Laid flat: only the swing is free.
FLAT = Attitude(tilt_rad=0.0, roll_rad=0.0)


# Sums of tens of products of metres, and what the search forgives.
ROUNDING_MM = 1e-5


def searched(
    part: Floats,
    tank: Envelope,
    budget: Budget,
    attitude: Attitude | None = None,
    at_most_mm: float = math.inf,
) -> Least:
    """Return what the search finds for the points of a part, every plane giving way alike."""
    points = ActivePoints(np.asarray(part, dtype=float))
    turns = allowed(attitude or Attitude(), points, tank)
    return Search(points, tank, np.ones(len(tank.normals))).least(turns, budget, at_most_mm)


def boxed(*size: float) -> Envelope:
    return envelope_of(tank_of(box(size)))


def held_in(corners: Floats) -> Envelope:
    return envelope_of(tank_of(hulled(settled(corners))))


def fits(part: Floats, tank: Envelope, gap_mm: float, attitude: Attitude | None = None) -> bool | None:
    """Return True for a witness, False for a proof, None for neither."""
    found = searched(part, tank, Budget(gap_mm=gap_mm, most_cells=300_000), attitude)
    if found.tau_mm <= 0.0:
        return True
    return False if found.at_least_mm > 0.0 else None
