"""Planes of a tank's inside for provers, and weights that balance them."""

from __future__ import annotations

import itertools

import numpy as np

from fitcheck.things.solid import Floats, Solid
from fitcheck.things.tank import FLOOR_SLOPE, Tank

# Faces of a convex solid that are one but for the rounding of a mesh file, as directions.
ONE_FACE = 1e-6
# With more faces the balanced sets are too many to list: only opposite ones are, others are sought at need.
MOST_FACES = 24
# Planes nearer to parallel than this are so but for rounding.
PARALLEL = 1e-9
# Sums of tens of products of metres in double precision, with a lot to spare.
ROUNDING_MM = 5e-5


def planes(tank: Tank) -> tuple[Floats, Floats]:
    """Return the faces (m, 3) of the inside and how far each lets a part go (m,), clearances off."""
    normals, offsets = faces(tank.inside)
    rules = tank.rules
    floor = normals[:, 2] < FLOOR_SLOPE
    at_rim = (normals[:, 2] > 1.0 - ONE_FACE) & (offsets > tank.depth_mm * (1.0 - ONE_FACE))
    clearance = np.where(floor, rules.bottom_clearance_mm, rules.side_clearance_mm)
    clearance = np.where(at_rim, rules.cover_mm + rules.freeboard_mm, clearance)
    if not at_rim.any():
        normals = np.vstack([normals, [0.0, 0.0, 1.0]])
        offsets = np.append(offsets, tank.depth_mm)
        clearance = np.append(clearance, rules.cover_mm + rules.freeboard_mm)
    return normals, offsets - clearance


def faces(solid: Solid) -> tuple[Floats, Floats]:
    """Return the planes of a convex solid: normals (m, 3), each pushed out to the farthest corner."""
    corner = solid.vertices_mm[solid.triangles]
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    normal = normal[np.linalg.norm(normal, axis=1) > 0.0]
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    kept: list[Floats] = []
    for each in normal:
        if not kept or np.abs(np.array(kept) - each).max(axis=1).min() >= ONE_FACE:
            kept.append(each)
    normals = np.array(kept)
    return normals, (normals @ solid.vertices_mm.T).max(axis=1)


def balanced(normals: Floats) -> Floats:
    """Return the least sets of weights (q, m) that balance the faces: two, and of few faces three or four."""
    found = [np.zeros((0, len(normals)))]
    most = 4 if len(normals) <= MOST_FACES else 2
    wanted = np.array([0.0, 0.0, 0.0, 1.0])
    for size in range(2, min(most, len(normals)) + 1):
        sets = np.array(list(itertools.combinations(range(len(normals)), size)))
        systems = np.concatenate([normals[sets], np.ones((len(sets), size, 1))], axis=2).swapaxes(1, 2)
        left, strength, right = np.linalg.svd(systems, full_matrices=False)
        firm = strength[:, -1] > PARALLEL * strength[:, 0]
        sets, systems, left, strength, right = (each[firm] for each in (sets, systems, left, strength, right))
        share = (right.swapaxes(1, 2) @ ((wanted @ left) / strength)[:, :, None])[:, :, 0]
        off = np.abs((systems @ share[:, :, None])[:, :, 0] - wanted).max(axis=1)
        balance = (off < ONE_FACE) & (share.min(axis=1) > PARALLEL)
        weights = np.zeros((int(balance.sum()), len(normals)))
        np.put_along_axis(weights, sets[balance], share[balance], axis=1)
        found.append(weights)
    return np.concatenate(found)


def sides_walls(
    walls: tuple[Floats, Floats], things: tuple[tuple[Floats, Floats], ...], clearance_mm: float
) -> list[tuple[Floats, Floats]]:
    """Return the walls of each side into which things (normals, offsets) that span the room cut it.

    One spans it where two of its faces are opposite, and none of the room between their planes is out of it.
    """
    sides = [walls]
    for normals, offsets in things:
        for k, j in itertools.combinations(range(len(normals)), 2):
            if np.abs(normals[k] + normals[j]).max() < PARALLEL and _spans(walls, normals, offsets, (k, j)):
                sides = [
                    _behind(side, -normals[i], -(offsets[i] + clearance_mm)) for side in sides for i in (k, j)
                ]
                break
    return sides


def _behind(walls: tuple[Floats, Floats], normal: Floats, offset: float) -> tuple[Floats, Floats]:
    """Return walls and one more; one that faces the same way moves up to it."""
    normals, offsets = walls
    same = np.abs(normals - normal).max(axis=1) < PARALLEL
    if same.any():
        return normals, np.where(same, np.minimum(offsets, offset), offsets)
    return np.vstack([normals, normal[None]]), np.append(offsets, offset)


def _spans(walls: tuple[Floats, Floats], normals: Floats, offsets: Floats, pair: tuple[int, int]) -> bool:
    from scipy.optimize import linprog

    rows = np.vstack([walls[0], normals[list(pair)]])
    limits = np.concatenate([walls[1], offsets[list(pair)]])
    for k, normal in enumerate(normals):
        if k not in pair:
            done = linprog(-normal, rows, limits, bounds=(None, None))
            if done.status != 0 or -done.fun > offsets[k] + ROUNDING_MM:
                return False
    return True
