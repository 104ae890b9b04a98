"""Minimum set cover of a surface by half-spaces."""

from __future__ import annotations

import numpy as np

from fitcheck.geometry.liquid.halfspace_area import areas, dry_pieces, steepness, surface_of
from fitcheck.things.solid import Floats, Indices, Solid

# The surface is evaluated in pieces no longer than this share of its span to begin with; what is found is
# checked exactly, and what it leaves dry is evaluated in the next round.
PIECE = 1.0 / 14.0
MOST_PIECES = 4_000
ROUNDS = 12
# A dry piece smaller than this share of the surface is rounding of the cuts.
NOTHING = 1e-9
# Steps of one round's search for each number of half-spaces; when they are used up one more is tried.
MOST_STEPS = 60_000
# More than this are no plan to work by.
MOST_CHOSEN = 10
# A half-space that holds all another does is taken for it unless it costs so much more.
DEARER = 0.2


def smallest_cover(
    solid: Solid, ups: Floats, lines_mm: Floats, costs: Floats, back_mm: float
) -> Indices | None:
    """Return which of k half-spaces up_k . p <= line_k cover the surface between them, as few as can be.

    back_mm: each is drawn back so far along the surface first, so that neighbours share twice that. costs
    (k,), each from 0 to 1: of as many, those of the least sum are taken. None where all together leave some
    of it over. Fewest of these half-spaces, as far as the effort allows.
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
    """Return the columns, as few as are found, that hold every row; None where no few do.

    For one number after another, by taking in turn each column that holds a row which few hold, cheap ones
    first (set covering; rows that are held whenever another is need not be checked).
    """
    if not table.any(axis=1).all():
        return None
    used = _worth_having(table, costs)
    used = used[np.argsort(costs[used], kind="stable")]
    rows = _deciding_rows(table[:, used])
    search = _Search(
        [int("".join("01"[held] for held in column[::-1]), 2) for column in rows.T.tolist()], rows
    )
    for count in range(1, MOST_CHOSEN + 1):
        found = search.cover(count)
        if found is not None:
            return np.sort(used[found])
    return None


class _Search:
    """A search for few columns that hold all rows; columns are numbers with a bit for each row they hold."""

    def __init__(self, columns: list[int], rows: Indices) -> None:
        self._columns = columns
        self._holders = [np.flatnonzero(row).tolist() for row in rows]
        self._most = max(column.bit_count() for column in columns)
        self._all = (1 << len(rows)) - 1
        self._steps = 0

    def cover(self, count: int) -> list[int] | None:
        """Return so many columns that hold all rows; None where there are none, or the steps are used up."""
        self._steps = MOST_STEPS
        return self._cover(self._all, count)

    def _cover(self, left: int, count: int) -> list[int] | None:
        if not left:
            return []
        self._steps -= 1
        if self._steps < 0 or left.bit_count() > count * self._most:
            return None
        first = (left & -left).bit_length() - 1
        for k in self._holders[first]:
            found = self._cover(left & ~self._columns[k], count - 1) if count > 0 else None
            if found is not None:
                return [k, *found]
        return None


def _deciding_rows(table: Indices) -> Indices:
    """Return the rows, those held by fewest first, without those held by every holder of another."""
    table = np.unique(table, axis=0)
    table = table[np.argsort(table.sum(axis=1), kind="stable")]
    held = table.astype(np.float32)
    both = held @ held.T
    # Row k holds row j's holders and more: j decides. Equal rows are one already.
    wider = (both == np.diag(both)[None, :]) & ~np.eye(len(table), dtype=bool)
    return np.asarray(table[~wider.any(axis=1)])


def _worth_having(table: Indices, costs: Floats) -> Indices:
    """Return the columns that hold something, but those of which another holds all, for not much more."""
    held = table.astype(np.float32)
    both = held.T @ held
    count = np.diag(both)
    within = (both == count[:, None]) & (costs[None, :] <= costs[:, None] + DEARER)
    # Of two that hold the same, the cheaper stays, then the first.
    order = np.lexsort((np.arange(len(costs)), costs))
    rank = np.empty(len(costs), dtype=np.int64)
    rank[order] = np.arange(len(costs))
    larger = (count[None, :] > count[:, None]) | ((count[None, :] == count[:, None]) & (rank < rank[:, None]))
    return np.flatnonzero((count > 0) & ~(within & larger).any(axis=1))


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
