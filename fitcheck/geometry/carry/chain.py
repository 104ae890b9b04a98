"""Adjacency of free places in slices of swing, and a chain from start to goal.

At best: whoever goes from one slice to the next is, on the way, at the swing between them, so those two are
joined only by a free place at that one swing, which is exact; no chain is then a proof that there is no
way. Surely: free places at neighbouring swings that overlap, or all but do, may lead into one another;
whether they do is checked afterwards, by moving the part.
"""

from __future__ import annotations

import itertools
import math
from collections import defaultdict, deque

import numpy as np
import shapely

from fitcheck.geometry.carry.slices import SAME_RAD, WHOLE, Places
from fitcheck.things.solid import Floats, Indices

# Tipping (layer) leads between two ways of carrying (layers).
Between = dict[int, tuple[int, int]]
# A start that touches a wall may lie outside its free places by rounding.
ROUNDING_MM = 1e-6
# Swings further apart are not neighbours: what lies between was left out.
NEXT_RAD = 0.1


def apart_rad(swings: Floats, other: float) -> Floats:
    """Return how far swings are from another, the shorter way round."""
    between = np.mod(swings - other, WHOLE)
    return np.asarray(np.minimum(between, WHOLE - between))


def joined_nearly(places: Places, between: Between, reach_mm: float) -> Indices:
    """Return the pairs (p, 2) of places, each at one swing, that may lead into one another.

    Those at neighbouring swings of one layer that are no further apart than a part's end moves in between,
    which is reach_mm for each radian, and those for tipping with those of either way of carrying.
    """
    groups: dict[tuple[int, float], list[int]] = defaultdict(list)
    rounded = np.round(np.mod(places.swing_of, WHOLE), 9)
    for k, layer, swing in zip(range(len(rounded)), places.layer_of.tolist(), rounded.tolist(), strict=True):
        groups[layer, swing].append(k)
    turned, level = [], []
    for layer in {layer for layer, _ in groups}:
        swings = sorted(swing for number, swing in groups if number == layer)
        for one, other in zip(swings, swings[1:] + swings[:1], strict=True):
            pairs = itertools.product(groups[layer, one], groups[layer, other])
            turned += [(a, b, (other - one) % WHOLE) for a, b in pairs if a != b]
        for carrying in between.get(layer, ()):
            for swing in swings:
                level += [*itertools.product(groups[layer, swing], groups.get((carrying, swing), []))]
    apart = np.array(turned).reshape(-1, 3)
    every = apart[:, :2].astype(np.int64)
    near = shapely.dwithin(places.areas[every[:, 0]], places.areas[every[:, 1]], reach_mm * apart[:, 2])
    return np.concatenate([every[near & (apart[:, 2] <= NEXT_RAD)], _that_meet(places, level)])


def joined_at_best(places: Places) -> Indices:
    """Return the pairs (p, 2) of places at best that lead into one another: a slice, a swing at its end."""
    return _that_meet(places, _through_swings(places))


def chain(pairs: Indices, starts: Indices, goals: Indices) -> list[int] | None:
    """Return places that lead from one of the starts to one of the goals, the fewest; None where none do."""
    next_to: dict[int, list[int]] = defaultdict(list)
    for a, b in pairs.tolist():
        next_to[a].append(b)
        next_to[b].append(a)
    before: dict[int, int | None] = {int(start): None for start in starts}
    wanted = {int(goal) for goal in goals}
    todo = deque(before)
    while todo:
        here = todo.popleft()
        if here in wanted:
            path = [here]
            while (back := before[path[-1]]) is not None:
                path.append(back)
            return path[::-1]
        for there in next_to.get(here, []):
            if there not in before:
                before[there] = here
                todo.append(there)
    return None


def reached(pairs: Indices, starts: Indices, count: int) -> Indices:
    """Return all places, of `count`, that the starts lead to."""
    import scipy.sparse
    import scipy.sparse.csgraph

    ones = np.ones(len(pairs), dtype=bool)
    graph = scipy.sparse.coo_matrix((ones, (pairs[:, 0], pairs[:, 1])), shape=(count, count))
    _, label = scipy.sparse.csgraph.connected_components(graph, directed=False)
    return np.asarray(np.flatnonzero(np.isin(label, label[starts])))


def holding(places: Places, at_mm: tuple[float, float], swing_rad: float | None) -> Indices:
    """Return the places that hold a point, at a swing or at any."""
    holds = shapely.dwithin(places.areas, shapely.points(at_mm), ROUNDING_MM)
    if swing_rad is not None:
        holds &= apart_rad(places.swing_of, swing_rad) <= places.half_of + SAME_RAD
    return np.asarray(np.flatnonzero(holds))


def _slice_width(places: Places) -> tuple[float, int]:
    """Return how wide the slices are, and how many make a whole turn; 0 where there are none."""
    wide = 2.0 * float(places.half_of.max(initial=0.0))
    return wide, round(WHOLE / wide) if wide else 0


def _groups(places: Places) -> dict[tuple[int, int], list[int]]:
    """Return the places of each layer and slice; single swings are numbered below 0."""
    wide, count = _slice_width(places)
    _, single = np.unique(np.round(places.swing_of, 9), return_inverse=True)
    number = np.rint(places.swing_of / wide - 0.5).astype(np.int64) % count if count else single
    number = np.where(places.half_of > 0.0, number, -1 - single)
    found: dict[tuple[int, int], list[int]] = defaultdict(list)
    for k, layer, which in zip(range(len(number)), places.layer_of.tolist(), number.tolist(), strict=True):
        found[layer, which].append(k)
    return found


def _through_swings(places: Places) -> list[tuple[int, int]]:
    """Return pairs of a place at one swing and one in a slice that has that swing, of one layer."""
    wide, count = _slice_width(places)
    groups = _groups(places)
    pairs = []
    for k in np.flatnonzero(places.half_of == 0.0).tolist() if count else []:
        turned = float(places.swing_of[k]) / wide
        # A swing between two slices is in both.
        for number in {math.floor(turned + shift) % count for shift in (-1e-6, 1e-6)}:
            pairs += [(k, other) for other in groups.get((int(places.layer_of[k]), number), [])]
    return pairs


def _that_meet(places: Places, pairs: list[tuple[int, int]]) -> Indices:
    every = np.array(pairs, dtype=np.int64).reshape(-1, 2)
    meet = shapely.intersects(places.areas[every[:, 0]], places.areas[every[:, 1]])
    return np.asarray(every[meet])
