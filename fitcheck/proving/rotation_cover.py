"""Check that the cells of a proof cover every rotation, or pose, that is allowed.

A box of them has to be held; it is cut along the sides of the cells until each piece lies in one.
"""

from __future__ import annotations

import math

import numpy as np

from fitcheck.things.part import HALF_TURN, QUARTER_TURN, Part
from fitcheck.things.proof import Proof
from fitcheck.things.solid import Floats, Indices

# Edges of cells that were halved again and again differ by roundings of radians; each cell is taken this
# much wider than it is written.
EDGE_RAD = 1e-12
# Points that a turn brings onto each other differ by rounding of sines only, as a share of the size.
SAME_POINT = 1e-9


def to_be_covered(
    part: Part, sides: list[tuple[Floats, Floats]], points: Floats, proof: Proof
) -> tuple[Floats, Floats]:
    """Return the box of rotations (swing, tilt, roll) that holds one of each kind that is allowed.

    A box tank does not tell a part from itself after half a turn about an upright, lengthwise or crosswise
    line. A part that is the same after a share of a turn about its length needs only that share of the rolls.
    """
    attitude = part.attitude
    swing, tilt = min(attitude.swing_rad, HALF_TURN), min(attitude.tilt_rad, QUARTER_TURN)
    roll, lowest = min(attitude.roll_rad, HALF_TURN), -tilt
    rolls, box = (-roll, roll), len(sides) > 0 and all(_is_square(normals) for normals, _ in sides)
    if box:
        swing = min(swing, QUARTER_TURN)
    if roll >= HALF_TURN:
        lowest = 0.0 if box else -tilt
        rolls = _rolls_told(points, proof) if proof.middle_mm is None else rolls
    return np.array([-swing, lowest, rolls[0]]), np.array([swing, tilt, rolls[1]])


def on_end_too() -> tuple[tuple[tuple[Floats, Floats], ...], tuple[tuple[Floats, Floats], ...]]:
    """Return boxes of rotations as drawn, and on end, in one or another of which every rotation is.

    On end: as (swing, tilt, roll) of the part with its axes named anew, height, length, width. Its length
    then rises by the angle whose sine is cos(tilt) . sin(roll). As drawn that angle is the tilt: up to 45
    degrees it is in the first box, and beyond, that tilt is under 45 degrees and that roll nearer than 45
    degrees to a quarter turn, since neither factor is under sin 45.
    """
    eighth = QUARTER_TURN / 2.0
    level = np.array([HALF_TURN, eighth, HALF_TURN])
    on_end = tuple(
        (np.array([-HALF_TURN, -eighth, roll - eighth]), np.array([HALF_TURN, eighth, roll + eighth]))
        for roll in (QUARTER_TURN, -QUARTER_TURN)
    )
    return ((-level, level),), on_end


def _rolls_told(points: Floats, proof: Proof) -> tuple[float, float]:
    """Return the rolls that the proof goes over where those are all that differ, else a whole turn."""
    if len(proof.middle_rad):
        low = float((proof.middle_rad[:, 2] - proof.half_rad[:, 2]).min())
        high = float((proof.middle_rad[:, 2] + proof.half_rad[:, 2]).max())
        share = high - low
        if EDGE_RAD < share <= 2.0 * HALF_TURN and _is_the_same_after(points, share):
            return low, high
    return -HALF_TURN, HALF_TURN


def _is_the_same_after(points: Floats, turn_rad: float) -> bool:
    """Tell whether a turn about its length, a whole share of one, brings a part's hull onto itself."""
    times = 2.0 * HALF_TURN / turn_rad
    if abs(times - round(times)) > EDGE_RAD * times:
        return False
    from scipy.spatial import cKDTree

    cosine, sine = math.cos(turn_rad), math.sin(turn_rad)
    turned = points @ np.array([[1.0, 0.0, 0.0], [0.0, cosine, sine], [0.0, -sine, cosine]])
    apart, _ = cKDTree(points).query(turned)
    return bool(apart.max() <= SAME_POINT * float(np.abs(points).max()))


def _is_square(normals: Floats) -> bool:
    """Tell whether all planes are square to the axes: the room behind them is a box."""
    return bool((np.abs(normals).max(axis=1) > 1.0 - SAME_POINT).all())


def covered(low: Floats, high: Floats, lows: Floats, highs: Floats) -> bool:
    """Tell whether boxes (n, 3) cover the box low..high: it is cut along their sides, piece by piece."""
    todo: list[tuple[Floats, Floats, Indices]] = [(low, high, np.arange(len(lows)))]
    while todo:
        low, high, near = todo.pop()
        meets = (lows[near] <= high + EDGE_RAD) & (highs[near] >= low - EDGE_RAD)
        near = near[meets.all(axis=1)]
        holds = (lows[near] <= low + EDGE_RAD) & (highs[near] >= high - EDGE_RAD)
        if holds.all(axis=1).any():
            continue
        cut = _cut(low, high, lows[near], highs[near])
        if cut is None:
            return False
        axis, at = cut
        left, right = high.copy(), low.copy()
        left[axis] = right[axis] = at
        todo += [(low, left, near), (right, high, near)]
    return True


def _cut(low: Floats, high: Floats, lows: Floats, highs: Floats) -> tuple[int, float] | None:
    """Return the axis and place of a side to cut the box low..high at: one that cuts the fewest boxes.

    Boxes that come of halving have a side that cuts none; of such the one nearest to the middle.
    """
    best: tuple[int, float, int, float] | None = None
    for axis in range(len(low)):
        first, last = np.sort(lows[:, axis]), np.sort(highs[:, axis])
        sides = np.concatenate([first, last])
        sides = sides[(sides > low[axis] + EDGE_RAD) & (sides < high[axis] - EDGE_RAD)]
        if not len(sides):
            continue
        begun = np.searchsorted(first, sides - EDGE_RAD, side="left")
        cuts = begun - np.searchsorted(last, sides + EDGE_RAD, side="right")
        off = np.abs(sides - (low[axis] + high[axis]) / 2.0) / (high[axis] - low[axis])
        k = int(np.lexsort([off, cuts])[0])
        each = (int(cuts[k]), float(off[k]), axis, float(sides[k]))
        best = each if best is None else min(best, each)
    return None if best is None else best[2:]
