"""Proof that a room has no layout at quarter turns: every set of places on a coarse grid is ruled out.

With each length and each edge taken down to whole steps of any size, a layout that stands anywhere becomes
one on the grid, for floor(a) + floor(b) <= floor(a + b). So where the grid has none, there is none. Aisles
are left out, of a door's swing only rectangles in it are kept free, and what is not square to the axes is
left out too: all of that leaves more room than there is. No solver, and no code of `arrange`.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np
import shapely

from fitcheck.things.room import SIDES, Door, Fixture, Ring, Room, Span
from fitcheck.things.solid import Indices, Mask
from fitcheck.words.units import read_length

# Nothing on a way for people hangs lower than this (29 CFR 1910.36(g)(1): 6 ft 8 in).
HEADROOM: Span = (0.0, read_length("6 ft 8 in"))
# Grids tried, coarse to fine, by steps along the longer side; and how often places are sifted on each.
STEPS, MOST_SIFTED = (8, 16, 32, 64), 6_000
# Sums of lengths in double precision are right to far less than this.
SAME_MM = 1e-6
# Corners of the rectangles that stand for a door's swing: shares of the quarter turn.
SWUNG = (1.0 / 6.0, 1.0 / 3.0, 0.5, 2.0 / 3.0, 5.0 / 6.0)
Box = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True, eq=False)
class _Places:
    """Where one fixture may be: bodies (n, 4) as low x, low y, high x, high y; its work zones (n, k, 4)."""

    heights_mm: Span
    bodies: Indices
    zones: Indices

    def __getitem__(self, kept: Mask | int) -> _Places:
        one = slice(kept, kept + 1) if isinstance(kept, int) else kept
        return _Places(self.heights_mm, self.bodies[one], self.zones[one])


def no_layout_is_left(room: Room) -> bool:
    """Tell whether it is shown that the fixtures without a place have none, all of them together."""
    return any(_Grid(room, step).has_none() for step in _steps_mm(room))


def _steps_mm(room: Room) -> list[float]:
    """Return steps, coarse to fine: even shares of the room, and those of which sizes are whole multiples.

    What is lost by taking lengths down is lost to the proof, least of all with the latter.
    """
    sizes = [side for each in room.fixtures for side in each.size_mm[:2]]
    sizes += [each.work.depth_mm(side) for each in room.fixtures for side in SIDES]
    floor = (np.array(room.outline_mm) - np.min(room.outline_mm, axis=0)).ravel().tolist()
    edges = [x for zone in room.keep_clear for x in np.ravel(zone.ring_mm).tolist()]
    long_mm = max(floor)
    wanted = [long_mm / steps for steps in STEPS]
    for lengths in (sizes, sizes + floor, sizes + floor + edges):
        common = math.gcd(*(round(length * 1000.0) for length in lengths)) / 1000.0
        if common * STEPS[-1] >= long_mm:
            wanted.append(common)
    return sorted(set(wanted), reverse=True)


class _Grid:
    """One room with all its lengths in whole steps."""

    def __init__(self, room: Room, step_mm: float) -> None:
        self.step_mm = step_mm
        self.ring = np.array(room.outline_mm)
        self.low_mm = self.ring.min(axis=0)
        self.size = self._down(np.ptp(self.ring, axis=0))
        top = math.inf if room.ceiling_mm is None else room.ceiling_mm
        # What bars bodies, with the heights where it does, and what bars work zones too.
        self.bars: list[tuple[Box, Span, bool]] = [(box, (0.0, math.inf), True) for box in self._outside()]
        for zone in room.keep_clear:
            self._bar(zone.ring_mm, (0.0, zone.height_mm or top))
        for door in room.doors:
            for swept in _swept(door) if door.takes_floor else ():
                self._bar(swept, (0.0, door.height_mm or top))
        for each in room.fixtures:
            if each.place is not None:
                self._bar(each.ring_mm(each.place), each.heights_mm, both=_meet(each.heights_mm, HEADROOM))
                for side in each.working_sides:
                    self._bar(each.work_ring_mm(side, each.place), HEADROOM)
        self.loose = [self._places(each) for each in room.fixtures if each.place is None]
        self.sifted = 0

    def has_none(self) -> bool:
        """Tell whether no set of places is left; False too where the effort gave out."""
        return not self._some(self.loose)

    def _down(self, mm: object) -> Indices:
        return np.floor((np.asarray(mm) + SAME_MM) / self.step_mm).astype(np.int64)

    def _bar(self, ring: Ring, heights_mm: Span, *, both: bool = False) -> None:
        """Bar the floor within a ring that is a rectangle square to the axes; any other is left out."""
        corners = np.array(ring)
        low, high = corners.min(axis=0), corners.max(axis=0)
        square = (np.isclose(corners, low, atol=SAME_MM) | np.isclose(corners, high, atol=SAME_MM)).all()
        if square and len(corners) == 4:
            (x0, y0), (x1, y1) = self._down(low - self.low_mm), self._down(high - self.low_mm)
            self.bars.append(((int(x0), int(y0), int(x1), int(y1)), heights_mm, both))

    def _outside(self) -> list[Box]:
        """Return what is wholly out of the room between lines through the outline's corners."""
        floor = shapely.Polygon(self.ring)
        xs, ys = (np.unique(self.ring[:, axis]) for axis in (0, 1))
        found = []
        for x0, x1 in itertools.pairwise(xs):
            for y0, y1 in itertools.pairwise(ys):
                if floor.intersection(shapely.box(x0, y0, x1, y1)).area <= SAME_MM:
                    low = self._down([x0, y0] - self.low_mm).tolist()
                    found.append((*low, *self._down([x1, y1] - self.low_mm).tolist()))
        return found

    def _places(self, fixture: Fixture) -> _Places:
        """Return every place of a fixture within the room and clear of what stands, at the four turns."""
        work = [fixture.work.depth_mm(side) for side in ("front", "right", "back", "left")]
        bodies, zones = [], []
        for turn in range(4):
            # Front, right, back, left look south, east, north, west, and on round with each turn.
            south, east, north, west = self._down(np.roll(work, turn)).tolist()
            wide, deep = self._down(fixture.size_mm[:2] if turn % 2 == 0 else fixture.size_mm[1::-1]).tolist()
            xs = np.arange(west, self.size[0] - wide - east + 1)
            ys = np.arange(south, self.size[1] - deep - north + 1)
            x0, y0 = (each.ravel() for each in np.meshgrid(xs, ys))
            x1, y1 = x0 + wide, y0 + deep
            bodies.append(np.column_stack([x0, y0, x1, y1]))
            below, above = (x0, y0 - south, x1, y0), (x0, y1, x1, y1 + north)
            beside = (x1, y0, x1 + east, y1), (x0 - west, y0, x0, y1)
            zones.append(np.stack([np.column_stack(side) for side in (below, above, *beside)], axis=1))
        all_of_them = _Places(fixture.heights_mm, np.vstack(bodies), np.vstack(zones))
        free = np.ones(len(all_of_them.bodies), dtype=bool)
        for box, heights, both in self.bars:
            if _meet(heights, fixture.heights_mm):
                free &= ~_overlap(all_of_them.bodies, np.array(box))
            if both:
                free &= ~_overlap(all_of_them.zones, np.array(box)).any(axis=1)
        return all_of_them[free]

    def _some(self, loose: list[_Places]) -> bool:
        """Tell whether places for all of them are left, or may be for all that was tried."""
        if not loose:
            return True
        first, *others = sorted(loose, key=lambda places: len(places.bodies))
        for k in range(len(first.bodies)):
            self.sifted += len(others)
            if self.sifted > MOST_SIFTED:
                return True
            left = [_beside(first[k], each) for each in others]
            if all(len(each.bodies) for each in left) and self._some(left):
                return True
        return False


