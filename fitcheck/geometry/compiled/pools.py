"""What a surface holds as the level passes, by a sweep over its vertices: see `pockets.py`."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.geometry.compiled.kept import compiled, compiled_aside
from fitcheck.things.solid import Floats, Indices
from fitcheck.things.solid import Mask as Flags

# A ray starts this share of the part's size beside the edge that it starts from: far above the rounding of
# its corners, and far under anything that is made of metal.
BESIDE = 1e-7
# ... and this share of the edge along it from its end or from a crossing.
ALONG = 1e-5
# A triangle counts as upright over an edge where its corner is within this share of the part's size of it.
UPRIGHT = 1e-9
# ... and beside a vertex in one of so many directions, the first of which no side of a square thing has:
# where bodies touch, some lead into the other one.
ASIDES, FIRST_RAD = 6, 1.0
# What a ray meets that meets no triangle, or comes from inside the metal.
SKY, METAL = -1, -2


@compiled
def side_of(ax: float, ay: float, bx: float, by: float, px: float, py: float) -> int:
    """Tell on which side of the line a-b the point p lies: never 0, and the same seen from both triangles.

    A point on the line counts as moved by an endless small step along x, then along y (H. Edelsbrunner and
    E. P. Muecke, Simulation of simplicity, ACM Trans. Graphics 9 (1990) 66-104).
    """
    flip = 1
    if ax > bx or (ax == bx and ay > by):
        ax, ay, bx, by, flip = bx, by, ax, ay, -1
    area = (bx - ax) * (py - ay) - (by - ay) * (px - ax)
    if area == 0.0:
        area = -(by - ay)
    if area == 0.0:
        area = bx - ax
    return flip if area > 0.0 else -flip


@compiled
def binned(points: Floats, triangles: Indices) -> tuple[Floats, Indices, Indices, Indices]:
    """Sort the triangles into the squares of a grid over the plan, about one for every two of them.

    Returns the grid (low x, low y, squares a mm in x and y), its squares (nx, ny), where the list of each
    square begins (nx * ny + 1,), and the lists.
    """
    low_x, high_x = points[:, 0].min(), points[:, 0].max()
    low_y, high_y = points[:, 1].min(), points[:, 1].max()
    wide, deep = max(high_x - low_x, 1e-12), max(high_y - low_y, 1e-12)
    squares = max(len(triangles) / 2.0, 1.0)
    nx = min(max(int(math.sqrt(squares * wide / deep)), 1), 1024)
    ny = min(max(int(squares / nx), 1), 1024)
    grid = np.array([low_x, low_y, nx / wide, ny / deep])
    first = np.zeros(nx * ny + 1, dtype=np.int64)
    for write in range(2):
        if write == 1:
            for k in range(nx * ny):
                first[k + 1] += first[k]
            which = np.empty(first[nx * ny], dtype=np.int64)
            at = first[:-1].copy()
        for t in range(len(triangles)):
            a, b, c = triangles[t]
            i0 = _square(min(points[a, 0], points[b, 0], points[c, 0]), low_x, grid[2], nx)
            i1 = _square(max(points[a, 0], points[b, 0], points[c, 0]), low_x, grid[2], nx)
            j0 = _square(min(points[a, 1], points[b, 1], points[c, 1]), low_y, grid[3], ny)
            j1 = _square(max(points[a, 1], points[b, 1], points[c, 1]), low_y, grid[3], ny)
            for i in range(i0, i1 + 1):
                for j in range(j0, j1 + 1):
                    k = i * ny + j
                    if write == 0:
                        first[k + 1] += 1
                    else:
                        which[at[k]] = t
                        at[k] += 1
    return grid, np.array([nx, ny]), first, which


@compiled
def _square(place: float, low: float, squares_a_mm: float, count: int) -> int:
    return min(max(int((place - low) * squares_a_mm), 0), count - 1)


@compiled
def above(
    points: Floats,
    triangles: Indices,
    bins: tuple[Floats, Indices, Indices, Indices],
    start: tuple[float, float, float],
) -> int:
    """Return the triangle that a ray straight up meets first, or SKY, or METAL where it starts in metal."""
    grid, size, first, which = bins
    x, y, z = start
    i, j = math.floor((x - grid[0]) * grid[2]), math.floor((y - grid[1]) * grid[3])
    # A start on the far side of the grid belongs to its last square; one beside it sees the sky.
    i, j = i - (i == size[0]), j - (j == size[1])
    if i < 0 or j < 0 or i >= size[0] or j >= size[1]:
        return SKY
    met, lowest, seen_below = SKY, np.inf, False
    k = int(i) * size[1] + int(j)
    for e in range(first[k], first[k + 1]):
        t = which[e]
        ia, ib, ic = triangles[t]
        ax, ay, az = points[ia, 0], points[ia, 1], points[ia, 2]
        bx, by, bz = points[ib, 0], points[ib, 1], points[ib, 2]
        cx, cy, cz = points[ic, 0], points[ic, 1], points[ic, 2]
        if max(az, bz, cz) <= z or min(az, bz, cz) >= lowest:
            continue
        side = side_of(ax, ay, bx, by, x, y)
        if side_of(bx, by, cx, cy, x, y) != side or side_of(cx, cy, ax, ay, x, y) != side:
            continue
        height = _height(ax, ay, az, bx, by, bz, cx, cy, cz, x, y)
        if z < height < lowest:
            met, lowest, seen_below = t, height, side < 0
    return met if met == SKY or seen_below else METAL


@compiled
def _height(
    ax: float, ay: float, az: float, bx: float, by: float, bz: float, cx: float, cy: float, cz: float,
    x: float, y: float,
) -> float:  # fmt: skip
    """Return the height of a triangle's plane over (x, y), kept between those of its corners."""
    area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    height = az
    if area != 0.0:
        u = ((x - ax) * (cy - ay) - (y - ay) * (cx - ax)) / area
        v = ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / area
        height = az + u * (bz - az) + v * (cz - az)
    return min(max(height, min(az, bz, cz)), max(az, bz, cz))


