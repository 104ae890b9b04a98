"""Convex regions into which a thing that spans a tank cuts the room in it.

A thing with two opposite faces spans the room when all of the room between the planes of those faces lies in
the thing. What is left of the room are the two sides, and a part that hangs together is in one of them.
"""

from __future__ import annotations

import numpy as np

from fitcheck.geometry.rotations.envelope import SAME_DIRECTION, Envelope, faces_of
from fitcheck.things.solid import Floats, Indices, Solid

# Rounding of sums of metres, in mm.
ROUNDING_MM = 1e-6
# Through a crack beside a thing that is narrower than this no part goes.
CRACK_MM = 1e-4


def free_regions_of(room: Envelope, things: tuple[Solid, ...], clearance_mm: float) -> tuple[Envelope, ...]:
    """Return the sides into which things that span the room cut it; the room itself where none does.

    clearance_mm is kept from each thing. Sides in which nothing has room are left out.
    """
    sides = [room]
    for thing in things:
        normals, offsets = faces_of(thing)
        pair = _spanned(room, normals, offsets)
        if pair is None:
            continue
        limits = -(offsets[pair] + clearance_mm)
        sides = [_behind(side, -normals[pair[k]], float(limits[k])) for side in sides for k in (0, 1)]
        sides = [side for side in sides if _corners(side.normals, side.offsets_mm) is not None]
    return tuple(sides)


def _behind(room: Envelope, normal: Floats, offset: float) -> Envelope:
    """Return what of a room is behind a plane; a wall that faces the same way moves up to it."""
    same = np.abs(room.normals - normal).max(axis=1) < SAME_DIRECTION
    if same.any():
        return room.with_offsets(np.where(same, np.minimum(room.offsets_mm, offset), room.offsets_mm))
    return room.also(normal[None], np.array([offset]))


def _spanned(room: Envelope, normals: Floats, offsets: Floats) -> Indices | None:
    """Return two opposite faces of a thing between which it fills the room; None: there are none."""
    for k, normal in enumerate(normals):
        opposite = np.abs(normals[k + 1 :] + normal).max(axis=1, initial=0.0) < SAME_DIRECTION
        for j in np.flatnonzero(opposite) + k + 1:
            slab = _corners(
                np.vstack([room.normals, normals[[k, int(j)]]]),
                np.append(room.offsets_mm, offsets[[k, int(j)]]),
            )
            if slab is None:
                continue
            if (slab @ normals.T - offsets).max() <= CRACK_MM:
                return np.array([k, j])
    return None


def _corners(normals: Floats, offsets: Floats) -> Floats | None:
    """Return the corners (k, 3) of the space behind planes; None where there is none."""
    from scipy.optimize import linprog
    from scipy.spatial import HalfspaceIntersection

    ball = linprog(
        [0.0, 0.0, 0.0, -1.0], np.column_stack([normals, np.ones(len(normals))]), offsets, bounds=(None, None)
    )
    if ball.status != 0 or -ball.fun <= ROUNDING_MM:
        return None
    return np.asarray(HalfspaceIntersection(np.column_stack([normals, -offsets]), ball.x[:3]).intersections)