def _beside(one: _Places, others: _Places) -> _Places:
    """Return the places of another fixture that are left beside one that stands (its places are one)."""
    body, zones = one.bodies[0], one.zones[0]
    clash = np.zeros(len(others.bodies), dtype=bool)
    if _meet(one.heights_mm, others.heights_mm):
        clash |= _overlap(others.bodies, body)
    if _meet(one.heights_mm, HEADROOM):
        clash |= _overlap(others.zones, body).any(axis=1)
    if _meet(others.heights_mm, HEADROOM):
        clash |= _overlap(others.bodies[:, None], zones[None]).any(axis=1)
    return others[~clash]


def _overlap(boxes: Indices, box: Indices) -> Mask:
    """Tell which boxes (..., 4) have floor in common with a box."""
    low, high = np.maximum(boxes[..., :2], box[..., :2]), np.minimum(boxes[..., 2:], box[..., 2:])
    return np.asarray((low < high).all(axis=-1))


def _meet(one: Span, other: Span) -> bool:
    return min(one[1], other[1]) - max(one[0], other[0]) > SAME_MM


def _swept(door: Door) -> list[Ring]:
    """Return rectangles within what a door's leaf sweeps, a corner at the hinge, the other on the arc."""
    hinge = np.array(door.hinge_mm)
    along, inward = np.array(door.strike_mm) - hinge, door.width_mm * np.array(door.inward)
    rings = []
    for share in SWUNG:
        c, s = math.cos(share * math.pi / 2.0), math.sin(share * math.pi / 2.0)
        corners = (hinge, hinge + c * along, hinge + c * along + s * inward, hinge + s * inward)
        rings.append(tuple((float(x), float(y)) for x, y in corners))
    return rings
