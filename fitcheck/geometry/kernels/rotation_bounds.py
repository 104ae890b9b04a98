"""Bounds of tau over cells of rotations: see `rotation_search.py`."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fitcheck.geometry.kernels.dual_simplex import desk_for, programme_at
from fitcheck.geometry.kernels.jit import compiled
from fitcheck.geometry.kernels.support_bounds import (
    Seen,
    Turn,
    along,
    farthest_at,
    seen_for,
    taylor_at,
    turn_of,
)
from fitcheck.things.solid import Floats, Indices

# Pivots of a cell's programme: it has few rows, and ending early only loosens its bound.
PIVOTS = 40


class Planes(NamedTuple):
    """An envelope that may give way, as plain arrays: see `envelope.py`.

    normals (m, 3), offsets (m,), axes (d, 3), axis_of (m,), sign_of (m,). The q rows are sums of planes:
    row_of, plane_of, weight_of (e,), in the order of the planes. shift (q, s): how each row falls with the
    shift, s = 0 where that drops out; lift (q,): by how much it rises with tau; slack (q,): what rounding may
    add to it.
    """

    normals: Floats
    offsets: Floats
    axes: Floats
    axis_of: Indices
    sign_of: Floats
    row_of: Indices
    plane_of: Indices
    weight_of: Floats
    shift: Floats
    lift: Floats
    slack: Floats


@compiled
def bound_cells(
    points: Floats, planes: Planes, middle: Floats, half: Floats, limit: float, cuts: int
) -> tuple[Floats, Floats, Floats]:
    """Bound tau over cells: low (B,), tau at the middle (B,), and where the bound is reached (B, 3)."""
    count, rows = len(middle), len(planes.lift)
    low, at_middle, at = np.empty(count), np.empty(count), np.empty((count, 3))
    most = rows * (cuts + 1)
    shifts = planes.shift.shape[1]
    room, c, g, lift = np.empty(rows), np.empty(most), np.empty((most, 3 + shifts)), np.empty(most)
    for i in range(most):
        lift[i] = planes.lift[i % rows]
        for j in range(shifts):
            g[i, 3 + j] = -planes.shift[i % rows, j]
    desk, spare = desk_for(3 + shifts), np.empty(rows)
    seen, gradient = seen_for(planes.axes, planes.axis_of), np.empty(3)
    for b in range(count):
        turn = turn_of(middle[b])
        _rows(points, planes, turn, half[b], turn, seen, gradient, room, c, g, 0)
        low[b] = _alone(c[:rows], g[:rows], planes.lift)
        for i in range(3):
            at[b, i] = middle[b, i]
        for cut in range(1, cuts + 2):
            if low[b] >= limit:
                break
            used = rows * cut
            bound = programme_at(c[:used], g[:used], lift[:used], PIVOTS, desk)
            low[b] = max(low[b], -bound)
            for i in range(3):
                at[b, i] = middle[b, i] + min(max(desk.x[i], -1.0), 1.0) * half[b, i]
            # Where the programme turned the cell, other points stick out: they cut off what it hoped for.
            if cut <= cuts:
                _rows(points, planes, turn, half[b], turn_of(at[b]), seen, gradient, spare, c, g, used)
        # With the shift open, the middle is no easier than its cell: that is guess enough.
        at_middle[b] = low[b] if shifts else _tau(room, planes.lift, 0.0)
    return low, at_middle, at


@compiled
def _rows(
    points: Floats,
    planes: Planes,
    turn: Turn,
    half: Floats,
    seen_at: Turn,
    seen: Seen,
    gradient: Floats,
    room: Floats,
    c: Floats,
    g: Floats,
    first: int,
) -> None:
    """Put in the room at the middle (q,), and from `first` on the rows of c and g over a cell scaled to 1.

    turn: the middle. seen_at: the turn at which the points are those that stick out.
    """
    farthest_at(points, planes.axes, planes.axis_of, planes.sign_of, seen_at, seen)
    for q in range(len(room)):
        room[q] = 0.0
        c[first + q] = planes.slack[q]
        for i in range(3):
            g[first + q, i] = 0.0
    k, value, drop = -1, 0.0, 0.0
    for e in range(len(planes.plane_of)):
        if planes.plane_of[e] != k:
            k = planes.plane_of[e]
            value, drop = taylor_at(points[seen.point_of[k]], planes.normals[k], turn, half, gradient)
        q, weight = planes.row_of[e], planes.weight_of[e]
        room[q] += weight * (planes.offsets[k] - value)
        c[first + q] += weight * drop
        for i in range(3):
            g[first + q, i] -= weight * gradient[i] * half[i]
    for q in range(len(room)):
        c[first + q] += room[q]


@compiled
def tau_at(points: Floats, planes: Planes, angles: Floats, allowance: float) -> tuple[Indices, Floats]:
    """Return the farthest points along each plane (B, m), and the least tau (B,), at rotations (B, 3).

    Exact, where the shift drops out. Rows that do not rise with tau may be below zero by the allowance.
    """
    index, tau = np.empty((len(angles), len(planes.axis_of)), dtype=np.int64), np.empty(len(angles))
    seen, room = seen_for(planes.axes, planes.axis_of), np.empty(len(planes.lift))
    for b in range(len(angles)):
        farthest_at(points, planes.axes, planes.axis_of, planes.sign_of, turn_of(angles[b]), seen)
        room[:] = 0.0
        for e in range(len(planes.plane_of)):
            k = planes.plane_of[e]
            reach = planes.sign_of[k] * along(points, seen.point_of[k], seen.directions[planes.axis_of[k]])
            room[planes.row_of[e]] += planes.weight_of[e] * (planes.offsets[k] - reach)
        index[b], tau[b] = seen.point_of, _tau(room, planes.lift, allowance)
    return index, tau


@compiled
def _tau(room: Floats, lift: Floats, allowance: float) -> float:
    """Return the least tau at which no row that rises with it is below zero; inf where a firm row is."""
    tau = -np.inf
    for q in range(len(room)):
        if lift[q] > 0.0:
            tau = max(tau, -room[q] / lift[q])
        elif room[q] < -allowance:
            return np.inf
    return tau


@compiled
def _alone(c: Floats, g: Floats, lift: Floats) -> float:
    """Return the bound of tau that each row gives by itself."""
    tau = -np.inf
    for q in range(len(c)):
        highest = c[q]
        for i in range(g.shape[1]):
            highest += abs(g[q, i])
        if lift[q] > 0.0:
            tau = max(tau, -highest / lift[q])
        elif highest < 0.0:
            return np.inf
    return tau
