"""Branch and bound over rotations: the best one, and a proof that no allowed one is better.

Every question here has one form: the planes of an envelope may give way by tau times `yields` (each >= 0),
and the least tau is wanted at which the part fits at some allowed rotation. With all planes giving way alike,
-tau is the spare; with only the rim giving way, tau is the level; with only the end wall, it is the length
that is short.

Best-first branch and bound over cells of rotations (Land & Doig, Econometrica 28, 1960): a cell is refused
when even its most hopeful rotation cannot do with less than the best found, less a gap; what is left is
halved. The cells of a round go through the same array operations, and their order depends only on the
numbers, so effort is counted in cells and not in seconds. Points of the part are taken in as they come to
matter: fewer can only make it look smaller.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.best_shift import best_shift, longest_mm
from fitcheck.geometry.rotations.envelope import Envelope
from fitcheck.geometry.rotations.rotation_cells import Allowed, Cells, Queue
from fitcheck.geometry.rotations.support_function import farthest
from fitcheck.things.solid import Floats, Indices

if TYPE_CHECKING:
    from fitcheck.geometry.kernels.rotation_bounds import Planes

# Cells taken from the front of the queue in a round, or one open cell in SHARE where that is more, and how
# often each is halved: many keep the rounds few, few keep the search best-first. Measured, not derived.
TAKEN, SHARE, HALVINGS = 16, 8, 2
# Sides of the first cells: with longer ones the bounds say nothing, with shorter ones there are too many.
WIDEST_RAD = math.pi / 4.0
# Times that a programme is cut again with the points that stick out where it ended.
CUTS = 1
# A part that misses by less than this fits: far under any tape, and above the rounding of sums of metres.
FIT_MM = 1e-6
# Sums of some tens of products round to about this, relative to the numbers.
ROUNDING = 1e-13
# The simplest pose is the least tilted; of those, flat or on edge, then square in plan, then as drawn. Each
# weight is too small to trade for the one before it at the resolution TURN_GAP_RAD matters to a shop.
ROLL_WEIGHT, SWING_WEIGHT, OVER_WEIGHT = 1e-3, 1e-4, 1e-5
TURN_GAP_RAD = 1e-5


@dataclass(frozen=True, slots=True, eq=False)
class Least:
    """What a search found.

    tau_mm: the least found (inf when none), at `angles_rad` (swing, tilt, roll). at_least_mm: proven that no
    allowed rotation does with less. cells: how many were evaluated. open_share: share of all rotations that
    was not refused; closed: no cell was left. leaves: the last cells, refused or open: they cover all.
    """

    tau_mm: float
    at_least_mm: float
    angles_rad: Floats
    cells: int
    closed: bool
    open_share: float
    leaves: Cells


@dataclass(frozen=True, slots=True, eq=False)
class Budget:
    """How the search may end: at a proven gap of gap_mm + gap_share * |tau|, or after most_cells."""

    gap_mm: float = 0.01
    gap_share: float = 0.0
    most_cells: int = 300_000

    def goal_mm(self, best_mm: float) -> float:
        """Return what a rotation must do better than to be of use beside the best found (inf: none yet)."""
        if math.isinf(best_mm):
            return best_mm
        return best_mm - self.gap_mm - self.gap_share * abs(best_mm)


@dataclass(frozen=True, slots=True, eq=False)
class CellBounds:
    """What is known of tau in B cells.

    low_mm (B,): proven lower bounds. middle_mm (B,): at the middle, with the points and weights now used.
    at_rad (B, 3): where the bound is reached in a cell that was evaluated closely.
    """

    low_mm: Floats
    middle_mm: Floats
    at_rad: Floats


class Search:
    """One part in one envelope whose planes may give way by tau times `yields` (m,): each >= 0, some > 0."""

    def __init__(self, points: ActivePoints, envelope: Envelope, yields: Floats) -> None:
        self.points = points
        self.envelope = envelope
        self.yields = yields
        self.evaluated = 0
        self._planes = self._plain()

    def bound(self, cells: Cells, limit_mm: float) -> CellBounds:
        """Bound tau in each cell; closely only where a first bound is under limit_mm."""
        from fitcheck.geometry.kernels.rotation_bounds import bound_cells

        self.evaluated += len(cells)
        return CellBounds(
            *bound_cells(self.points.used_mm, self._planes, cells.middle_rad, cells.half_rad, limit_mm, CUTS)
        )

    def tau_at(self, angles_rad: Floats) -> Floats:
        """Return the exact least tau at rotations (k, 3) = swing, tilt, roll; inf where none will do."""
        index, tau = self._tau_of(self.points.all_mm, angles_rad)
        self.points.take_in(index.ravel())
        return tau

    def least(
        self,
        allowed: Allowed,
        budget: Budget,
        at_most_mm: float = math.inf,
        first_rad: Floats | None = None,
    ) -> Least:
        """Return the least tau over the allowed rotations; answers above at_most_mm are of no use.

        first_rad (k, 3): rotations to try before any other, after the simple ones.
        """
        tries = allowed.simple_rad if first_rad is None else np.vstack([allowed.simple_rad, first_rad])
        best, where = self._best_of(self._hopeful(tries))
        goal = min(budget.goal_mm(best), at_most_mm)
        start = self.evaluated
        queue, fresh = Queue(), allowed.cells(WIDEST_RAD)
        while len(fresh):
            bounds = self.bound(fresh, goal)
            found, at = self._best_of(_tries(fresh, bounds, int(np.argmin(bounds.low_mm))))
            if found < best:
                best, where = found, at
                goal = min(budget.goal_mm(best), at_most_mm)
            queue.put(fresh, bounds.low_mm)
            if self.evaluated - start >= budget.most_cells:
                break
            most = max(TAKEN, int((queue.rank < goal).sum()) // SHARE)
            fresh = queue.take_halved(most, goal, self.points.levers_mm, HALVINGS)
        # What is not taken is refused: nothing in it can do better than the goal.
        leaves, still = queue.cells, queue.rank < goal
        at_least = min(goal, float(queue.rank.min(initial=math.inf)))
        closed = not still.any()
        share = 0.0 if closed else float(leaves.chosen(still).share.sum())
        return Least(best, at_least, where, self.evaluated - start, closed, share, leaves)

    def simplest(self, allowed: Allowed, budget: Budget, first_rad: Floats | None = None) -> Floats | None:
        """Return the least turned rotation (swing, tilt, roll) with tau <= 0; None where none was found.

        first_rad (k, 3): rotations to try before any other, after the simple ones. Cells are evaluated in the
        order of how little they are turned, and none that is turned more than the best found.
        """
        tries = allowed.simple_rad if first_rad is None else np.vstack([allowed.simple_rad, first_rad])
        best, where = self._least_turned_of(tries)
        start = self.evaluated
        queue, fresh = Queue(), allowed.cells(WIDEST_RAD)
        while self.evaluated - start < budget.most_cells:
            queue.put(fresh, least_turned(fresh))
            front = queue.take(TAKEN, best - TURN_GAP_RAD)
            if not len(front):
                break
            bounds = self.bound(front, 0.0)
            hopeful = np.flatnonzero(bounds.low_mm <= 0.0)
            fresh = front.chosen(hopeful)
            if not len(fresh):
                continue
            first = int(hopeful[np.argmin(least_turned(fresh))])
            found, at = self._least_turned_of(_tries(front, bounds, first))
            if found < best:
                best, where = found, at
            for _ in range(HALVINGS):
                fresh = fresh.halved(self.points.levers_mm)
        return where

    def _hopeful(self, tries_rad: Floats) -> Floats:
        """Return those of some rotations (k, 3) that may have the least tau, by the points in use."""
        _, at_least = self._tau_of(self.points.used_mm, tries_rad)
        first = tries_rad[[np.argmin(at_least)]]
        return np.vstack([first, tries_rad[at_least < self.tau_at(first)]])

    def _best_of(self, tries_rad: Floats) -> tuple[float, Floats]:
        """Return the least tau of some rotations (k, 3), and which has it."""
        found = self.tau_at(tries_rad)
        return float(found.min()), tries_rad[np.argmin(found)]

    def _least_turned_of(self, tries_rad: Floats) -> tuple[float, Floats | None]:
        """Return how turned the least turned of some rotations (k, 3) with tau <= 0 is, and which that is."""
        works = tries_rad[self.tau_at(tries_rad) <= 0.0]
        if not len(works):
            return math.inf, None
        turned = how_turned(works)
        return float(turned.min()), works[np.argmin(turned)]

    def _tau_of(self, points_mm: Floats, angles_rad: Floats) -> tuple[Indices, Floats]:
        """Return the points that reach farthest along each plane (k, m), and the least tau for them (k,)."""
        if self.envelope.complete:
            from fitcheck.geometry.kernels.rotation_bounds import tau_at

            found: tuple[Indices, Floats] = tau_at(points_mm, self._planes, angles_rad, FIT_MM)
            return found
        index, value = farthest(points_mm, self.envelope, angles_rad)
        return index, best_shift(self.envelope, self.envelope.offsets_mm - value, self.yields).tau_mm

    def _plain(self) -> Planes:
        """Return the envelope as the compiled loops take it."""
        from fitcheck.geometry.kernels.rotation_bounds import Planes

        envelope = self.envelope
        rows = envelope.weights if envelope.complete else np.eye(len(envelope.normals))
        shift = np.zeros((len(rows), 0)) if envelope.complete else envelope.normals * longest_mm(envelope)
        size = envelope.size_mm + float(self.points.levers_mm[0])
        # What rounding may add to a row; and a shift, where opposite faces are so only to rounding.
        slack = np.full(len(rows), ROUNDING * size)
        if envelope.complete:
            slack += np.abs(rows @ envelope.normals).sum(axis=1) * longest_mm(envelope)
        plane_of, row_of = np.nonzero(rows.T)
        return Planes(
            envelope.normals,
            envelope.offsets_mm,
            envelope.axes,
            envelope.axis_of,
            envelope.sign_of,
            row_of,
            plane_of,
            rows[row_of, plane_of],
            shift,
            rows @ self.yields,
            slack,
        )


def _tries(cells: Cells, bounds: CellBounds, first: int) -> Floats:
    """Return rotations to try: where the bound of a first cell is reached, and the most hopeful middle."""
    return np.stack([bounds.at_rad[first], cells.middle_rad[np.argmin(bounds.middle_mm)]])


def how_turned(angles_rad: Floats) -> Floats:
    """Return how far from simple rotations (k, 3) = swing, tilt, roll are: see ROLL_WEIGHT, SWING_WEIGHT."""
    return least_turned(Cells(angles_rad, np.zeros_like(angles_rad)))


def least_turned(cells: Cells) -> Floats:
    """Return the least that `how_turned` can be in each cell."""
    nearest = np.abs(cells.middle_rad) - cells.half_rad
    swing, tilt = np.maximum(nearest[:, 0], 0.0), np.maximum(nearest[:, 1], 0.0)
    quarter = math.pi / 2.0
    roll = np.abs(cells.middle_rad[:, 2] - quarter * np.round(cells.middle_rad[:, 2] / quarter))
    off = np.maximum(roll - cells.half_rad[:, 2], 0.0)
    over = np.maximum(nearest[:, 2], 0.0)
    turned: Floats = tilt + ROLL_WEIGHT * off + SWING_WEIGHT * swing + OVER_WEIGHT * over
    return turned
