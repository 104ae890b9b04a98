"""The dual simplex method for programmes with four unknowns (y, z): see `programme.py`."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit

from fitcheck.things.solid import Floats, Indices

# Below this, relative to the data, a violated row or a pivot is rounding of double precision.
ROUNDING = 1e-12


class Desk(NamedTuple):
    """Where one programme is worked out.

    x (4,) = (y, z); basis (4,) rows, their planes `which` (4,) and weights (4,); inverse (4, 4) of the
    basis; d (4,): the entering row in terms of the basis.
    """

    x: Floats
    basis: Indices
    which: Indices
    weights: Floats
    inverse: Floats
    d: Floats


@njit(cache=True)
def desk_for_one() -> Desk:
    """Return an empty desk."""
    basis, which = np.empty(4, dtype=np.int64), np.empty(4, dtype=np.int64)
    return Desk(np.empty(4), basis, which, np.empty(4), np.empty((4, 4)), np.empty(4))


@njit(cache=True)
def programmes(c: Floats, g: Floats, lift: Floats, pivots: int) -> tuple[Floats, Floats, Indices, Floats]:
    """Solve programmes c (B, K), g (B, K, 3), lift (K,): see `programme.py`."""
    count = len(c)
    bound, at = np.empty(count), np.empty((count, 3))
    which, weights = np.empty((count, 4), dtype=np.int64), np.empty((count, 4))
    desk = desk_for_one()
    for b in range(count):
        bound[b] = programme_at(c[b], g[b], lift, pivots, desk)
        for i in range(4):
            which[b, i], weights[b, i] = desk.which[i], desk.weights[i]
        for i in range(3):
            at[b, i] = min(max(desk.x[i], -1.0), 1.0)
    return bound, at, which, weights


@njit(cache=True)
def programme_at(c: Floats, g: Floats, lift: Floats, pivots: int, desk: Desk) -> float:
    """Solve one programme c (K,), g (K, 3), lift (K,) on the desk; return its bound."""
    planes = len(c)
    x, basis, inverse, d = desk.x, desk.basis, desk.inverse, desk.d
    size = _start(c, g, lift, basis, inverse)
    nowhere = False
    for _ in range(pivots):
        _point(c, basis, inverse, planes, x)
        enter = _most_violated(c, g, lift, x, ROUNDING * (1.0 + size))
        if enter < 0:
            break
        _entering(g, lift, enter, planes, inverse, d)
        leave = -1
        for i in range(4):
            if d[i] > ROUNDING and (leave < 0 or inverse[3, i] * d[leave] < inverse[3, leave] * d[i]):
                leave = i
        if leave < 0:
            nowhere = _no_place(c, g, lift, basis, enter, d)
            break
        for r in range(4):
            inverse[r, leave] /= d[leave]
            for i in range(4):
                if i != leave:
                    inverse[r, i] -= inverse[r, leave] * d[i]
        basis[leave] = enter
    _point(c, basis, inverse, planes, x)
    bound = _bound(c, g, lift, basis, inverse, desk.which, desk.weights)
    return -np.inf if nowhere else bound


@njit(cache=True)
def _start(c: Floats, g: Floats, lift: Floats, basis: Indices, inverse: Floats) -> float:
    """Begin with the best single plane and the three sides that it leans on; return the size of the data."""
    first, least, size = 0, np.inf, 0.0
    for k in range(len(c)):
        slope = abs(g[k, 0]) + abs(g[k, 1]) + abs(g[k, 2])
        size = max(size, abs(c[k]), slope)
        if lift[k] > 0.0 and (c[k] + slope) / lift[k] < least:
            first, least = k, (c[k] + slope) / lift[k]
    for r in range(4):
        for i in range(4):
            inverse[r, i] = 0.0
    basis[0] = first
    inverse[3, 0] = 1.0 / lift[first]
    for i in range(3):
        up = g[first, i] >= 0.0
        basis[i + 1] = len(c) + (i if up else i + 3)
        inverse[i, i + 1] = 1.0 if up else -1.0
        inverse[3, i + 1] = abs(g[first, i]) / lift[first]
    return size


@njit(cache=True)
def _point(c: Floats, basis: Indices, inverse: Floats, planes: int, x: Floats) -> None:
    """Put into x = (y, z) the point where the rows of the basis meet."""
    for r in range(4):
        x[r] = 0.0
        for i in range(4):
            x[r] += inverse[r, i] * (c[basis[i]] if basis[i] < planes else 1.0)


@njit(cache=True)
def _most_violated(c: Floats, g: Floats, lift: Floats, x: Floats, enough: float) -> int:
    """Return the row that x breaks most, or -1 where none is broken by more than `enough`."""
    worst, enter = enough, -1
    for k in range(len(c)):
        over = lift[k] * x[3] - g[k, 0] * x[0] - g[k, 1] * x[1] - g[k, 2] * x[2] - c[k]
        if over > worst:
            worst, enter = over, k
    for i in range(3):
        if abs(x[i]) - 1.0 > worst:
            worst, enter = abs(x[i]) - 1.0, len(c) + (i if x[i] > 0.0 else i + 3)
    return enter


@njit(cache=True)
def _entering(g: Floats, lift: Floats, enter: int, planes: int, inverse: Floats, d: Floats) -> None:
    """Put into d the entering row in terms of the rows of the basis."""
    if enter < planes:
        for i in range(4):
            d[i] = lift[enter] * inverse[3, i]
            for r in range(3):
                d[i] -= g[enter, r] * inverse[r, i]
    else:
        side = enter - planes
        for i in range(4):
            d[i] = inverse[side, i] if side < 3 else -inverse[side - 3, i]


@njit(cache=True)
def _no_place(c: Floats, g: Floats, lift: Floats, basis: Indices, enter: int, d: Floats) -> bool:
    """Whether the entering row and minus d of the basis rows together say 0 <= something below zero."""
    level, raised, total, largest = 0.0, 0.0, 0.0, 0.0
    x, y, z = 0.0, 0.0, 0.0
    for i in range(5):
        k = enter if i == 4 else basis[i]
        weight = 1.0 if i == 4 else max(-d[i], 0.0)
        total += weight
        if k < len(c):
            level += weight * c[k]
            raised += weight * lift[k]
            x += weight * g[k, 0]
            y += weight * g[k, 1]
            z += weight * g[k, 2]
            largest = max(largest, abs(c[k]))
    reach = level + abs(x) + abs(y) + abs(z)
    return reach < -ROUNDING * total * (1.0 + largest) and raised <= ROUNDING * total


@njit(cache=True)
def _bound(
    c: Floats, g: Floats, lift: Floats, basis: Indices, inverse: Floats, which: Indices, weights: Floats
) -> float:
    """Compute the bound afresh from the weights of the planes in the basis; give those weights too."""
    total, level = 0.0, 0.0
    x, y, z = 0.0, 0.0, 0.0
    for i in range(4):
        plane = basis[i] < len(c)
        which[i] = basis[i] if plane else 0
        weights[i] = max(inverse[3, i], 0.0) if plane else 0.0
        total += weights[i] * lift[which[i]]
    for i in range(4):
        weights[i] /= total
        level += weights[i] * c[which[i]]
        x += weights[i] * g[which[i], 0]
        y += weights[i] * g[which[i], 1]
        z += weights[i] * g[which[i], 2]
    return level + abs(x) + abs(y) + abs(z)
