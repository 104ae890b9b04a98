"""Are so many passes needed, and can none do? The bounds of an answer about passes, shown again."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.proving.infeasible_rotations import recheck_infeasible
from fitcheck.proving.same import SAME_MM
from fitcheck.proving.uncovered_surface import most_under, surface_mm2
from fitcheck.questions.passes.answer import AtLeast, NeverWet, PassAnswer
from fitcheck.things.part import HALF_TURN, QUARTER_TURN, Part
from fitcheck.things.proved import Check
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank

# Cells of attitudes looked at, at a time and at most, before a bound is left as not shown.
AT_ONCE = 64
MOST_CELLS = 60_000
# The first of them are also looked at for an attitude that refutes it.
FIRST_CELLS = 1_000
# Weights of points are found with a share of error; in metres that is this, in mm.
OFF_MM = 0.02


def fewer_checks(answer: PassAnswer, part: Part, tank: Tank) -> list[Check]:
    """Look at the proof that fewer passes than it says will not do."""
    bound = answer.at_least
    checks = []
    if answer.verdict in {"fits", "measure again"}:
        holds = 1 <= bound.passes <= len(answer.passes)
        checks.append(Check("it asks for no more passes than it has", holds))
    if bound.passes > 1:
        what = f"fewer than {bound.passes} passes will not do, shown again"
        checks.append(Check(what, _shown(bound, part, tank)))
    return checks


def _shown(bound: AtLeast, part: Part, tank: Tank) -> bool:
    if bound.because == "dip":
        return (
            bound.passes == 2
            and bound.proof is not None
            and recheck_infeasible(part, tank, bound.proof).holds
        )
    if bound.because == "points" and bound.points_mm is not None:
        points = bound.points_mm
        if len(points) != bound.passes or not _are_corners(points, part):
            return False
        apart = np.linalg.norm(points[:, None] - points[None], axis=2)
        return bool(apart[~np.eye(len(points), dtype=bool)].min() > math.hypot(*room_mm(part, tank)))
    if bound.because == "area" and bound.share_at_most is not None:
        few = bound.share_at_most * (bound.passes - 1) < 1.0
        return few and _wets_at_most(bound.share_at_most, part, tank)
    return False


def never_checks(never: NeverWet | None, part: Part, tank: Tank) -> list[Check]:
    """Look at the proof that no number of passes will do."""
    if never is None or never.far_mm.shape[1:] != (3,):
        return [Check("it tells of a place that no pass wets", False)]
    place, longest = np.array(never.place_mm), math.hypot(*room_mm(part, tank))
    nearest = float(np.linalg.norm(never.far_mm - place, axis=1).min())
    told = abs(nearest - never.distance_mm) <= SAME_MM and abs(longest - never.room_mm) <= SAME_MM
    return [
        Check("the place is on the surface", _off_surface_mm(place, part) <= SAME_MM),
        Check("the points round it are of the part", _are_corners(never.far_mm, part)),
        Check("the place lies between them", _is_between(place, never.far_mm)),
        Check("none of them finds room in the liquid with it", told and nearest > longest + OFF_MM),
    ]


def tape_mm(part: Part, tank: Tank) -> float:
    """Return by how much a clearance may be out: half of either tape, and the flats of round faces."""
    own = tank.rules.tape_part_mm if part.tape_mm is None else part.tape_mm
    return (own + tank.rules.tape_tank_mm) / 2.0 + part.chord_mm + tank.chord_mm


def room_mm(part: Part, tank: Tank) -> tuple[float, float, float]:
    """Return the sides of a box that holds whatever a pass wets, the tapes given back on every side."""
    rules, tape = tank.rules, tape_mm(part, tank)
    corners = tank.inside.vertices_mm
    length, width, _ = (corners.max(axis=0) - corners.min(axis=0)).tolist()
    side, bottom = rules.side_clearance_mm, rules.bottom_clearance_mm
    if not tank.is_box:
        side = bottom = min(side, bottom)
    deep = tank.depth_mm - rules.freeboard_mm - bottom
    return length - 2.0 * side + 2.0 * tape, width - 2.0 * side + 2.0 * tape, deep + 2.0 * tape


def _wets_at_most(share: float, part: Part, tank: Tank) -> bool:
    """Tell whether no pass wets more than a share, over all attitudes allowed, by cells of tilt and roll.

    A point wet lies no more than the liquid's depth over the lowest point. Turned by an angle, the height of
    one over the other changes by no more than the angle times the distance between them.
    """
    deep = room_mm(part, tank)[2]
    points, whole = part.skin.vertices_mm, surface_mm2(part.skin)
    # No two points of the part are further apart than twice the farthest from its middle.
    middle = (points.max(axis=0) + points.min(axis=0)) / 2.0
    across = 2.0 * float(np.linalg.norm(points - middle, axis=1).max())
    attitude = part.attitude
    tilt, roll = min(attitude.tilt_rad, QUARTER_TURN), min(attitude.roll_rad, HALF_TURN)
    todo, evaluated = np.array([[0.0, 0.0, tilt, roll]]), 0
    while len(todo) and evaluated < MOST_CELLS:
        some, todo = todo[-AT_ONCE:], todo[:-AT_ONCE]
        over = some[_may_wet(some, part, deep, across) > share * whole]
        # Where a middle itself is over, no halving will ever show that nothing is.
        middles = over * [1.0, 1.0, 0.0, 0.0]
        if evaluated < FIRST_CELLS and (_may_wet(middles, part, deep, across) > share * whole).any():
            return False
        evaluated += len(some)
        todo = np.vstack([todo, _halved(over)])
    return not len(todo)


def _halved(cells: Floats) -> Floats:
    """Return cells (k, 4) of tilt, roll and their halves as (2 k, 4), each halved along its longer side."""
    along_tilt = cells[:, 2] > cells[:, 3]
    size = cells[:, 2:] / np.where(along_tilt[:, None], [2.0, 1.0], [1.0, 2.0])
    off = np.where(along_tilt[:, None], [1.0, 0.0], [0.0, 1.0]) * size
    both = np.stack([np.hstack([cells[:, :2] + sign * off, size]) for sign in (-1.0, 1.0)], axis=1)
    return both.reshape(-1, 4)


def _may_wet(cells: Floats, part: Part, deep_mm: float, across_mm: float) -> Floats:
    """Return the most surface (k,) that a pass may wet in each cell (k, 4): tilt, roll and their halves."""
    tilt, roll, a, b = cells.T
    ups = np.stack([np.sin(tilt), np.cos(tilt) * np.sin(roll), np.cos(tilt) * np.cos(roll)], axis=1)
    lowest = (part.skin.vertices_mm @ ups.T).min(axis=0)
    return most_under(part.skin, ups, lowest + deep_mm + np.hypot(a, b) * across_mm)


def _are_corners(points: Floats, part: Part) -> bool:
    """Tell whether points (k, 3) are corners of the part."""
    corners = part.skin.vertices_mm
    return all(float(np.linalg.norm(corners - point, axis=1).min()) <= SAME_MM for point in points)


def _off_surface_mm(place: Floats, part: Part) -> float:
    """Return how far a place is from the nearest of the part's triangles that it lies over."""
    a, b, c = np.moveaxis(part.skin.vertices_mm[part.skin.triangles], 1, 0)
    normal = np.cross(b - a, c - a)
    double = (normal**2).sum(axis=1)
    real = double > 0.0
    a, b, c, normal, double = a[real], b[real], c[real], normal[real], double[real]
    weights = [
        (np.cross(q - p, place - p) * normal).sum(axis=1) / double for p, q in ((a, b), (b, c), (c, a))
    ]
    over = np.min(weights, axis=0) >= -1e-9
    off = np.abs(((place - a) * normal).sum(axis=1)) / np.sqrt(double)
    return float(off[over].min()) if over.any() else math.inf


def _is_between(place: Floats, points: Floats) -> bool:
    """Tell whether a place is a mean of points, with weights, by non-negative least squares."""
    from scipy.optimize import nnls

    size = float(np.abs(points - place).max())
    rows = np.vstack([(points - place).T / size, np.ones(len(points))])
    weights, _ = nnls(rows, np.array([0.0, 0.0, 0.0, 1.0]))
    if weights.sum() <= 0.0:
        return False
    return float(np.linalg.norm(weights @ (points - place) / weights.sum())) <= OFF_MM
