"""Upper bounds on what one pass wets, over every attitude, from the room under the surface.

Everything wet lies in the room between the clearances and under the surface, and with every point that a pass
wets it wets all of the part that is lower. Room here is that of the box round it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.liquid.halfspace_area import areas, surface_of, wet_areas_mm2
from fitcheck.things.solid import Floats, Solid

# Sums of metres are out by less than this, in mm.
ROUNDING_MM = 1e-6
# A place is known to lie between points as well as a linear programme is solved; it may be so far off, in mm.
OFF_MM = 0.01
# Places on the surface that are asked whether any pass can wet them, those nearest to the part's middle.
PLACES = 24
# Cells of attitudes evaluated in bounding the most that one pass wets.
MOST_CELLS = 20_000
BATCH = 64
# A bound says something only where it is under half: else two passes might do.
HALF = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Far:
    """A place (3,) on a surface, and points (k, 3) of the part round it, the nearest distance_mm away."""

    place_mm: Floats
    points_mm: Floats
    distance_mm: float


def never_wet(solid: Solid, hull_mm: Floats, longest_mm: float) -> Far | None:
    """Return a place on the surface that lies between points of the part all further from it than longest_mm.

    A pass that wets the place is a half-space round it, so it holds one of those points too; the two would
    have to find room together, of which the longest line is longest_mm. That the place is between them is
    known to OFF_MM, so one of them may stick out by that, and as much is kept three times. None where no such
    place is found.
    hull_mm (n, 3): the corners of the part's hull.
    """
    # One of two far points is over a right angle round from the other, so they are further apart than that.
    span = np.linalg.norm(hull_mm[:, None] - hull_mm[None], axis=2).max() if len(hull_mm) < 2000 else np.inf
    if span < np.sqrt(2.0) * longest_mm:
        return None
    centres = _spread_centres(solid)
    middle = (hull_mm.min(axis=0) + hull_mm.max(axis=0)) / 2.0
    nearest = np.argsort(np.linalg.norm(centres - middle, axis=1))[:PLACES]
    for place in centres[nearest]:
        far = hull_mm[np.linalg.norm(hull_mm - place, axis=1) > longest_mm + 3.0 * OFF_MM]
        round_it = _between(place, far)
        if round_it is not None:
            distance = float(np.linalg.norm(round_it - place, axis=1).min())
            return Far(place, round_it, distance)
    return None


def apart(hull_mm: Floats, longest_mm: float) -> Floats:
    """Return points (k, 3), k > 1, no two of which find room together; (0, 3) where none are found.

    The farthest pair, then again and again the point that is farthest from all taken.
    """
    start = hull_mm[np.linalg.norm(hull_mm - hull_mm.mean(axis=0), axis=1).argmax()]
    taken = [start]
    near = np.linalg.norm(hull_mm - start, axis=1)
    while near.max() > longest_mm + ROUNDING_MM:
        taken.append(hull_mm[near.argmax()])
        near = np.minimum(near, np.linalg.norm(hull_mm - taken[-1], axis=1))
    return np.array(taken) if len(taken) > 1 else np.zeros((0, 3))


def most_wet_share(solid: Solid, hull_mm: Floats, deep_mm: float, turns_rad: tuple[float, float]) -> float:
    """Return a share of the surface that no pass exceeds, the part no more than deep_mm under the liquid.

    1 as soon as one is seen to wet half of it.

    turns_rad: the most that the part may be tilted and rolled either way. Cells of attitudes are halved, the
    worst first. Over a cell, a point's height over the lowest point changes by no more than the cell's turn
    times how far apart the two are, so at its middle a depth larger by that wets all that any attitude of the
    cell does.
    """
    whole = float(areas(surface_of(solid)).sum())
    span = float(np.linalg.norm(np.ptp(hull_mm, axis=0)))
    middle, half = np.zeros((1, 2)), np.array([turns_rad])
    share = np.ones(1)
    best, evaluated = 0.0, 0
    while evaluated < MOST_CELLS:
        order = np.argsort(-share)[:BATCH]
        # Halving what is within a hundredth of the best found changes no count of passes that is worth it.
        if share[order[0]] <= best * 1.01 or not len(order):
            break
        kept = np.delete(np.arange(len(share)), order)
        ahead, reach = _halved(middle[order], half[order])
        up = np.column_stack([np.sin(ahead[:, 0]), *_across(ahead)])
        low = (up @ hull_mm.T).min(axis=1)
        more = np.hypot(*reach.T) * span
        found = wet_areas_mm2(solid, up, low + deep_mm) / whole
        bound = wet_areas_mm2(solid, up, low + deep_mm + more) / whole
        best, evaluated = max(best, float(found.max())), evaluated + len(ahead)
        middle, half = np.vstack([middle[kept], ahead]), np.vstack([half[kept], reach])
        share = np.concatenate([share[kept], bound])
        if best >= HALF:
            return 1.0
    return float(share.max())


def _across(angles_rad: Floats) -> tuple[Floats, Floats]:
    """Return the other two parts of the up direction at (tilt, roll)."""
    level = np.cos(angles_rad[:, 0])
    return level * np.sin(angles_rad[:, 1]), level * np.cos(angles_rad[:, 1])


def _halved(middle: Floats, half: Floats) -> tuple[Floats, Floats]:
    """Return each cell's two halves, across its longer side."""
    side = half.argmax(axis=1)
    rows = np.arange(len(half))
    smaller = half.copy()
    smaller[rows, side] /= 2.0
    step = np.zeros_like(half)
    step[rows, side] = smaller[rows, side]
    return np.vstack([middle - step, middle + step]), np.vstack([smaller, smaller])


def _spread_centres(solid: Solid) -> Floats:
    """Return places on the surface: middles of triangles and of their sides."""
    triangles = surface_of(solid)
    sides = (triangles + np.roll(triangles, -1, axis=1)) / 2.0
    return np.vstack([triangles.mean(axis=1), sides.reshape(-1, 3)])


def _between(place: Floats, points: Floats) -> Floats | None:
    """Return the points (k, 3), few, of which the place is a mean with weights; None where it is not."""
    from scipy.optimize import linprog

    if len(points) < 2:
        return None
    rows = np.vstack([(points - place).T / np.abs(points - place).max(), np.ones(len(points))])
    found = linprog(np.zeros(len(points)), A_eq=rows, b_eq=[0.0, 0.0, 0.0, 1.0], method="highs-ds")
    if found.status != 0:
        return None
    used = found.x > 0.0
    off = found.x @ points - place
    return points[used] if used.any() and np.linalg.norm(off) < OFF_MM else None
