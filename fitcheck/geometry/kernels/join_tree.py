"""Join tree of a surface, by a sweep of the level over its vertices: see `pockets.py`."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.geometry.kernels.jit import compiled, compiled_aside
from fitcheck.geometry.kernels.overhang_edges import BESIDE, lips, starts
from fitcheck.geometry.kernels.vertical_rays import METAL, SKY, above, binned, gridded, square_at
from fitcheck.things.solid import Floats, Indices
from fitcheck.things.solid import Mask as Flags

# A ray starts beside a vertex in one of so many directions, the first of which no side of a square thing has:
# where bodies touch, some lead into the other one.
ASIDES, FIRST_RAD = 6, 1.0


@compiled
def _root(parent: Indices, node: int) -> int:
    while parent[node] != node:
        parent[node] = parent[parent[node]]
        node = parent[node]
    return node


@compiled
def _unite(
    one: int, other: int, height: float,
    parent: Indices, is_open: Flags, last: Indices, after: Indices, spill: Floats, pocket: Indices,
) -> None:  # fmt: skip
    """Join two nodes at a height; what thereby comes to the open has its spill there."""
    a, b = _root(parent, one), _root(parent, other)
    if a == b:
        return
    if is_open[b]:
        a, b = b, a
    if is_open[a]:
        k = -1 if is_open[b] else b
        while k >= 0:
            spill[k], pocket[k] = height, b
            k = after[k]
    else:
        after[last[a]] = b
        last[a] = last[b]
    parent[b] = a


@compiled
def swept(
    heights: Floats, order: Indices, begins: Indices, neighbours: Indices, pair: Indices, link: Floats
) -> tuple[Floats, Indices]:
    """Return for every vertex the height under which it is open, and the vertex that its pocket is named by.

    The sweep goes down from the top, in the order given. A vertex is joined to its higher neighbours when it
    is reached, and the ends of a ray (pair (R, 2), vertex or the number of vertices for the open) at the
    ray's `link` height. A vertex that never comes to the open has -inf, -1.
    """
    n = len(heights)
    parent, last = np.arange(n + 1), np.arange(n + 1)
    after, pocket = np.full(n + 1, -1, dtype=np.int64), np.full(n + 1, -1, dtype=np.int64)
    spill = np.full(n + 1, -np.inf)
    is_open, reached = np.zeros(n + 1, dtype=np.bool_), np.zeros(n, dtype=np.bool_)
    is_open[n] = True
    by_link = np.argsort(-link)
    p = 0
    for v in order:
        while p < len(link) and link[by_link[p]] > heights[v]:
            r = by_link[p]
            _unite(pair[r, 0], pair[r, 1], link[r], parent, is_open, last, after, spill, pocket)
            p += 1
        reached[v] = True
        for e in range(begins[v], begins[v + 1]):
            if reached[neighbours[e]]:
                _unite(neighbours[e], v, heights[v], parent, is_open, last, after, spill, pocket)
    while p < len(link):
        r = by_link[p]
        _unite(pair[r, 0], pair[r, 1], link[r], parent, is_open, last, after, spill, pocket)
        p += 1
    return spill[:n].copy(), pocket[:n].copy()


@compiled
def parted(
    heights: Floats,
    begins: Indices,
    neighbours: Indices,
    pair: Indices,
    link: Floats,
    spill: Floats,
    tie: float,
) -> Indices:
    """Return for every vertex the one that its pocket is named by; -1 for one in no pocket.

    As `swept` has it, but pockets that meet no higher than their mouths, give or take a tie, stay apart.
    """
    n = len(heights)
    parent = np.arange(n)
    for v in range(n):
        for e in range(begins[v], begins[v + 1]):
            if heights[v] > spill[v] + tie and heights[neighbours[e]] > spill[v] + tie:
                parent[_root(parent, v)] = _root(parent, neighbours[e])
    for r in range(len(link)):
        v, w = pair[r]
        if v < n and w < n and link[r] > spill[v] + tie and heights[v] > spill[v] + tie:
            parent[_root(parent, v)] = _root(parent, w)
    pocket = np.full(n, -1, dtype=np.int64)
    for v in range(n):
        if spill[v] > -np.inf and heights[v] > spill[v] + tie:
            pocket[v] = _root(parent, v)
    return pocket


@compiled
def joins(
    points: Floats, triangles: Indices, edges: Indices, apexes: Indices, begins: Indices, neighbours: Indices
) -> tuple[Indices, Floats]:
    """Return which vertices (or the open: the number of vertices) rays straight up join, and how high.

    A ray starts from the lips, and just beside every vertex that is higher than its neighbours and has metal
    under it; those that start in the metal are left out.
    """
    size = 0.0
    for k in range(3):
        size = max(size, points[:, k].max() - points[:, k].min())
    folds, out = lips(points, edges, apexes, size)
    start, corner, height = starts(points, edges, folds, out, size)
    peaks = _peaks(points, edges, apexes, begins, neighbours)
    grid, squares = gridded(points, triangles)
    wanted = np.zeros(squares[0] * squares[1] + 1, dtype=np.bool_)  # the last one is beside the grid
    for r in range(len(start)):
        wanted[square_at(grid, squares, start[r, 0], start[r, 1])] = True
    for p in range(len(peaks)):
        for way in range(ASIDES):
            x, y = _aside(points[peaks[p]], way, size)
            wanted[square_at(grid, squares, x, y)] = True
    first, which = binned(points, triangles, grid, squares, wanted)
    bins = (grid, squares, first, which)
    room = len(start) + len(peaks)
    pair, link = np.empty((room, 2), dtype=np.int64), np.empty(room)
    n = 0
    for r in range(room):
        if r < len(start):
            v, at = corner[r], height[r]
            met = above(points, triangles, bins, (start[r, 0], start[r, 1], start[r, 2]))
        else:
            v = peaks[r - len(start)]
            at, met = points[v, 2], METAL
            for way in range(ASIDES):
                x, y = _aside(points[v], way, size)
                met = above(points, triangles, bins, (x, y, at))
                if met != METAL:
                    break
        if met == METAL:
            continue
        pair[n, 0], link[n] = v, at
        pair[n, 1] = len(points) if met == SKY else _highest(points, triangles[met])
        n += 1
    return pair[:n].copy(), link[:n].copy()


@compiled
def _aside(point: Floats, way: int, size: float) -> tuple[float, float]:
    """Return the place in plan just beside a point, in one of several directions."""
    turn = FIRST_RAD + 2.0 * math.pi * way / ASIDES
    return point[0] + BESIDE * size * math.cos(turn), point[1] + BESIDE * size * math.sin(turn)


@compiled
def _peaks(points: Floats, edges: Indices, apexes: Indices, begins: Indices, neighbours: Indices) -> Indices:
    """Return the vertices that are higher than their neighbours and have metal under them."""
    steepest = _steepest(points, edges)
    peaks = np.empty(len(points), dtype=np.int64)
    n = 0
    for v in range(len(points)):
        if not _is_peak(points, begins, neighbours, v):
            continue
        if _has_metal_under(points, edges[steepest[v]], apexes[steepest[v]]):
            peaks[n] = v
            n += 1
    return peaks[:n].copy()


@compiled
def _steepest(points: Floats, edges: Indices) -> Indices:
    """Return for every vertex the edge that rises most steeply from it, or falls least."""
    steepest = np.zeros(len(points), dtype=np.int64)
    rise = np.full(len(points), -np.inf)
    for e in range(len(edges)):
        a, b = edges[e]
        dx, dy, dz = points[b, 0] - points[a, 0], points[b, 1] - points[a, 1], points[b, 2] - points[a, 2]
        long = math.sqrt(dx * dx + dy * dy + dz * dz)
        if long == 0.0:
            continue
        if dz / long > rise[a]:
            rise[a], steepest[a] = dz / long, e
        if -dz / long > rise[b]:
            rise[b], steepest[b] = -dz / long, e
    return steepest


@compiled
def _has_metal_under(points: Floats, edge: Indices, apexes: Indices) -> bool:
    """Tell it of a vertex higher than its neighbours, by the two triangles at its steepest edge."""
    a, b = edge
    return _facing_up(points, a, b, apexes[0]) + _facing_up(points, b, a, apexes[1]) > 0.0


@compiled
def _facing_up(points: Floats, a: int, b: int, c: int) -> float:
    """Return the upward part of a triangle's unit normal; 0 for one without area."""
    ux, uy, uz = points[b, 0] - points[a, 0], points[b, 1] - points[a, 1], points[b, 2] - points[a, 2]
    vx, vy, vz = points[c, 0] - points[a, 0], points[c, 1] - points[a, 1], points[c, 2] - points[a, 2]
    plan = ux * vy - uy * vx
    area = math.sqrt((uy * vz - uz * vy) ** 2 + (uz * vx - ux * vz) ** 2 + plan * plan)
    return plan / area if area > 0.0 else 0.0


