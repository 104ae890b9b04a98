"""A path through free places of slices, as key places, and whether it is one, looked at by other means.

`passes` shares nothing with the slices: it moves the outline itself along the path and never further in one
step than it is clear of everything.
"""

from __future__ import annotations

import heapq
import itertools
import math
from typing import Any

import numpy as np
import shapely

from fitcheck.geometry.carry_slices import Slices
from fitcheck.things.solid import Floats

# What the steps of the check let through: thinner than a sheet of paper.
TOUCHING_MM = 0.02
# Steps in a row before a leg is given up: it then scrapes along a wall.
MOST_STEPS = 20_000


def key_places(found: Slices, areas: list[int], start: Floats, goal: Floats) -> Floats:
    """Return x, y and swing (k, 3) along a chain of areas, from start to goal (x, y, swing).

    The swing changes only where two areas overlap; in between the part is moved at one swing, round the
    corners of the area.
    """
    places = [np.asarray(start, dtype=float)]
    swing = float(start[2])
    here = np.asarray(start[:2], dtype=float)
    for k, area in enumerate(areas):
        middle = _nearest_turn((found.slice_of[area] + 0.5) * found.wide_rad, swing, found)
        if k:
            swing = middle
            places.append(np.array([*here, swing]))
        if k + 1 == len(areas):
            there = np.asarray(goal[:2], dtype=float)
        else:
            both = shapely.intersection(found.areas[area], found.areas[areas[k + 1]])
            there = _nearest(both, here)
        for point in _round_corners(found.areas[area], here, there)[1:]:
            places.append(np.array([*point, swing]))
        here = there
    places.append(np.array([*here, _nearest_turn(float(goal[2]), swing, found)]))
    return _thinned(np.array(places))


def passes(floor: Any, outline: Floats, places: Floats) -> tuple[bool, float, Floats]:
    """Tell whether a convex outline (n, 2) stays on the floor along key places (k, 3), straight between them.

    Returns that, the least gap to the floor's edge seen on the way, and where that was.
    """
    shapely.prepare(floor)
    edge = shapely.boundary(floor)
    far = float(np.linalg.norm(outline, axis=1).max())
    least, where = math.inf, np.asarray(places[0][:2])
    for one, other in itertools.pairwise(places):
        travel = float(np.linalg.norm(other[:2] - one[:2])) + far * abs(float(other[2] - one[2]))
        done, steps = 0.0, 0
        while True:
            share = 1.0 if travel == 0.0 else min(done / travel, 1.0)
            place = one + share * (other - one)
            body = shapely.Polygon(outline @ _turned(float(place[2])).T + place[:2])
            gap = float(shapely.distance(edge, body))
            if gap == 0.0 and not shapely.covers(floor, shapely.buffer(body, -TOUCHING_MM)):
                return False, 0.0, place[:2]
            if gap < least:
                least, where = gap, place[:2]
            if share >= 1.0:
                break
            done += max(gap, TOUCHING_MM)
            steps += 1
            if steps > MOST_STEPS:
                return False, least, where
    return True, least, where


def fewer(floor: Any, outline: Floats, places: Floats) -> Floats:
    """Return the path with fewer key places: those are left out past which the straight way goes too."""
    kept = [0]
    while kept[-1] + 1 < len(places):
        here, step = kept[-1], 1
        good = here + 1
        while (there := min(here + 2 * step, len(places) - 1)) > good:
            if not passes(floor, outline, places[[here, there]])[0]:
                break
            good, step = there, 2 * step
        kept.append(good)
    return np.asarray(places[kept])


def _turned(angle_rad: float) -> Floats:
    cosine, sine = math.cos(angle_rad), math.sin(angle_rad)
    return np.array([[cosine, -sine], [sine, cosine]])


def _nearest_turn(angle_rad: float, to_rad: float, found: Slices) -> float:
    """Return an angle that is the same to the slices, nearest to another."""
    whole = found.wide_rad * found.count
    return angle_rad + whole * round((to_rad - angle_rad) / whole)


def _nearest(area: Any, point: Floats) -> Floats:
    line = shapely.shortest_line(area, shapely.Point(point))
    return np.asarray(shapely.get_coordinates(line)[0])


def _round_corners(area: Any, start: Floats, goal: Floats) -> list[Floats]:
    """Return the shortest way from start to goal within a polygon, by its corners (a visibility graph)."""
    if shapely.covers(_loosened(area), shapely.LineString([start, goal])):
        return [start, goal]
    corners = shapely.get_coordinates(area)
    points = np.vstack([start, goal, corners])
    room = _loosened(area)
    shapely.prepare(room)
    best = {0: 0.0}
    before: dict[int, int] = {}
    todo: list[tuple[float, int]] = [(0.0, 0)]
    while todo:
        far, here = heapq.heappop(todo)
        if here == 1:
            break
        if far > best[here]:
            continue
        lines = shapely.linestrings(np.stack([np.broadcast_to(points[here], points.shape), points], axis=1))
        for there in np.flatnonzero(shapely.covers(room, lines)).tolist():
            longer = far + float(np.linalg.norm(points[there] - points[here]))
            if there != here and longer < best.get(there, math.inf):
                best[there], before[there] = longer, here
                heapq.heappush(todo, (longer, there))
    if 1 not in before:
        return [start, goal]
    path = [1]
    while path[-1] != 0:
        path.append(before[path[-1]])
    return [points[k] for k in reversed(path)]


def _loosened(area: Any) -> Any:
    """Return the area with what rounding takes from a line along its edge."""
    return shapely.buffer(area, 1e-6)


def _thinned(places: Floats) -> Floats:
    """Return the places without those that repeat the one before."""
    kept = [places[0]]
    for k in range(1, len(places)):
        if np.abs(places[k] - kept[-1]).max() <= 1e-9:
            continue
        kept.append(places[k])
    return np.array(kept)
