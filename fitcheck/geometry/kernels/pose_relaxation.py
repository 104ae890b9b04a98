"""Relaxation of poses until a part is clear, from many starts: see `geometry/poses/pose_relaxation.py`."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fitcheck.geometry.kernels.jit import compiled
from fitcheck.geometry.kernels.pose_bounds import Room, turned
from fitcheck.things.solid import Floats, Indices

# Damping of a step (K. Levenberg, A method for the solution of certain non-linear problems in least
# squares, Quarterly of Applied Mathematics 2 (1944) 164-168): to begin with, and at most.
SOFT, STIFFEST = 1e-3, 1e6


class Things(NamedTuple):
    """Convex things by their planes, end to end: normals (m, 3), offsets (m,), where each thing starts."""

    normals: Floats
    offsets: Floats
    at: Indices


@compiled
def pushes(
    pose: Floats,
    room: Room,
    samples: Floats,
    things: Things,
    levers: Floats,
    margin: float,
    square: Floats,
    push: Floats,
) -> tuple[float, float]:
    """Return the sum of squares of how far points are where they may not be, and the farthest.

    Put into square (6, 6) and push (6,) the normal equations of the step that takes them out.
    """
    turn, ways = np.empty((3, 3)), np.empty((3, 3, 3))
    turned(pose[:3], turn, ways)
    square[:], push[:] = 0.0, 0.0
    total, worst = 0.0, 0.0
    row, at = np.empty(6), np.empty(3)
    for kind in range(2):
        points = room.points if kind == 0 else samples
        groups = 1 if kind == 0 else len(things.at) - 1
        for i in range(len(points)):
            p = points[i]
            for k in range(3):
                at[k] = turn[k, 0] * p[0] + turn[k, 1] * p[1] + turn[k, 2] * p[2] + pose[3 + k]
            for group in range(groups):
                first, last = (
                    (0, len(room.offsets)) if kind == 0 else (things.at[group], things.at[group + 1])
                )
                normals = room.normals if kind == 0 else things.normals
                offsets = room.offsets if kind == 0 else things.offsets
                best, which = -np.inf, 0
                for k in range(first, last):
                    out = normals[k, 0] * at[0] + normals[k, 1] * at[1] + normals[k, 2] * at[2] - offsets[k]
                    if out > best:
                        best, which = out, k
                        if kind == 1 and out >= margin:
                            break
                # Behind every wall by the margin; over some face of each thing by the margin.
                by = best + margin if kind == 0 else margin - best
                if by <= 0.0:
                    continue
                n = normals[which]
                sign = -1.0 if kind == 0 else 1.0
                for j in range(3):
                    share = 0.0
                    for k in range(3):
                        share += n[k] * (ways[j, k, 0] * p[0] + ways[j, k, 1] * p[1] + ways[j, k, 2] * p[2])
                    row[j] = sign * share / levers[j]
                    row[3 + j] = sign * n[j]
                for j in range(6):
                    push[j] += row[j] * by
                    for k in range(6):
                        square[j, k] += row[j] * row[k]
                total += by * by
                worst = max(worst, by)
    return total, worst


@compiled
def settled(
    starts: Floats,
    low: Floats,
    high: Floats,
    room: Room,
    samples: Floats,
    things: Things,
    levers: Floats,
    margin: float,
    steps: int,
) -> tuple[Floats, Floats]:
    """Return where poses (B, 6) come to rest, pushed step by step, and how far points are out yet (B,)."""
    poses, left = starts.copy(), np.empty(len(starts))
    square, push = np.empty((6, 6)), np.empty(6)
    other, pushed = np.empty((6, 6)), np.empty(6)
    for b in range(len(starts)):
        pose = poses[b]
        soft = SOFT
        total, worst = pushes(pose, room, samples, things, levers, margin, square, push)
        for _ in range(steps):
            if worst <= 0.0 or soft > STIFFEST:
                break
            system = square.copy()
            mean = np.trace(square) / 6.0
            for j in range(6):
                system[j, j] += soft * mean
            step = np.linalg.solve(system, push)
            tried = pose.copy()
            for j in range(3):
                tried[j] = min(max(pose[j] + step[j] / levers[j], low[j]), high[j])
                tried[3 + j] = pose[3 + j] + step[3 + j]
            now, now_worst = pushes(tried, room, samples, things, levers, margin, other, pushed)
            if now < total:
                pose[:] = tried
                square[:], push[:] = other, pushed
                total, worst = now, now_worst
                soft = max(soft / 4.0, SOFT)
            else:
                soft *= 8.0
        left[b] = worst
    return poses, left
