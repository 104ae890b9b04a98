"""Bounds over boxes of poses, one after the other: see `pose_search.py`, which says why they are right."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from fitcheck.geometry.kernels.jit import compiled
from fitcheck.things.solid import Floats, Indices

# What rounding may add to sums of some tens of products of metres, with a lot to spare.
ROUNDING_MM = 1e-4
# Edges that are parallel but for this have no direction square to both that could be told.
PARALLEL = 1e-9
REFUSED, OPEN, FREE = 0, 1, 2
# Halvings of one box at most, one after the other.
DEEPEST = 400


class Bodies(NamedTuple):
    """Convex bodies, end to end: corners, directions square to faces, along edges; where each body starts.

    centre (k, 3), radius (k,): a ball round each. far, short (k,): how far its corners are from the origin at
    most, and from the x axis.
    """

    corners: Floats
    corner_at: Indices
    normals: Floats
    normal_at: Indices
    edges: Floats
    edge_at: Indices
    centre: Floats
    radius: Floats
    far: Floats
    short: Floats


class Room(NamedTuple):
    """Planes that points of the part stay behind: normals (m, 3), offsets (m,), points (k, 3)."""

    normals: Floats
    offsets: Floats
    points: Floats


@compiled
def turned(angles: Floats, turn: Floats, ways: Floats) -> None:
    """Put into turn (3, 3) the rotation at (swing, tilt, roll), into ways (3, 3, 3) its three derivatives."""
    cs, ct, cr = math.cos(angles[0]), math.cos(angles[1]), math.cos(angles[2])
    ss, st, sr = math.sin(angles[0]), math.sin(angles[1]), math.sin(angles[2])
    turn[0, 0], turn[0, 1], turn[0, 2] = cs * ct, -ss * cr - cs * st * sr, ss * sr - cs * st * cr
    turn[1, 0], turn[1, 1], turn[1, 2] = ss * ct, cs * cr - ss * st * sr, -cs * sr - ss * st * cr
    turn[2, 0], turn[2, 1], turn[2, 2] = st, ct * sr, ct * cr
    for k in range(3):
        ways[0, 0, k], ways[0, 1, k], ways[0, 2, k] = -turn[1, k], turn[0, k], 0.0
    ways[1, 0, 0], ways[1, 0, 1], ways[1, 0, 2] = -cs * st, -cs * ct * sr, -cs * ct * cr
    ways[1, 1, 0], ways[1, 1, 1], ways[1, 1, 2] = -ss * st, -ss * ct * sr, -ss * ct * cr
    ways[1, 2, 0], ways[1, 2, 1], ways[1, 2, 2] = ct, -st * sr, -st * cr
    for i in range(3):
        ways[2, i, 0], ways[2, i, 1], ways[2, i, 2] = 0.0, turn[i, 2], -turn[i, 1]


@compiled
def beyond(half: Floats, far: float, short: float) -> float:
    """Return by how much a point may leave its tangent in a cell: half of every second derivative at most."""
    along = half[0] + half[1]
    bend: float = 0.5 * (far * along * along + short * half[2] * (2.0 * along + half[2]))
    return bend


@compiled
def drawn_in(  # noqa: PLR0912 - plain loops
    room: Room, turn: Floats, ways: Floats, half: Floats, low: Floats, high: Floats
) -> bool:
    """Draw the shifts low..high (3,) in to those that some rotation of the cell may have; False: none."""
    count = len(room.points)
    least = np.empty(len(room.offsets))
    for k in range(len(room.offsets)):
        nx, ny, nz = room.normals[k, 0], room.normals[k, 1], room.normals[k, 2]
        sx = nx * turn[0, 0] + ny * turn[1, 0] + nz * turn[2, 0]
        sy = nx * turn[0, 1] + ny * turn[1, 1] + nz * turn[2, 1]
        sz = nx * turn[0, 2] + ny * turn[1, 2] + nz * turn[2, 2]
        reach, best = -np.inf, 0
        for i in range(count):
            along = sx * room.points[i, 0] + sy * room.points[i, 1] + sz * room.points[i, 2]
            if along > reach:
                reach, best = along, i
        px, py, pz = room.points[best, 0], room.points[best, 1], room.points[best, 2]
        fall = beyond(half, math.sqrt(px * px + py * py + pz * pz), math.sqrt(py * py + pz * pz))
        for j in range(3):
            slope = 0.0
            for i in range(3):
                slope += room.normals[k, i] * (ways[j, i, 0] * px + ways[j, i, 1] * py + ways[j, i, 2] * pz)
            fall += half[j] * abs(slope)
        least[k] = room.offsets[k] - reach + fall + ROUNDING_MM
    for _ in range(2):
        for k in range(len(room.offsets)):
            sum_least = 0.0
            for i in range(3):
                n = room.normals[k, i]
                sum_least += min(n * low[i], n * high[i])
            if sum_least > least[k]:
                return False
            for i in range(3):
                n = room.normals[k, i]
                if abs(n) > PARALLEL:
                    rest = sum_least - min(n * low[i], n * high[i])
                    limit = (least[k] - rest) / n
                    if n > 0.0:
                        high[i] = min(high[i], limit)
                    else:
                        low[i] = max(low[i], limit)
                    if low[i] > high[i]:
                        return False
                    sum_least = rest + min(n * low[i], n * high[i])
    return True


@compiled
def outside_by(room: Room, turn: Floats, shift: Floats) -> float:
    """Return by how much the points are beyond the planes at a pose; below 0: all are kept."""
    worst = -np.inf
    for k in range(len(room.offsets)):
        nx, ny, nz = room.normals[k, 0], room.normals[k, 1], room.normals[k, 2]
        sx = nx * turn[0, 0] + ny * turn[1, 0] + nz * turn[2, 0]
        sy = nx * turn[0, 1] + ny * turn[1, 1] + nz * turn[2, 1]
        sz = nx * turn[0, 2] + ny * turn[1, 2] + nz * turn[2, 2]
        reach = -np.inf
        for i in range(len(room.points)):
            along = sx * room.points[i, 0] + sy * room.points[i, 1] + sz * room.points[i, 2]
            reach = max(reach, along)
        worst = max(worst, reach + nx * shift[0] + ny * shift[1] + nz * shift[2] - room.offsets[k])
    return worst


@compiled
def along(
    d: Floats,
    placed: Floats,
    moves: Floats,
    first: int,
    last: int,
    thing: Bodies,
    b: int,
    half: Floats,
    aside: Floats,
    out: Floats,
) -> None:
    """Put into out how deep a piece is in a thing along d, either way at the least, and how far it may move.

    out: depth; the move; and its shares by swing, tilt, roll.
    """
    top, bottom, most = -np.inf, np.inf, 0.0
    shares = out[2:5]
    shares[:] = 0.0
    for i in range(first, last):
        value = d[0] * placed[i, 0] + d[1] * placed[i, 1] + d[2] * placed[i, 2]
        top, bottom = max(top, value), min(bottom, value)
        move = 0.0
        for j in range(3):
            share = half[j] * abs(d[0] * moves[j, i, 0] + d[1] * moves[j, i, 1] + d[2] * moves[j, i, 2])
            shares[j] = max(shares[j], share)
            move += share
        most = max(most, move)
    high, low = -np.inf, np.inf
    for i in range(thing.corner_at[b], thing.corner_at[b + 1]):
        value = d[0] * thing.corners[i, 0] + d[1] * thing.corners[i, 1] + d[2] * thing.corners[i, 2]
        high, low = max(high, value), min(low, value)
    out[0] = min(top - low, high - bottom)
    out[1] = most + abs(d[0]) * aside[0] + abs(d[1]) * aside[1] + abs(d[2]) * aside[2]


@compiled
def overlap(
    part: Bodies,
    a: int,
    thing: Bodies,
    b: int,
    turn: Floats,
    placed: Floats,
    moves: Floats,
    half: Floats,
    aside: Floats,
    need: float,
    worst: Floats,
) -> float:
    """Return by how much a piece of the part, placed, overlaps a thing more than it can move in the cell.

    The least over all directions that can part them; ends early once that is under `need`. worst: the
    direction (3,), the depth along it, the move, and its shares by swing, tilt and roll.
    """
    first, last = part.corner_at[a], part.corner_at[a + 1]
    curved = beyond(half, part.far[a], part.short[a])
    least: float = np.inf
    d, out = np.empty(3), np.empty(5)
    for kind in range(3):
        if kind == 0:
            count = thing.normal_at[b + 1] - thing.normal_at[b]
        elif kind == 1:
            count = part.normal_at[a + 1] - part.normal_at[a]
        else:
            edges = thing.edge_at[b + 1] - thing.edge_at[b]
            count = (part.edge_at[a + 1] - part.edge_at[a]) * edges
        for k in range(count):
            if kind == 0:
                d[:] = thing.normals[thing.normal_at[b] + k]
            elif kind == 1:
                n = part.normals[part.normal_at[a] + k]
                for i in range(3):
                    d[i] = turn[i, 0] * n[0] + turn[i, 1] * n[1] + turn[i, 2] * n[2]
            else:
                e = part.edges[part.edge_at[a] + k // edges]
                f = thing.edges[thing.edge_at[b] + k % edges]
                ex = turn[0, 0] * e[0] + turn[0, 1] * e[1] + turn[0, 2] * e[2]
                ey = turn[1, 0] * e[0] + turn[1, 1] * e[1] + turn[1, 2] * e[2]
                ez = turn[2, 0] * e[0] + turn[2, 1] * e[1] + turn[2, 2] * e[2]
                d[0], d[1], d[2] = ey * f[2] - ez * f[1], ez * f[0] - ex * f[2], ex * f[1] - ey * f[0]
                size = math.sqrt(d[0] * d[0] + d[1] * d[1] + d[2] * d[2])
                if size < PARALLEL:
                    continue
                d /= size
            along(d, placed, moves, first, last, thing, b, half, aside, out)
            left = out[0] - out[1] - curved - ROUNDING_MM
            if left < least:
                least = left
                worst[:3] = d
                worst[3], worst[4] = out[0], out[1] + curved
                worst[5:8] = out[2:5]
                if least <= need:
                    return least
    return least


@compiled
def place_piece(
    part: Bodies, a: int, turn: Floats, ways: Floats, shift: Floats, placed: Floats, moves: Floats
) -> None:
    """Put the corners of a piece, placed, into placed (n, 3), how they move by each angle into moves."""
    for v in range(part.corner_at[a], part.corner_at[a + 1]):
        p = part.corners[v]
        for i in range(3):
            placed[v, i] = turn[i, 0] * p[0] + turn[i, 1] * p[1] + turn[i, 2] * p[2] + shift[i]
            for j in range(3):
                moves[j, v, i] = ways[j, i, 0] * p[0] + ways[j, i, 1] * p[1] + ways[j, i, 2] * p[2]


@compiled
def is_near(part: Bodies, a: int, thing: Bodies, b: int, turn: Floats, shift: Floats) -> bool:
    """Tell whether the balls round a piece, placed, and round a thing meet."""
    gap, c = 0.0, part.centre[a]
    for i in range(3):
        at = turn[i, 0] * c[0] + turn[i, 1] * c[1] + turn[i, 2] * c[2] + shift[i] - thing.centre[b, i]
        gap += at * at
    reach = part.radius[a] + thing.radius[b]
    return bool(gap <= reach * reach)


@compiled
def shares_of(worst: Floats, half: Floats, aside: Floats, long: float, short: float, share: Floats) -> None:
    """Put into share (6,) what each coordinate adds to the move along the worst direction (`overlap`)."""
    bends = worst[4]
    for j in range(3):
        share[j] = worst[5 + j]
        share[3 + j] = abs(worst[j]) * aside[j]
        bends -= share[3 + j]
    # What the tangent does not tell belongs to the widest turn.
    bends -= max(share[0] + share[1] + share[2], 0.0)
    widest = 0
    if half[1] > half[0]:
        widest = 1
    if half[2] * short > half[widest] * long:
        widest = 2
    share[widest] += max(bends, 0.0)


@compiled
def bound_box(  # noqa: PLR0912, PLR0915 - plain loops
    low: Floats, high: Floats, part: Bodies, thing: Bodies, room: Room, hint: int, cut: Floats
) -> tuple[int, int, int]:
    """Evaluate one box of poses low..high (6,): refused, open, or free at its middle.

    Returns that, along which coordinate to cut it, and the pair that told. cut (8,): how far that coordinate
    moves the part, where to cut it, and the pose (6,) in the middle.
    """
    half, middle = np.empty(3), np.empty(3)
    for j in range(3):
        middle[j], half[j] = 0.5 * (low[j] + high[j]), 0.5 * (high[j] - low[j])
    turn, ways = np.empty((3, 3)), np.empty((3, 3, 3))
    turned(middle, turn, ways)
    near, far = low[3:].copy(), high[3:].copy()
    if not drawn_in(room, turn, ways, half, near, far):
        return REFUSED, 0, hint
    shift, aside = 0.5 * (near + far), 0.5 * (far - near)
    cut[2:5], cut[5:8] = middle, shift
    placed, moves = np.empty((len(part.corners), 3)), np.empty((3, len(part.corners), 3))
    state = np.zeros(len(part.radius), dtype=np.int8)
    worst, told = np.empty(8), np.empty(8)
    best, best_pair = -np.inf, -1
    things = len(thing.radius)
    pairs = len(part.radius) * things
    for step in range(-1, pairs):
        pair = hint if step < 0 else step
        if pair < 0 or step == hint:
            continue
        a, b = pair // things, pair % things
        if not is_near(part, a, thing, b, turn, shift):
            continue
        if state[a] == 0:
            state[a] = 1
            place_piece(part, a, turn, ways, shift, placed, moves)
        left = overlap(part, a, thing, b, turn, placed, moves, half, aside, best, worst)
        if left > 0.0:
            return REFUSED, 0, pair
        if left > best:
            best, best_pair = left, pair
            told[:] = worst
    # Is any pair in each other at the middle? The best is the likeliest.
    none, share = np.zeros(3), np.zeros(6)
    meets = False
    for step in range(-1, pairs):
        pair = best_pair if step < 0 else step
        if pair < 0 or step == best_pair:
            continue
        a, b = pair // things, pair % things
        if not is_near(part, a, thing, b, turn, shift):
            continue
        if overlap(part, a, thing, b, turn, placed, moves, none, none, 0.0, worst) > 0.0:
            meets = True
            if pair != best_pair:
                overlap(part, a, thing, b, turn, placed, moves, half, aside, -np.inf, told)
            best_pair = pair
            shares_of(told, half, aside, part.far[a], part.short[a], share)
            break
    if not meets:
        long, short = 0.0, 0.0
        for i in range(len(room.points)):
            p = room.points[i]
            flat = p[1] * p[1] + p[2] * p[2]
            short, long = max(short, flat), max(long, flat + p[0] * p[0])
        share[0], share[1] = half[0] * math.sqrt(long), half[1] * math.sqrt(long)
        share[2] = half[2] * math.sqrt(short)
        share[3:] = aside
    axis = int(np.argmax(share))
    cut[0] = share[axis]
    cut[1] = middle[axis] if axis < 3 else shift[axis - 3]
    if not meets and outside_by(room, turn, shift) <= 0.0:
        return FREE, axis, best_pair
    return OPEN, axis, best_pair


@compiled
def bound_boxes(
    low: Floats, high: Floats, part: Bodies, thing: Bodies, room: Room, hint: Indices
) -> tuple[Indices, Indices, Indices, Floats]:
    """Evaluate boxes of poses (B, 6) as `bound_box` does: what is known of each, where to cut it (B, 8)."""
    known = np.empty(len(low), dtype=np.int64)
    axis, pair = np.empty(len(low), dtype=np.int64), np.empty(len(low), dtype=np.int64)
    cut = np.zeros((len(low), 8))
    for i in range(len(low)):
        known[i], axis[i], pair[i] = bound_box(low[i], high[i], part, thing, room, hint[i], cut[i])
    return known, axis, pair, cut


@compiled
def close(
    low: Floats,
    high: Floats,
    part: Bodies,
    thing: Bodies,
    room: Room,
    hint: int,
    most: int,
    finest_mm: float,
    pose: Floats,
) -> tuple[int, int]:
    """Evaluate a box of poses and cut it until every piece of it is refused.

    Returns REFUSED, or FREE with a pose (6,) that nothing refuses, or OPEN with the pose where it was left:
    after `most` boxes, or where a piece moves the part less than finest_mm; and how many were evaluated.
    """
    lows, highs, hints = np.empty((DEEPEST, 6)), np.empty((DEEPEST, 6)), np.empty(DEEPEST, dtype=np.int64)
    lows[0], highs[0], hints[0] = low, high, hint
    count, evaluated, cut = 1, 0, np.zeros(8)
    while count > 0:
        count -= 1
        known, axis, pair = bound_box(lows[count], highs[count], part, thing, room, hints[count], cut)
        evaluated += 1
        if known == REFUSED:
            continue
        pose[:] = cut[2:8]
        if known == FREE:
            return FREE, evaluated
        if evaluated >= most or cut[0] < finest_mm or count + 2 > DEEPEST:
            return OPEN, evaluated
        # The half nearer to the front of the queue is evaluated first.
        lows[count + 1], highs[count + 1] = lows[count], highs[count]
        highs[count, axis], lows[count + 1, axis] = cut[1], cut[1]
        hints[count], hints[count + 1] = pair, pair
        count += 2
    return REFUSED, evaluated