@compiled
def _is_outward(points: Floats, edge: Indices, apexes: Indices) -> bool:
    """Tell whether the metal at an edge takes up less than half of the way round it."""
    a, b, c, d = points[edge[0]], points[edge[1]], points[apexes[0]], points[apexes[1]]
    ux, uy, uz = b[0] - a[0], b[1] - a[1], b[2] - a[2]
    vx, vy, vz = c[0] - a[0], c[1] - a[1], c[2] - a[2]
    wx, wy, wz = d[0] - a[0], d[1] - a[1], d[2] - a[2]
    turn = (uy * vz - uz * vy) * wx + (uz * vx - ux * vz) * wy + (ux * vy - uy * vx) * wz
    return bool(turn < 0.0)


@compiled
def lips(points: Floats, edges: Indices, apexes: Indices, size: float) -> tuple[Indices, Floats]:
    """Return the edges where the surface folds back under itself seen from above, and which way is out.

    apexes (E, 2): the third corner of both triangles at an edge, that which runs along it first. out (F, 2):
    unit vector in plan, away from the triangles. An edge with both triangles upright, or with metal on its
    outer side, is none.
    """
    which = np.empty(len(edges), dtype=np.int64)
    out = np.empty((len(edges), 2))
    n = 0
    for e in range(len(edges)):
        a, b = edges[e]
        dx, dy = points[b, 0] - points[a, 0], points[b, 1] - points[a, 1]
        long = math.hypot(dx, dy)
        if long <= UPRIGHT * size:
            continue
        side = 0
        for k in range(2):
            c = apexes[e, k]
            away = (dx * (points[c, 1] - points[a, 1]) - dy * (points[c, 0] - points[a, 0])) / long
            if away > UPRIGHT * size:
                side = side + 1 if side >= 0 else 9
            elif away < -UPRIGHT * size:
                side = side - 1 if side <= 0 else 9
        if side in (0, 9) or not _is_outward(points, edges[e], apexes[e]):
            continue
        turn = -1.0 if side > 0 else 1.0
        which[n] = e
        out[n, 0], out[n, 1] = -turn * dy / long, turn * dx / long
        n += 1
    return which[:n].copy(), out[:n].copy()


@compiled
def starts(
    points: Floats, edges: Indices, folds: Indices, out: Floats, size: float
) -> tuple[Floats, Indices, Floats]:
    """Return where rays must start so that every jump of what is overhead is seen: (R, 3).

    What is overhead of a walk along an edge changes only where the edge passes under another: rays start at
    both ends of every edge, and on both sides of every place where it passes under one. With each goes the
    edge's higher corner, and the height at which what the ray meets is joined.
    """
    lows, highs = np.empty(len(folds)), np.empty(len(folds))
    for f in range(len(folds)):
        xa, xb = points[edges[folds[f], 0], 0], points[edges[folds[f], 1], 0]
        lows[f], highs[f] = min(xa, xb), max(xa, xb)
    order = np.argsort(lows)
    room = 4 * len(folds) + 64
    start, corner, height = np.empty((room, 3)), np.empty(room, dtype=np.int64), np.empty(room)
    n = 0
    for p in range(len(folds)):
        f = order[p]
        while n + 2 + 2 * (len(folds) - p) > len(start):
            start, corner, height = _longer(start), _longer_whole(corner), _longer_flat(height)
        n = _from(points, edges[folds[f]], out[f], 0.0, 1.0, size, n, start, corner, height)
        n = _from(points, edges[folds[f]], out[f], 1.0, -1.0, size, n, start, corner, height)
        for q in range(p + 1, len(folds)):
            g = order[q]
            if lows[g] > highs[f]:
                break
            on_f, on_g = _crossing(points, edges[folds[f]], edges[folds[g]])
            if on_f < 0.0:
                continue
            low, share = f, on_f
            if _along(points, edges[folds[g]], on_g) < _along(points, edges[folds[f]], on_f):
                low, share = g, on_g
            for way in (-1.0, 1.0):
                n = _from(points, edges[folds[low]], out[low], share, way, size, n, start, corner, height)
    return start[:n].copy(), corner[:n].copy(), height[:n].copy()


