"""Edges where a surface overhangs itself, and their crossings in plan: see `pockets.py`."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.geometry.kernels.jit import compiled
from fitcheck.things.solid import Floats, Indices

# A ray starts this share of the part's size beside the edge that it starts from: far above the rounding of
# its corners, and far under anything that is made of metal.
BESIDE = 1e-7
# ... and this share of the edge along it from its end or from a crossing.
ALONG = 1e-5
# A triangle counts as upright over an edge where its corner is within this share of the part's size of it.
UPRIGHT = 1e-9


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
