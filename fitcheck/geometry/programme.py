"""Many tiny linear programmes at once: how high z can be under a few planes, inside a box.

For each of B programmes with K planes, find the highest z with lift_k z <= c_k + g_k . y for some y in
[-1, 1]^3, all lift_k >= 0. Planes with lift 0 do not bound z; they say where y may be. Solved by the dual
simplex method (Lemke, Naval Research Logistics Quarterly 1, 1954), all programmes pivoting together.

Weights w >= 0 of the planes with sum w lift = 1 prove z <= sum w c + sum_i |sum w g_i|; with
sum w lift = 0 and the right side below zero they prove that no y is allowed. Both are computed afresh from
the weights, so rounding in the pivots can loosen a bound but never make it wrong.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.things.solid import Floats, Indices, Mask

# Below this, relative to the data, a violated row or a pivot is rounding of double precision.
ROUNDING = 1e-12


@dataclass(frozen=True, slots=True, eq=False)
class Highest:
    """bound (B,): proven upper bounds of z (-inf: no y is allowed). at (B, 3): where z is reached.

    planes (B, 4), weights (B, 4): the planes that bound it, and by how much (0 for a side of the box).
    """

    bound: Floats
    at: Floats
    planes: Indices
    weights: Floats


def highest(c: Floats, g: Floats, lift: Floats, pivots: int = 12) -> Highest:
    """Return upper bounds of z for every programme: c (B, K), g (B, K, 3), lift (K,), some lift above 0.

    pivots: the most pivots; fewer only loosen the bound.
    """
    count, planes = c.shape
    each = np.arange(count)
    # Rows: lift z - g.y <= c for each plane, then y <= 1, then -y <= 1; the unknowns are (y, z).
    rows = np.zeros((count, planes + 6, 4))
    rows[:, :planes, :3] = -g
    rows[:, :planes, 3] = lift
    rows[:, planes:, :3] = np.vstack([np.eye(3), -np.eye(3)])
    right = np.ones((count, planes + 6))
    right[:, :planes] = c
    basis, inverse = _start(c, g, lift)
    enough = ROUNDING * (1.0 + np.abs(right).max() + np.abs(rows).max())
    closed = np.zeros(count, dtype=bool)
    for _ in range(pivots):
        point = np.matmul(inverse, np.take_along_axis(right, basis, axis=1)[:, :, None])
        over = np.matmul(rows, point)[:, :, 0] - right
        over[closed] = 0.0
        enter = np.argmax(over, axis=1)
        violated = over[each, enter] > enough
        if not violated.any():
            break
        # A finished programme picks a row of its own basis here, and the pivot changes nothing.
        d = np.matmul(rows[each, enter][:, None, :], inverse)[:, 0, :]
        able = d > ROUNDING
        stuck = violated & ~able.any(axis=1)
        if stuck.any():
            closed |= stuck & _no_place(rows, right, basis, enter, d)
            violated &= ~stuck
        leave = np.argmin(np.where(able, inverse[:, 3, :] / np.where(able, d, 1.0), np.inf), axis=1)
        go = np.flatnonzero(violated)
        column = inverse[go, :, leave[go]] / d[go, leave[go]][:, None]
        changed = inverse[go] - column[:, :, None] * d[go][:, None, :]
        changed[np.arange(len(go)), :, leave[go]] = column
        inverse[go] = changed
        basis[go, leave[go]] = enter[go]
    point = np.matmul(inverse, np.take_along_axis(right, basis, axis=1)[:, :, None])
    bound, weights = _bound(c, g, lift, basis, inverse)
    bound[closed] = -np.inf
    return Highest(bound, np.clip(point[:, :3, 0], -1.0, 1.0), np.minimum(basis, planes - 1), weights)


def _start(c: Floats, g: Floats, lift: Floats) -> tuple[Indices, Floats]:
    """Return the basis of the best single plane with the three sides that it leans on, and its inverse."""
    count, planes = c.shape
    each = np.arange(count)
    lifting = np.flatnonzero(lift > 0.0)
    alone = (c[:, lifting] + np.abs(g[:, lifting]).sum(axis=2)) / lift[lifting]
    first = lifting[np.argmin(alone, axis=1)]
    slope = g[each, first]
    sign = np.where(slope >= 0.0, 1.0, -1.0)
    basis = np.empty((count, 4), dtype=np.int64)
    basis[:, 0] = first
    basis[:, 1:] = planes + np.where(sign > 0.0, [0, 1, 2], [3, 4, 5])
    inverse = np.zeros((count, 4, 4))
    inverse[:, 3, 0] = 1.0 / lift[first]
    inverse[:, [0, 1, 2], [1, 2, 3]] = sign
    inverse[:, 3, 1:] = np.abs(slope) / lift[first][:, None]
    return basis, inverse


def _no_place(rows: Floats, right: Floats, basis: Indices, enter: Indices, d: Floats) -> Mask:
    """Whether the entering row and minus d of the basis rows together say 0 <= something below zero."""
    planes = right.shape[1] - 6
    each = np.arange(len(basis))
    weights = np.where(basis < planes, np.maximum(-d, 0.0), 0.0)
    entering = np.where(enter < planes, 1.0, 0.0)
    level = (weights * np.take_along_axis(right, basis, axis=1)).sum(axis=1) + entering * right[each, enter]
    total = np.matmul(weights[:, None, :], np.take_along_axis(rows, basis[:, :, None], axis=1))[:, 0]
    total = total + entering[:, None] * rows[each, enter]
    size = weights.sum(axis=1) * np.abs(right).max() + np.abs(right).max()
    hopeless: Mask = (level + np.abs(total[:, :3]).sum(axis=1) < -ROUNDING * size) & (
        total[:, 3] <= ROUNDING * (1.0 + weights.sum(axis=1))
    )
    return hopeless


def _bound(c: Floats, g: Floats, lift: Floats, basis: Indices, inverse: Floats) -> tuple[Floats, Floats]:
    planes = c.shape[1]
    chosen = np.minimum(basis, planes - 1)
    weights = np.where(basis < planes, np.maximum(inverse[:, 3, :], 0.0), 0.0)
    weights /= (weights * lift[chosen]).sum(axis=1, keepdims=True)
    level = (weights * np.take_along_axis(c, chosen, axis=1)).sum(axis=1)
    slope = np.matmul(weights[:, None, :], np.take_along_axis(g, chosen[:, :, None], axis=1))[:, 0, :]
    return level + np.abs(slope).sum(axis=1), weights
