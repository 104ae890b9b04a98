"""Dual simplex method for linear programmes with few unknowns (y, z): see `small_lp.py`."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fitcheck.geometry.kernels.jit import compiled
from fitcheck.things.solid import Floats, Indices

# Below this, relative to the data, a violated row or a pivot is rounding of double precision.
ROUNDING = 1e-12
# A pivot this small beside the others would be made of rounding.
SMALL = 1e-11
# After so many pivots rows are taken in order, which cannot go round in circles (R. G. Bland, New Finite
# Pivoting Rules for the Simplex Method, Mathematics of Operations Research 2, 1977).
IN_ORDER = 15


class Desk(NamedTuple):
    """Where one programme is worked out.

    With n unknowns in y: x (n + 1,) = (y, z); basis (n + 1,) rows, their planes `which` and weights; inverse
    (n + 1, n + 1) of the basis; d (n + 1,): the entering row in terms of the basis.
    """

    x: Floats
    basis: Indices
    which: Indices
    weights: Floats
    inverse: Floats
    d: Floats


@compiled
def desk_for(unknowns: int) -> Desk:
    """Return an empty desk for programmes with so many unknowns in y."""
    n = unknowns + 1
    basis, which = np.empty(n, dtype=np.int64), np.empty(n, dtype=np.int64)
    return Desk(np.empty(n), basis, which, np.empty(n), np.empty((n, n)), np.empty(n))


@compiled
def programmes(c: Floats, g: Floats, lift: Floats, pivots: int) -> tuple[Floats, Floats, Indices, Floats]:
    """Solve programmes c (B, K), g (B, K, n), lift (K,): see `small_lp.py`."""
    count, n = len(c), g.shape[2]
    bound, at = np.empty(count), np.empty((count, n))
    which, weights = np.empty((count, n + 1), dtype=np.int64), np.empty((count, n + 1))
    desk = desk_for(n)
    for b in range(count):
        bound[b] = programme_at(c[b], g[b], lift, pivots, desk)
        for i in range(n + 1):
            which[b, i], weights[b, i] = desk.which[i], desk.weights[i]
        for i in range(n):
            at[b, i] = min(max(desk.x[i], -1.0), 1.0)
    return bound, at, which, weights


@compiled
def programme_at(c: Floats, g: Floats, lift: Floats, pivots: int, desk: Desk) -> float:
    """Solve one programme c (K,), g (K, n), lift (K,) on the desk; return its bound."""
    planes, n = len(c), g.shape[1]
    x, basis, inverse, d = desk.x, desk.basis, desk.inverse, desk.d
    size = _start(c, g, lift, basis, inverse)
    nowhere = False
    for pivot in range(pivots):
        _point(c, basis, inverse, planes, x)
        enter = _most_violated(c, g, lift, x, ROUNDING * (1.0 + size), pivot >= IN_ORDER)
        if enter < 0:
            break
        _entering(g, lift, enter, planes, inverse, d)
        leave, largest = -1, 0.0
        for i in range(n + 1):
            largest = max(largest, abs(d[i]))
        for i in range(n + 1):
            if d[i] <= SMALL * largest:
                continue
            if leave < 0:
                leave = i
                continue
            ahead = inverse[n, leave] * d[i] - inverse[n, i] * d[leave]
            if ahead > 0.0 or (ahead == 0.0 and basis[i] < basis[leave]):
                leave = i
        if leave < 0:
            nowhere = _no_place(c, g, lift, basis, enter, d)
            break
        for r in range(n + 1):
            inverse[r, leave] /= d[leave]
            for i in range(n + 1):
                if i != leave:
                    inverse[r, i] -= inverse[r, leave] * d[i]
        basis[leave] = enter
    _point(c, basis, inverse, planes, x)
    bound = _bound(c, g, lift, basis, inverse, desk.which, desk.weights)
    return -np.inf if nowhere else bound


@compiled
def _start(c: Floats, g: Floats, lift: Floats, basis: Indices, inverse: Floats) -> float:
    """Begin with the best single plane and the three sides that it leans on; return the size of the data."""
    n = g.shape[1]
    first, least, size = 0, np.inf, 0.0
    for k in range(len(c)):
        slope = 0.0
        for i in range(n):
            slope += abs(g[k, i])
        size = max(size, abs(c[k]), slope)
        if lift[k] > 0.0 and (c[k] + slope) / lift[k] < least:
            first, least = k, (c[k] + slope) / lift[k]
    for r in range(n + 1):
        for i in range(n + 1):
            inverse[r, i] = 0.0
    basis[0] = first
    inverse[n, 0] = 1.0 / lift[first]
    for i in range(n):
        up = g[first, i] >= 0.0
        basis[i + 1] = len(c) + (i if up else i + n)
        inverse[i, i + 1] = 1.0 if up else -1.0
        inverse[n, i + 1] = abs(g[first, i]) / lift[first]
    return size


@compiled
def _point(c: Floats, basis: Indices, inverse: Floats, planes: int, x: Floats) -> None:
    """Put into x = (y, z) the point where the rows of the basis meet."""
    n = len(x) - 1
    for r in range(n + 1):
        x[r] = 0.0
        for i in range(n + 1):
            x[r] += inverse[r, i] * (c[basis[i]] if basis[i] < planes else 1.0)


@compiled
def _most_violated(c: Floats, g: Floats, lift: Floats, x: Floats, enough: float, any_will_do: bool) -> int:
    """Return the row that x breaks most, or the first, or -1 where none is broken by more than `enough`."""
    worst, enter, n = enough, -1, len(x) - 1
    for k in range(len(c)):
        over = lift[k] * x[n] - c[k]
        for i in range(n):
            over -= g[k, i] * x[i]
        if over > worst:
            if any_will_do:
                return k
            worst, enter = over, k
    for i in range(n):
        if abs(x[i]) - 1.0 > worst:
            worst, enter = abs(x[i]) - 1.0, len(c) + (i if x[i] > 0.0 else i + n)
    return enter


@compiled
def _entering(g: Floats, lift: Floats, enter: int, planes: int, inverse: Floats, d: Floats) -> None:
    """Put into d the entering row in terms of the rows of the basis."""
    n = len(d) - 1
    if enter < planes:
        for i in range(n + 1):
            d[i] = lift[enter] * inverse[n, i]
            for r in range(n):
                d[i] -= g[enter, r] * inverse[r, i]
    else:
        side = enter - planes
        for i in range(n + 1):
            d[i] = inverse[side, i] if side < n else -inverse[side - n, i]


@compiled
def _no_place(c: Floats, g: Floats, lift: Floats, basis: Indices, enter: int, d: Floats) -> bool:
    """Whether the entering row and minus d of the basis rows together say 0 <= something below zero."""
    n = len(d) - 1
    level, raised, total, largest = 0.0, 0.0, 0.0, 0.0
    for i in range(n + 2):
        k = enter if i == n + 1 else basis[i]
        weight = 1.0 if i == n + 1 else max(-d[i], 0.0)
        total += weight
        if k < len(c):
            level += weight * c[k]
            raised += weight * lift[k]
            largest = max(largest, abs(c[k]))
    reach = level
    for r in range(n):
        slope = 0.0
        for i in range(n + 2):
            k = enter if i == n + 1 else basis[i]
            if k < len(c):
                slope += (1.0 if i == n + 1 else max(-d[i], 0.0)) * g[k, r]
        reach += abs(slope)
    return reach < -ROUNDING * total * (1.0 + largest) and raised <= ROUNDING * total


@compiled
def _bound(
    c: Floats, g: Floats, lift: Floats, basis: Indices, inverse: Floats, which: Indices, weights: Floats
) -> float:
    """Compute the bound afresh from the weights of the planes in the basis; give those weights too."""
    n = g.shape[1]
    total, level = 0.0, 0.0
    for i in range(n + 1):
        plane = basis[i] < len(c)
        which[i] = basis[i] if plane else 0
        weights[i] = max(inverse[n, i], 0.0) if plane else 0.0
        total += weights[i] * lift[which[i]]
    for i in range(n + 1):
        weights[i] /= total
        level += weights[i] * c[which[i]]
    for r in range(n):
        slope = 0.0
        for i in range(n + 1):
            slope += weights[i] * g[which[i], r]
        level += abs(slope)
    return level
