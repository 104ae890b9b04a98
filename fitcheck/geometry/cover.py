"""The fewest half-spaces, of many, under which all of a surface lies."""

from __future__ import annotations

import numpy as np

from fitcheck.geometry.wetted import areas, dry_pieces, steepness, surface_of
from fitcheck.things.solid import Floats, Indices, Solid

# The surface is looked at in pieces no longer than this share of its span to begin with; what is found is
# checked exactly, and what it leaves dry is looked at in the next round.
PIECE = 1.0 / 14.0
MOST_PIECES = 4_000
ROUNDS = 12
# A dry piece smaller than this share of the surface is rounding of the cuts.
NOTHING = 1e-9
# Branches of one round's search; when they are used up the best cover found is taken.
MOST_BRANCHES = 2_000


def fewest(solid: Solid, ups: Floats, lines_mm: Floats, costs: Floats, back_mm: float) -> Indices | None:
    """Return which of k half-spaces up_k . p <= line_k cover the surface between them, as few as can be.

    back_mm: each is drawn back so far along the surface first, so that neighbours share twice that. costs
    (k,), each from 0 to 1: of as many, those of the least sum are taken. None where all together leave some
    of it over. Fewest of these half-spaces, to within what a round's effort allows.
    """
    triangles = surface_of(solid)
    table = _covers(_cut_small(triangles), ups, lines_mm, back_mm)
    for _ in range(ROUNDS):
        chosen = _least(table, costs)
        if chosen is None:
            return None
        dry = dry_pieces(triangles, ups[chosen], lines_mm[chosen], back_mm)
        large = areas(dry) > NOTHING * areas(triangles).sum()
        if not large.any():
            return chosen
        table = np.vstack([table, _covers(dry[large], ups, lines_mm, back_mm)])
    return None


def _covers(pieces: Floats, ups: Floats, lines_mm: Floats, back_mm: float) -> Indices:
    """Return (m, k) which half-spaces, drawn back, hold the middle of each piece."""
    middles = pieces.mean(axis=1)
    held = middles @ ups.T <= lines_mm - back_mm * steepness(pieces, ups)
    return np.unique(held, axis=0)


def _least(table: Indices, costs: Floats) -> Indices | None:
    """Return the columns, fewest and then cheapest, that hold every row (set covering, by HiGHS)."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    if not table.any(axis=1).all():
        return None
    used = np.flatnonzero(table.any(axis=0))
    matrix = csr_array(table[:, used].astype(np.float64))
    # A whole column outweighs every sum of costs that a cover could have.
    weights = 1.0 + costs[used] / (1.0 + len(used))
    found = milp(
        weights,
        constraints=LinearConstraint(matrix, 1.0, np.inf),
        integrality=np.ones(len(used)),
        bounds=Bounds(0.0, 1.0),
        options={"node_limit": MOST_BRANCHES},
    )
    return None if found.x is None else used[found.x > 0.5]


def _cut_small(triangles: Floats) -> Floats:
    """Return triangles halved across their longest sides until none is long, or there are many."""
    longest = PIECE * float(np.linalg.norm(np.ptp(triangles.reshape(-1, 3), axis=0)))
    while len(triangles) < MOST_PIECES:
        sides = np.linalg.norm(np.roll(triangles, -1, axis=1) - triangles, axis=2)
        long = sides.max(axis=1) > longest
        if not long.any():
            break
        cut, start = triangles[long], sides[long].argmax(axis=1)
        rows = np.arange(len(cut))
        a, b, c = (cut[rows, (start + k) % 3] for k in range(3))
        middle = (a + b) / 2.0
        halves = [np.stack([a, middle, c], axis=1), np.stack([middle, b, c], axis=1)]
        triangles = np.concatenate([triangles[~long], *halves])
    return triangles
