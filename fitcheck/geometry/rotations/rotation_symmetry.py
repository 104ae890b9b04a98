"""Rotations that need to be searched: those allowed, less exact twins by symmetry."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.envelope import Envelope
from fitcheck.geometry.rotations.rotation_cells import Allowed
from fitcheck.things.part import Attitude
from fitcheck.things.pose import Angles
from fitcheck.things.solid import Floats

HALF, QUARTER = math.pi, math.pi / 2.0
# How many turns about its length a part is tried for: a 72-gon is the finest that the shapes make.
FOLDS = (72, 36, 24, 18, 12, 9, 8, 6, 5, 4, 3, 2)
# More points than this are not tried: such a part is seldom round to the last digit.
MOST_POINTS = 1000
# Points that a turn brings onto each other differ by rounding of sines only.
SAME_POINT = 1e-12
FEW = 8
# With more pairs of points than this a tree finds the nearest sooner.
MANY_PAIRS = 50_000


def held(angles: Angles) -> Allowed:
    """Return the one rotation with these angles."""
    only = np.array([angles.swing_rad, angles.tilt_rad, angles.roll_rad])
    return Allowed(only, only)


def all_allowed(attitude: Attitude) -> Allowed:
    """Return the box of all allowed rotations, for a tank that tells each from every other."""
    tilt = min(attitude.tilt_rad, QUARTER)
    most = np.array([min(attitude.swing_rad, HALF), tilt, min(attitude.roll_rad, HALF)])
    return Allowed(-most, most)


def allowed(attitude: Attitude, points: ActivePoints, envelope: Envelope) -> Allowed:
    """Return a box of rotations that holds one of each kind of allowed rotation.

    A box tank does not tell a part from the same part turned by half a turn about an upright, lengthwise or
    crosswise axis: swings beyond a quarter turn repeat, and so do downward tilts where any roll is allowed.
    A part that is the same after a share of a turn about its length needs only that share of the rolls.
    """
    swing, tilt = min(attitude.swing_rad, HALF), min(attitude.tilt_rad, QUARTER)
    roll, lowest_tilt = min(attitude.roll_rad, HALF), -tilt
    box = envelope.complete and bool((np.abs(envelope.axes).max(axis=1) > 1.0 - SAME_POINT).all())
    if box:
        swing = min(swing, QUARTER)
    if roll >= HALF:
        roll = HALF / fold(points)
        lowest_tilt = 0.0 if box else -tilt
    return Allowed(np.array([-swing, lowest_tilt, -roll]), np.array([swing, tilt, roll]))


def fold(points: ActivePoints) -> int:
    """Return the share of a turn about its length, 1 in so many, that brings a part onto itself."""
    some = points.all_mm
    if len(some) > MOST_POINTS:
        return 1
    near = SAME_POINT * float(np.abs(some).max())
    radius = np.hypot(some[:, 1], some[:, 2])
    outermost = int((radius >= radius.max() - near).sum())
    # A turn brings the outermost points onto each other, so many at a time.
    for count in (fold for fold in FOLDS if outermost % fold == 0):
        cosine, sine = math.cos(2.0 * math.pi / count), math.sin(2.0 * math.pi / count)
        turned = some @ np.array([[1.0, 0.0, 0.0], [0.0, cosine, sine], [0.0, -sine, cosine]])
        # A few points settle most cases.
        if all(_all_among(few, some, near) for few in (turned[:FEW], turned[FEW:]) if len(few)):
            return count
    return 1


def _all_among(points: Floats, others: Floats, near_mm: float) -> bool:
    """Tell whether every one of the points is as good as on one of the others."""
    if len(points) * len(others) > MANY_PAIRS:
        from scipy.spatial import cKDTree

        return bool(cKDTree(others).query(points, p=np.inf)[0].max() <= near_mm)
    apart = np.abs(points[:, None, :] - others[None, :, :]).max(axis=2)
    return bool(apart.min(axis=1).max() <= near_mm)