@compiled
def _longer(rows: Floats) -> Floats:
    longer = np.empty((2 * len(rows), rows.shape[1]))
    longer[: len(rows)] = rows
    return longer


@compiled
def _longer_flat(row: Floats) -> Floats:
    longer = np.empty(2 * len(row))
    longer[: len(row)] = row
    return longer


@compiled
def _longer_whole(row: Indices) -> Indices:
    longer = np.empty(2 * len(row), dtype=np.int64)
    longer[: len(row)] = row
    return longer


@compiled
def _along(points: Floats, edge: Indices, share: float) -> float:
    a, b = points[edge[0], 2], points[edge[1], 2]
    return float(a + share * (b - a))


@compiled
def _from(
    points: Floats, edge: Indices, out: Floats, share: float, way: float, size: float,
    n: int, start: Floats, corner: Indices, height: Floats,
) -> int:  # fmt: skip
    """Put one start into row n: beside the edge, a little on from `share` of it towards `way`."""
    a, b = edge[0], edge[1]
    at = share + way * ALONG
    if not 0.0 < at < 1.0:
        return n
    start[n, 0] = points[a, 0] + at * (points[b, 0] - points[a, 0]) + BESIDE * size * out[0]
    start[n, 1] = points[a, 1] + at * (points[b, 1] - points[a, 1]) + BESIDE * size * out[1]
    start[n, 2] = _along(points, edge, at)
    height[n] = _along(points, edge, share)
    corner[n] = a if points[a, 2] >= points[b, 2] else b
    return n + 1


@compiled
def _crossing(points: Floats, one: Indices, other: Indices) -> tuple[float, float]:
    """Return where along each two edges cross in plan, as shares; -1, -1 where they do not."""
    a, b, c, d = one[0], one[1], other[0], other[1]
    if max(points[a, 1], points[b, 1]) < min(points[c, 1], points[d, 1]):
        return -1.0, -1.0
    if max(points[c, 1], points[d, 1]) < min(points[a, 1], points[b, 1]):
        return -1.0, -1.0
    if a in (c, d) or b in (c, d):
        return -1.0, -1.0
    ux, uy = points[b, 0] - points[a, 0], points[b, 1] - points[a, 1]
    vx, vy = points[d, 0] - points[c, 0], points[d, 1] - points[c, 1]
    wx, wy = points[c, 0] - points[a, 0], points[c, 1] - points[a, 1]
    area = ux * vy - uy * vx
    if area == 0.0:
        return -1.0, -1.0
    on_one, on_other = (wx * vy - wy * vx) / area, (wx * uy - wy * ux) / area
    if 0.0 <= on_one <= 1.0 and 0.0 <= on_other <= 1.0:
        return on_one, on_other
    return -1.0, -1.0


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
    bins = binned(points, triangles)
    folds, out = lips(points, edges, apexes, size)
    start, corner, height = starts(points, edges, folds, out, size)
    steepest = _steepest(points, edges)
    room = len(start) + len(points)
    pair, link = np.empty((room, 2), dtype=np.int64), np.empty(room)
    n = 0
    for r in range(len(start) + len(points)):
        if r < len(start):
            v, at = corner[r], height[r]
            met = above(points, triangles, bins, (start[r, 0], start[r, 1], start[r, 2]))
        else:
            v = r - len(start)
            if not _is_peak(points, begins, neighbours, v):
                continue
            if not _has_metal_under(points, edges[steepest[v]], apexes[steepest[v]]):
                continue
            at, met = points[v, 2], METAL
            for way in range(ASIDES):
                turn = FIRST_RAD + 2.0 * math.pi * way / ASIDES
                x = points[v, 0] + BESIDE * size * math.cos(turn)
                y = points[v, 1] + BESIDE * size * math.sin(turn)
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
