"""Lower bound on the liquid round a part beside which no block goes in.

Cut the tank's plan into lines across it. On a line that the outline, grown by its clearance, cuts in a chord
k, liquid stands over k and over the gap along one wall at least. Where all that is left of the line is less
than a block's thinnest side, no block reaches over it but with a corner: liquid stands over the whole line,
less what other parts may displace there, which keep side_clearance from a wall and hang under cover and over
the bottom clearance. The least of the sum over every swing is bounded over steps of swing, and over every
direction up within an angle: what is seen of a body moves by no more than the angle times its reach.

Corners: a rectangle of sides t or more has chords under t only near its ends, where they grow by 2 a mm or
more (tan + cot). So what pokes in from an end, on chords s that add up to less than t, is s^2 / 4 at most.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.plan.least_plan_area import Shadow
from fitcheck.things.solid import Floats

# Steps of swing, one in so many of them to begin with, and lines across the outline.
_SWINGS, _FEW, _LINES = 240, 16, 12
# Corners of a quarter circle: the outline grown by them lies inside the one truly grown.
_QUARTER_CORNERS = 4
# Sums over some dozen lines are off by far less than this share.
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Slots:
    """A box tank, how far blocks and parts keep off, and how thin a block may be.

    gap_mm: blocks to walls. side_mm: parts to walls, gap_mm or more. clear_mm: anything else to the outline,
    side_mm or less. base_mm: liquid under and over a part.
    """

    long_mm: float
    wide_mm: float
    gap_mm: float
    side_mm: float
    clear_mm: float
    base_mm: float
    thinnest_mm: float

    def at_least_mm3(
        self, shadow: Shadow, up: Floats, within_rad: float, height_mm: float, known_mm3: float = 0.0
    ) -> float:
        """Return what liquid and part take up at least at any swing and any direction up within an angle.

        up (3,): what is seen from above along. height_mm: what the part is high there at least. known_mm3:
        what is known to be a bound, and comes back where no more is found. Infinite where there is no room.
        """
        step = math.pi / _SWINGS
        middle = (shadow.corners_mm.max(axis=0) + shadow.corners_mm.min(axis=0)) / 2.0
        corners = shadow.corners_mm - middle
        moved = float(np.linalg.norm(corners, axis=1).max()) * (within_rad + step / 2.0)
        if moved >= self.clear_mm or not self.may_be(shadow):
            return known_mm3
        ring = _grown(_seen(corners, up), self.clear_mm - moved)
        unsure = 4.0 * moved + 2.0 * self.clear_mm * (1.0 - math.cos(math.pi / 4.0 / _QUARTER_CORNERS))
        least = math.inf
        # A few swings tell whether it is worth evaluating them all.
        for swings in (range(0, _SWINGS, _FEW), range(_SWINGS)):
            turn = (np.array(swings) + 0.5) * step
            least = self._at_swings(ring, turn, height_mm, unsure)
            if least <= known_mm3:
                return known_mm3
        return least

    def may_be(self, shadow: Shadow) -> bool:
        """Tell whether the part is so long that a slot beside it can be too narrow for a block."""
        return self.wide_mm - self.gap_mm - (shadow.longest_mm + 2.0 * self.clear_mm) < self.thinnest_mm

    def _at_swings(self, ring: Floats, turn: Floats, height_mm: float, unsure_mm: float) -> float:
        """Return the least at some swings of an outline."""
        cos, sin = np.cos(turn)[:, None], np.sin(turn)[:, None]
        turned = np.stack([cos * ring[:, 0] - sin * ring[:, 1], sin * ring[:, 0] + cos * ring[:, 1]], axis=2)
        size = np.ptp(turned, axis=1)
        turned = turned[(size[:, 0] <= self.long_mm) & (size[:, 1] <= self.wide_mm)]
        if not len(turned):
            return math.inf
        sides = ((turned, self.long_mm, self.wide_mm), (turned[:, :, ::-1], self.wide_mm, self.long_mm))
        found = [self._along(*each, height_mm, unsure_mm) for each in sides]
        return float(np.maximum(*found).min()) * (1.0 - _ROUNDING)

    def _along(
        self, rings: Floats, length_mm: float, across_mm: float, height_mm: float, unsure_mm: float
    ) -> Floats:
        """Return it for outlines (t, n, 2), by lines across a plan so long; unsure_mm: they may be longer."""
        gap, level = self.gap_mm, height_mm + self.base_mm
        chords, steps = _chords(rings)
        # Chords of a convex outline are a concave function: between two lines no less than in even steps.
        least = np.minimum(chords[:, 1:], chords[:, :-1])
        narrow = across_mm - gap - least < self.thinnest_mm
        whole = self.base_mm * across_mm + height_mm * np.minimum(across_mm, chords + self.side_mm)
        over = np.where(narrow, _halfway(whole), (_halfway(chords) + gap) * level)
        most = np.where(narrow.any(axis=1), whole.max(axis=1), (chords.max(axis=1) + gap) * level)
        length = np.ptp(rings[:, :, 0], axis=1)
        # The outline may lie in the gap at one end, or at both: what is there is told with the gap.
        ends = np.where(length + unsure_mm <= length_mm - 2.0 * gap, 1.0, 2.0)
        beside = np.maximum(2.0 * (length_mm - 2.0 * gap - length) - unsure_mm, 0.0) * gap
        poked = np.where(narrow.any(axis=1), self.thinnest_mm**2 / 2.0, 0.0)
        plan = 2.0 * gap * across_mm + beside - poked
        return np.asarray((over * steps).sum(axis=1) - ends * gap * most + plan * level)


def _seen(corners: Floats, up: Floats) -> Floats:
    """Return corners (n, 3) as seen along a direction (n, 2)."""
    aside = np.eye(3)[int(np.abs(up).argmin())]
    one = np.cross(up, aside)
    one = one / np.linalg.norm(one)
    return np.asarray(corners @ np.column_stack([one, np.cross(up, one)]))


def _grown(points: Floats, by_mm: float) -> Floats:
    """Return the ring (n, 2) of an outline that lies in the one of the points grown by so much."""
    from shapely import MultiPoint

    grown = MultiPoint(points).convex_hull.buffer(by_mm, quad_segs=_QUARTER_CORNERS)
    return np.array(grown.convex_hull.exterior.coords)[:-1]


def _chords(rings: Floats) -> tuple[Floats, Floats]:
    """Return the chords (t, k) of convex rings (t, n, 2) on lines across, the corners' too, and the steps."""
    low, high = rings[:, :, 0].min(axis=1), rings[:, :, 0].max(axis=1)
    at = np.sort(np.hstack([np.linspace(low, high, _LINES + 1, axis=1), rings[:, :, 0]]), axis=1)
    edge = np.roll(rings, -1, axis=1) - rings
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = edge[:, :, 1] / edge[:, :, 0]
        y = rings[:, :, 1, None] + slope[:, :, None] * (at[:, None, :] - rings[:, :, 0, None])
    # The way round the ring tells the edges below from those above.
    area = (rings[:, :, 0] * np.roll(rings[:, :, 1], -1, axis=1)).sum(axis=1) - (
        rings[:, :, 1] * np.roll(rings[:, :, 0], -1, axis=1)
    ).sum(axis=1)
    forward = edge[:, :, 0] * np.sign(area)[:, None]
    top = np.where((forward < 0.0)[:, :, None], y, np.inf).min(axis=1)
    bottom = np.where((forward > 0.0)[:, :, None], y, -np.inf).max(axis=1)
    return np.maximum(top - bottom, 0.0), np.diff(at, axis=1)


def _halfway(values: Floats) -> Floats:
    return np.asarray(values[:, 1:] + values[:, :-1]) / 2.0