@compiled
def _is_peak(points: Floats, begins: Indices, neighbours: Indices, v: int) -> bool:
    for e in range(begins[v], begins[v + 1]):
        w = neighbours[e]
        if points[w, 2] > points[v, 2] or (points[w, 2] == points[v, 2] and w > v):
            return False
    return True


@compiled
def _highest(points: Floats, triangle: Indices) -> int:
    a, b, c = triangle
    if points[a, 2] >= points[b, 2] and points[a, 2] >= points[c, 2]:
        return int(a)
    return int(b) if points[b, 2] >= points[c, 2] else int(c)


@compiled
def sized(points: Floats, triangles: Indices, spill: Floats, pocket: Indices) -> Floats:
    """Return for every vertex that names a pocket: volume, touched area, area of its level (n, 3).

    Over a triangle with corner heights h over the level, the integral of max(h, 0) is the plan area times the
    divided difference [h0, h1, h2] of max(h, 0)^3 / 3: see `waterline.py`.
    """
    sums = np.zeros((len(points), 3))
    for t in range(len(triangles)):
        v = _highest(points, triangles[t])
        level = spill[v]
        if pocket[v] < 0 or not points[v, 2] > level:
            continue
        a, b, c = triangles[t]
        ux, uy, uz = points[b, 0] - points[a, 0], points[b, 1] - points[a, 1], points[b, 2] - points[a, 2]
        wx, wy, wz = points[c, 0] - points[a, 0], points[c, 1] - points[a, 1], points[c, 2] - points[a, 2]
        plan = 0.5 * (ux * wy - uy * wx)
        area = 0.5 * math.sqrt((uy * wz - uz * wy) ** 2 + (uz * wx - ux * wz) ** 2 + (2.0 * plan) ** 2)
        h = np.sort(np.array([points[a, 2] - level, points[b, 2] - level, points[c, 2] - level]))
        if h[0] >= 0.0:
            share, mean = 1.0, (h[0] + h[1] + h[2]) / 3.0
        elif h[1] > 0.0:
            under = h[0] * h[0] / ((h[1] - h[0]) * (h[2] - h[0]))
            share, mean = 1.0 - under, (h[0] + h[1] + h[2]) / 3.0 - under * h[0] / 3.0
        else:
            share = h[2] * h[2] / ((h[2] - h[0]) * (h[2] - h[1]))
            mean = share * h[2] / 3.0
        sums[pocket[v], 0] -= plan * mean
        sums[pocket[v], 1] += area * share
        sums[pocket[v], 2] -= plan * share
    return sums


@compiled_aside
def total(
    points: Floats, order: Indices, triangles: Indices, edges: Indices, apexes: Indices, begins: Indices,
    neighbours: Indices,
) -> float:  # fmt: skip
    """Return the volume of all pockets of air of points as they are turned, from the highest down."""
    pair, link = joins(points, triangles, edges, apexes, begins, neighbours)
    spill, pocket = swept(points[:, 2].copy(), order, begins, neighbours, pair, link)
    return float(sized(points, triangles, spill, pocket)[:, 0].sum())
