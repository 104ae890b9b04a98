"""Path through free places, as key places: position of the middle, swing and tilt."""

from __future__ import annotations

import heapq
import math
from typing import Any

import numpy as np
import shapely

from fitcheck.geometry.carry.check import Body, is_clear
from fitcheck.geometry.carry.slices import SAME_RAD, WHOLE, Places
from fitcheck.things.solid import Floats, Indices

# Two places that lead into one another, by number.
Link = frozenset[int]
# Of the side of an area: to which the place with most room in it is found.
DEEP_SHARE = 0.05


def key_places(
    found: Places, chain: list[int], stands: tuple[Floats, Floats], layers: Indices, deep: set[Link]
) -> tuple[Floats, Indices, Indices]:
    """Return x, y and swing (k, 3) along a chain of places, from start to goal, and the layer of each (k,).

    Also (k,) which place of the chain each is in. stands: start and goal (x, y, swing). layers: of each place
    of the chain, the way in which the part is carried there. In a place the part is moved at one swing, round
    its corners; it is turned from one place to the next, where they overlap or are nearest: as near as can be
    to where it is, or, for the links that are deep, where there is most room.
    """
    start, goal = stands
    here, swing = np.asarray(start[:2], dtype=float), float(start[2])
    keys = [(np.array([*here, swing]), int(layers[0]), 0)]
    for k, place in enumerate(chain):
        swing = _nearest_turn(float(found.swing_of[place]), swing)
        if k and layers[k] != layers[k - 1]:
            keys.append((np.array([*here, swing]), int(layers[k - 1]), k))
        keys.append((np.array([*here, swing]), int(layers[k]), k))
        there, after = np.asarray(goal[:2], dtype=float), here
        if k + 1 < len(chain):
            there, after = _leaving(found, (place, chain[k + 1]), here, deep)
        keys += [
            (np.array([*point, swing]), int(layers[k]), k)
            for point in _round_corners(found.areas[place], here, there)[1:]
        ]
        here = after
    keys.append(
        (np.array([*keys[-1][0][:2], _nearest_turn(float(goal[2]), swing)]), int(layers[-1]), len(chain))
    )
    return _thinned(keys)


def fewer(walls: Floats, body: Body, places: Floats, by_mm: float) -> Floats:
    """Return the path with fewer key places: those are left out past which the straight way is clear too."""
    kept = [0]
    while kept[-1] + 1 < len(places):
        here, step = kept[-1], 1
        good = here + 1
        while (there := min(here + 2 * step, len(places) - 1)) > good:
            # A turn is told by its ends: it must be the shorter way round.
            half_a_turn = abs(places[there, 2] - places[here, 2]) >= WHOLE / 2.0 - SAME_RAD
            if half_a_turn or not is_clear(walls, body, places[[here, there]], by_mm):
                break
            good, step = there, 2 * step
        kept.append(good)
    return np.asarray(places[kept])


def _nearest_turn(angle_rad: float, to_rad: float) -> float:
    """Return the same swing, nearest to another."""
    return angle_rad + WHOLE * round((to_rad - angle_rad) / WHOLE)


def _leaving(found: Places, link: tuple[int, int], here: Floats, deep: set[Link]) -> tuple[Floats, Floats]:
    """Return where to leave a place and where to enter the next: the same where they overlap."""
    one, other = found.areas[list(link)]
    both = shapely.intersection(one, other)
    if both.is_empty:
        ends = np.asarray(shapely.get_coordinates(shapely.shortest_line(one, other)))
        return ends[0], ends[-1]
    if frozenset(link) in deep and both.area > 0.0:
        widest = max(shapely.get_parts(both), key=shapely.area)
        line = shapely.maximum_inscribed_circle(widest, math.sqrt(widest.area) * DEEP_SHARE)
    else:
        line = shapely.shortest_line(both, shapely.Point(here))
    point = np.asarray(shapely.get_coordinates(line))[0]
    return point, point


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


def _thinned(keys: list[tuple[Floats, int, int]]) -> tuple[Floats, Indices, Indices]:
    """Return the keys without those that repeat the one before."""
    kept = [keys[0]]
    for key in keys[1:]:
        if key[1] != kept[-1][1] or np.abs(key[0] - kept[-1][0]).max() > 1e-9:
            kept.append(key)
    places = np.array([key[0] for key in kept])
    return places, np.array([key[1] for key in kept]), np.array([key[2] for key in kept])
