"""Path search over slices of the swing: optimistic, whose failure is a proof, and exact."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from fitcheck.geometry.carry.chain import chain, holding, joined_at_best, joined_nearly, reached
from fitcheck.geometry.carry.check import TOUCHING_MM, Body, is_clear, least_gap_mm, stands_clear, walls_of
from fitcheck.geometry.carry.outlines import far_mm
from fitcheck.geometry.carry.path import Link, key_places
from fitcheck.geometry.carry.slices import WHOLE, Places, best_places, sure_places
from fitcheck.geometry.carry.ways import Ways
from fitcheck.things.route import Route, Stand
from fitcheck.things.solid import Floats, Indices

# Turns from one slice to the next that are tried and do not do, before a way is given up.
MOST_TRIES = 40
# Of r h^2, r being the farthest corner and h a turn: what a part may stray by between two places (its own
# arc an eighth, what it is moved by while it turns a quarter).
STRAYS = 0.4
# Every swing, as the middle and the half width of one slice.
EVERY_SWING = np.array([[math.pi, math.pi]])


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """What is asked: the route, its floor less the posts, and the ways of carrying."""

    route: Route
    floor: Any
    ways: Ways
    exact: Floats

    @property
    def provable(self) -> bool:
        """Whether no way at best is a proof: what is solid of a hollow part is not known for all tilts."""
        return self.ways.convex or self.route.tilt_rad == 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """A way from start to goal: x, y, swing (k, 3) and the number of the tilt (k,); slices gone through."""

    places: Floats
    tilt_of: Indices
    around: Floats


def at_best(asked: Asked, way: Ways, count: int, within: Floats) -> tuple[Floats | None, Floats]:
    """Return the swings of a chain at best, None where there is none, and all that can be reached.

    As rows: the middle and the half width of each slice. within: those that wider slices, or more room,
    have reached: what is reached now lies in them.
    """
    half = math.pi / count / 2.0
    swings: Floats = 2.0 * half * np.arange(2 * count, dtype=np.float64)
    middles = swings + half
    swings, middles = swings[_near(swings, within, 0.0)], middles[_near(middles, within, 0.0)]
    found = Places.all_of([best_places(way.best, swings, 0.0), best_places(way.best, middles, half)])
    pairs = joined_at_best(found)
    stands = asked.route.start, asked.route.goal
    start, goal = (_in_slices(found, stand) for stand in stands)
    through = chain(pairs, start, goal)
    rows = np.column_stack([found.swing_of, found.half_of])
    if through is None:
        return None, rows[:0]
    some = reached(pairs, start, len(rows))
    return np.unique(rows[through], axis=0), np.unique(rows[some[found.half_of[some] > 0.0]], axis=0)


def _in_slices(found: Places, stand: Stand) -> Any:
    every = holding(found, stand.at_mm, stand.swing_rad)
    return every[found.half_of[every] > 0.0]


def surely(asked: Asked, way: Ways, count: int, around: Floats) -> Found | None:
    """Return a way on which the part is surely clear, at swings within some slices; None for none found."""
    wide = math.pi / count
    swings: Floats = wide * np.arange(2 * count, dtype=np.float64)
    swings = swings[_near(swings, around, wide / 2.0)]
    exact = asked.exact[_near(asked.exact, around, 0.0)]
    swings = swings[~_near(swings, np.column_stack([exact, np.zeros(len(exact))]), 1e-7)]
    far = max(far_mm(layer.pieces) for layer in way.layers)
    margin = max(STRAYS * far * wide**2, TOUCHING_MM)
    found = Places.all_of(
        [
            sure_places(layer, number, some, by)
            for number, layer in enumerate(way.layers)
            for some, by in ((swings, margin), (exact, 0.0))
        ]
    )
    pairs = joined_nearly(found, way.between, far)
    # It starts and ends level, or at the lowest tilt that there is room for.
    start, goal = (
        every[found.layer_of[every] == 0]
        for stand in (asked.route.start, asked.route.goal)
        for every in (holding(found, stand.at_mm, stand.swing_rad),)
    )
    deep: set[Link] = set()
    for _ in range(MOST_TRIES):
        through = chain(pairs, start, goal)
        if through is None:
            return None
        keys = _keys(asked, way, found, through, deep)
        bad = _not_clear(way, *keys)
        if not len(bad):
            slices = np.column_stack([found.swing_of[through], np.full(len(through), wide)])
            return Found(keys[0], keys[1], np.unique(slices, axis=0))
        links = {frozenset(through[k - 1 : k + 1]) for k in bad.tolist() if 0 < k < len(through)}
        if not links:
            return None
        # Turned where it was, it came too near: where there is more room it may not, else this link is shut.
        shut, deep = links & deep, deep | links
        pairs = pairs[[frozenset(pair) not in shut for pair in pairs.tolist()]]
    return None


def _keys(
    asked: Asked, way: Ways, found: Places, through: list[int], deep: set[Link]
) -> tuple[Floats, Indices, Indices]:
    """Return key places of a chain, the number of the tilt of each, and which place of the chain it is in."""
    ends = zip((asked.route.start, asked.route.goal), (through[0], through[-1]), strict=True)
    start, goal = (
        np.array([*stand.at_mm, found.swing_of[end] if stand.swing_rad is None else stand.swing_rad])
        for stand, end in ends
    )
    return key_places(found, through, (start, goal), _carried_at(found.layer_of[through], way), deep)


def _not_clear(way: Ways, places: Floats, tilt_of: Indices, link: Indices) -> Indices:
    """Return the places of the chain, by number, on the way into which the part is not clear."""
    bad = []
    for low, high in runs(tilt_of):
        layer = way.layers[int(tilt_of[low])]
        walls, body = walls_of(layer.ground.floor), Body.of(layer.pieces)
        if high - low < 2 or is_clear(walls, body, places[low:high], layer.clearance_mm):
            continue
        bad += [
            int(link[k])
            for k in range(low + 1, high)
            if not is_clear(walls, body, places[k - 1 : k + 1], layer.clearance_mm)
        ]
    return np.array(bad, dtype=np.int64)


def tipping_room(way: Ways, found: Found) -> tuple[float, Floats] | None:
    """Return what is to spare at least while the part is tipped from one tilt to the next, in mm, and where.

    inf, and any place, for a part that is not tipped; None where it is not clear of everything.
    """
    least, where = math.inf, found.places[0]
    for k in np.flatnonzero(np.diff(found.tilt_of)).tolist():
        pair = tuple(sorted(found.tilt_of[k : k + 2].tolist()))
        layer = next(way.layers[tipping] for tipping, ends in way.between.items() if ends == pair)
        walls, body, place = walls_of(layer.ground.floor), Body.of(layer.pieces), found.places[k + 1]
        stays = np.abs(found.places[k] - place).max() <= TOUCHING_MM
        if not (stays and stands_clear(layer.ground.floor, body, place)):
            return None
        if not is_clear(walls, body, place[None], layer.clearance_mm):
            return None
        gap, at = least_gap_mm(walls, body, place[None])
        if gap - layer.clearance_mm < least:
            least, where = gap - layer.clearance_mm, at
    return least, where


def runs(tilt_of: Indices) -> list[tuple[int, int]]:
    """Return from where to where the part is carried at one tilt."""
    breaks = [0, *(np.flatnonzero(np.diff(tilt_of)) + 1).tolist(), len(tilt_of)]
    return list(itertools.pairwise(breaks))


def _near(swings: Floats, around: Floats, half: float) -> Any:
    """Return which swings, each with so much to either side, meet one of some slices."""
    middles, halves = around[:, 0], around[:, 1]
    apart = np.abs(np.mod(swings[:, None] - middles[None, :] + math.pi, WHOLE) - math.pi)
    return (apart <= halves[None, :] + half + 1e-9).any(axis=1)


def _carried_at(layers: Any, way: Ways) -> Any:
    """Return at which tilt, by number, each place of a chain is gone through: while tipping, as before it."""
    carried, last = [], 0
    for layer in layers.tolist():
        last = layer if layer < len(way.tilts_rad) else last
        carried.append(last)
    return np.array(carried)
