"""The same questions answered another way, slowly: by scipy's rotations, hulls, programmes and optimisers.

Nothing here imports the search or anything that the search is made of.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import linprog, minimize
from scipy.spatial import ConvexHull
from scipy.spatial.transform import Rotation

from fitcheck.things.solid import Floats
from fitcheck.things.tank import Rules

# Planes of one face that a hull splits into triangles agree to rounding.
DECIMALS = 9
# Balanced weights below this are rounding of zero.
ZERO = 1e-10

# A climb ends when it gains a nanometre a step no more, or after so many looks.
CLIMB = {"xatol": 1e-8, "fatol": 1e-6, "maxfev": 250}


@dataclass(frozen=True, slots=True, eq=False)
class Room:
    """The room left in a convex tank: normals (m, 3), offsets (m,), rim (m,), balanced weights (q, m)."""

    normals: Floats
    offsets: Floats
    rim: Floats
    weights: Floats


def turned(angles: ArrayLike) -> Floats:
    """Return rotations (k, 3, 3) = Rz(swing) . Ry(-tilt) . Rx(roll) for rows of swing, tilt, roll."""
    rows = np.atleast_2d(np.asarray(angles, dtype=float)) * [1.0, -1.0, 1.0]
    return np.asarray(Rotation.from_euler("ZYX", rows).as_matrix())


def room_of(corners: ArrayLike, rules: Rules | None = None) -> Room:
    """Return the room in the hull of some corners whose flat top is the rim, by the rules of the trade."""
    rules = rules or Rules()
    corners = np.asarray(corners, dtype=float)
    planes = ConvexHull(corners).equations
    _, first = np.unique(planes[:, :3].round(DECIMALS) + 0.0, axis=0, return_index=True)
    normals, offsets = planes[first, :3], -planes[first, 3]
    rim = normals[:, 2] > 1.0 - ZERO
    floor = normals[:, 2] < -math.sqrt(0.5)
    take = np.where(floor, rules.bottom_clearance_mm, rules.side_clearance_mm)
    take = np.where(rim, rules.cover_mm + rules.freeboard_mm, take)
    return Room(normals, offsets - take, rim.astype(float), balanced(normals))


def balanced(normals: Floats) -> Floats:
    """Return every smallest set of weights >= 0 with sum 1 that balances the directions (m, 3)."""
    found: list[Floats] = []
    for size in (2, 3, 4):
        for faces in itertools.combinations(range(len(normals)), size):
            system = np.vstack([normals[list(faces)].T, np.ones(size)])
            weights, _, rank, _ = np.linalg.lstsq(system, [0.0, 0.0, 0.0, 1.0], rcond=1e-9)
            if rank == size and weights.min() > ZERO:
                if np.abs(system @ weights - [0.0, 0.0, 0.0, 1.0]).max() < ZERO:
                    whole = np.zeros(len(normals))
                    whole[list(faces)] = weights
                    found.append(whole)
    return np.array(found)


def left(room: Room, points: Floats, rotations: Floats) -> Floats:
    """Return what each plane leaves (k, m) over the reach of the unshifted points at rotations (k, 3, 3)."""
    seen = np.matmul(room.normals, rotations)
    return np.asarray(room.offsets - (seen @ points.T).max(axis=2))


def spares(room: Room, points: Floats, rotations: Floats) -> Floats:
    """Return the spare (k,) at each rotation."""
    return np.asarray((left(room, points, rotations) @ room.weights.T).min(axis=1))


def least_for(gives: Floats, room: Room, points: Floats, rotations: Floats) -> Floats:
    """Return by how much planes must give way, in shares gives (m,), at each rotation; inf where none helps."""
    slack = left(room, points, rotations) @ room.weights.T
    lift = room.weights @ gives
    able = lift > ZERO
    need = (-slack[:, able] / lift[able]).max(axis=1)
    firm = slack[:, ~able].min(axis=1, initial=np.inf)
    return np.where(firm < 0.0, np.inf, need)


def tops(room: Room, points: Floats, rotations: Floats) -> Floats:
    """Return the least height (k,) of the highest point of the part, over z = 0; inf where it does not fit."""
    lid = room.offsets[room.rim > 0.0].min()
    lowered = Room(room.normals, np.where(room.rim > 0.0, 0.0, room.offsets), room.rim, room.weights)
    height = least_for(room.rim, lowered, points, rotations)
    return np.where(height > lid, np.inf, height)


def spare_by_linprog(room: Room, points: Floats, rotation: Floats, gives: Floats | None = None) -> float:
    """Return minus the least tau with normals . shift <= left + gives tau, by HiGHS; -inf where none will do."""
    gives = np.ones(len(room.offsets)) if gives is None else gives
    room_left = left(room, points, rotation[None])[0]
    found = linprog(
        [0.0, 0.0, 0.0, 1.0],
        A_ub=np.column_stack([room.normals, -gives]),
        b_ub=room_left,
        bounds=[(None, None)] * 4,
        method="highs",
    )
    return -float(found.fun) if found.status == 0 else -math.inf


def sampled(rng: np.random.Generator, low: Floats, high: Floats, count: int) -> Floats:
    """Return angles (count, 3) = swing, tilt, roll: many anywhere between low and high, some nearly square."""
    anywhere = rng.uniform(low, high, (count, 3))
    near = np.round(anywhere / (math.pi / 2.0)) * (math.pi / 2.0) + rng.normal(0.0, 0.05, (count, 3))
    mixed = np.where(rng.random((count, 3)) < 0.3, near, anywhere)
    return np.clip(mixed, low, high)


def roomiest(
    room: Room,
    points: Floats,
    limits: tuple[Floats, Floats],
    rng: np.random.Generator,
    tries: int,
    starts: int,
) -> tuple[float, Floats]:
    """Return the largest spare that sampling and then climbing (Nelder & Mead) finds, and its angles."""
    low, high = limits
    angles = sampled(rng, low, high, tries)
    found = spares(room, points, turned(angles))
    best, where = float(found.max()), angles[np.argmax(found)]

    def short(at: Floats) -> float:
        return -float(spares(room, points, turned(np.clip(at, low, high)))[0])

    for start in angles[np.argsort(-found)[:starts]]:
        climbed = minimize(short, start, method="Nelder-Mead", options=CLIMB)
        if -climbed.fun > best:
            best, where = -float(climbed.fun), np.clip(climbed.x, low, high)
    return best, where


def settled(corners: ArrayLike) -> Floats:
    """Return corners (n, 3) shifted so that their lowest length, width and height are 0."""
    corners = np.asarray(corners, dtype=float)
    return np.asarray(corners - corners.min(axis=0))
