"""Modes of carrying a part on a route: level, tipped, and the change between them."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely

from fitcheck.geometry.carry.chain import Between
from fitcheck.geometry.carry.outlines import Pieces, is_the_same_turned
from fitcheck.geometry.carry.slices import Ground, Layer
from fitcheck.geometry.carry.tilts import Tilts, simpler
from fitcheck.things.route import Low, Route
from fitcheck.things.solid import Floats, Indices

ROUNDING_MM = 1e-6
# A wall this long says how a part may have to be held to go along it; more than these say it.
MOST_WALLS = 6
# Headrooms for which a tilt is chosen: the lowest, the highest and some between.
MOST_TILTS = 3


@dataclass(frozen=True, slots=True, eq=False)
class Ways:
    """What is searched.

    best: what leaves more room than there is, for proofs; None where nothing may be said. layers: level or
    tipped up, the lowest tilt first, and then tipping, of which `between` has the two that each joins.
    tilts_rad: of the first. convex: the outline is all of the part's own.
    """

    best: Layer
    layers: tuple[Layer, ...]
    between: Between
    tilts_rad: tuple[float, ...]
    convex: bool

    def wider(self, by_mm: float) -> Ways:
        """Return the same with more to be kept clear."""
        more = [replace(each, clearance_mm=each.clearance_mm + by_mm) for each in (self.best, *self.layers)]
        return replace(self, best=more[0], layers=tuple(more[1:]))


def floor_of(route: Route) -> Any:
    """Return the floor, less the posts, as a shapely polygon."""
    posts = [shapely.Polygon(post) for post in route.posts]
    return shapely.difference(shapely.Polygon(route.floor), shapely.union_all(posts))


def headroom_under(route: Route, low: Low) -> float:
    """Return how tall a part may be under something."""
    own = low.headroom_mm if route.headroom_mm is None else min(low.headroom_mm, route.headroom_mm)
    return own - 2.0 * route.clearance_mm


def most_headroom_mm(route: Route) -> float:
    """Return how tall a part may be at most, anywhere."""
    if route.headroom_mm is not None:
        return route.headroom_mm - 2.0 * route.clearance_mm
    floor = shapely.Polygon(route.floor)
    under = shapely.union_all([shapely.Polygon(low.ring_mm) for low in route.lows])
    if not route.lows or shapely.difference(floor, under).area > ROUNDING_MM * floor.length:
        return math.inf
    return max(headroom_under(route, low) for low in route.lows)


def floor_under(route: Route, floor: Any, tall_mm: float) -> Any:
    """Return the floor over which a part that tall may be."""
    low = [each for each in route.lows if headroom_under(route, each) + ROUNDING_MM < tall_mm]
    if not low:
        return floor
    left = shapely.difference(floor, shapely.union_all([shapely.Polygon(each.ring_mm) for each in low]))
    solid = [part for part in shapely.get_parts(left) if part.geom_type == "Polygon" and part.area > 0.0]
    return shapely.MultiPolygon(solid)


def ways(route: Route, tilts: Tilts, convex: bool) -> Ways | None:
    """Return the ways in which the part may be carried; None where it is surely under no headroom."""
    floor, most = floor_of(route), most_headroom_mm(route)
    chosen = _chosen(route, tilts, most)
    if not chosen:
        return None
    layers = []
    for k in chosen:
        pieces = (tilts.hulls[k],) if convex else simpler(tilts.area(float(tilts.tilts_rad[k])), outward=True)
        layers.append(_layer(route, floor_under(route, floor, float(tilts.tall_mm[k])), pieces))
    between: Between = {}
    for (i, low), (j, high) in itertools.pairwise(enumerate(chosen)):
        tall = _tipping_tall_mm(tilts, low, high)
        if tall > most + ROUNDING_MM:
            continue  # a part that is tipped up is at its tallest before it stands
        between[len(layers)] = (i, j)
        layers.append(_layer(route, floor_under(route, floor, tall), tilts.tipping(low, high)))
    core = tilts.core(most)
    if not convex and len(tilts.tilts_rad) == 1:
        core = simpler(tilts.area(0.0), outward=False)
    best = _layer(route, floor, core)
    return Ways(best, tuple(layers), between, tuple(float(tilts.tilts_rad[k]) for k in chosen), convex)


def along_walls(floor: Any) -> Floats:
    """Return the swings (n,) at which a part lies along or across the longest walls."""
    rings = [ring for part in shapely.get_parts(floor) for ring in (part.exterior, *part.interiors)]
    sides = np.concatenate([np.diff(np.asarray(ring.coords), axis=0) for ring in rings])
    quarter = math.pi / 2.0
    heading = np.round(np.mod(np.arctan2(sides[:, 1], sides[:, 0]) + 1e-9, quarter) - 1e-9, 9)
    which, index = np.unique(heading, return_inverse=True)
    lengths = np.bincount(index, weights=np.linalg.norm(sides, axis=1))
    longest = which[np.argsort(-lengths)[:MOST_WALLS]]
    return np.asarray((longest[:, None] + quarter * np.arange(4)).ravel())


def _chosen(route: Route, tilts: Tilts, most: float) -> list[int]:
    """Return which tilts to carry at: level if there is room, and the shortest under each headroom."""
    limits = {most, *(headroom_under(route, low) for low in route.lows)}
    rooms = sorted(limit for limit in limits if limit <= most)
    picks = sorted({0, len(rooms) // 2, len(rooms) - 1})[-MOST_TILTS:]
    chosen = {0} if tilts.tall_mm[0] <= most + ROUNDING_MM else set()
    for limit in (rooms[k] for k in picks):
        fits = np.flatnonzero(tilts.tall_mm <= limit + ROUNDING_MM)
        if len(fits):
            best = _shortest(tilts, fits)
            chosen.add(best)
            if 0 in chosen and _tipping_tall_mm(tilts, 0, best) > most + ROUNDING_MM:
                over = tilts.tall_mm + 2.0 * tilts.moves_mm > most + ROUNDING_MM
                chosen.add(_shortest(tilts, np.arange(max(int(over.argmax()), 1))))
    return sorted(chosen)


def _shortest(tilts: Tilts, some: Indices) -> int:
    """Return at which of some tilts the part is shortest in plan."""
    return int(some[np.argmin([tilts.long_mm(int(k)) for k in some])])


def _tipping_tall_mm(tilts: Tilts, low: int, high: int) -> float:
    """Return how tall the part is at most while it is tipped from one tilt to another."""
    return float(tilts.tall_mm[low : high + 1].max()) + 2.0 * tilts.moves_mm


def _layer(route: Route, floor: Any, pieces: Pieces) -> Layer:
    same = bool(pieces) and is_the_same_turned(pieces, ROUNDING_MM)
    return Layer(Ground.of(floor), pieces, route.clearance_mm, same)
