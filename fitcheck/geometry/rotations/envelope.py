"""Envelope: the room that the rules leave inside a tank, as planes that the part stays behind.

A part with reach h_k along the outward direction n_k of each plane fits at a rotation when some shift t
has n_k . t + h_k <= b_k for all k. By Farkas' lemma (linear programming duality) that is so exactly when
sum w_k (b_k - h_k) >= 0 for every set of weights w >= 0, sum w = 1, with sum w_k n_k = 0: the directions
so weighted balance, and the shift drops out. A box needs only its three opposite pairs. For any other convex
space the shift stays an unknown, and the programme that bounds a cell finds the weights (`search.py`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from fitcheck.things.solid import Floats, Indices, Mask, Solid
from fitcheck.things.tank import FLOOR_SLOPE, Rules, Tank

# Normals of one flat face, split into triangles, differ by rounding in the file: this is far above that
# for a mesh of some metres written to 6 digits, and a face turned by so little is moved < 0.01 mm.
SAME_DIRECTION = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Envelope:
    """Planes n_k . x <= offset_k, clearances taken off.

    normals (m, 3) outward; offsets_mm (m,); is_floor, is_rim (m,) bool; weights (q, m): balanced weights of
    opposite faces; complete: no others are needed; axes (d, 3), axis_of (m,), sign_of (m,): the directions
    without regard to sign, so that opposite faces share their work. size_mm: largest extent, for rounding.
    """

    normals: Floats
    offsets_mm: Floats
    is_floor: Mask
    is_rim: Mask
    weights: Floats
    complete: bool
    axes: Floats
    axis_of: Indices
    sign_of: Floats
    size_mm: float

    def with_offsets(self, offsets_mm: Floats) -> Envelope:
        """Return the envelope with its planes elsewhere (same directions, so the same weights balance)."""
        return replace(self, offsets_mm=offsets_mm)

    def also(self, normals: Floats, offsets_mm: Floats) -> Envelope:
        """Return the part of this envelope behind further wall planes (k, 3), (k,)."""
        none = np.zeros(len(offsets_mm), dtype=bool)
        return _envelope(
            np.vstack([self.normals, normals]),
            np.concatenate([self.offsets_mm, offsets_mm]),
            np.concatenate([self.is_floor, none]),
            np.concatenate([self.is_rim, none]),
        )


def faces_of(solid: Solid) -> tuple[Floats, Floats]:
    """Return the planes (normals (m, 3), offsets (m,)) of a convex solid, one for each flat face."""
    a, b, c = (solid.vertices_mm[solid.triangles[:, i]] for i in range(3))
    normal = np.cross(b - a, c - a)
    area = np.linalg.norm(normal, axis=1)
    unit = normal / np.maximum(area, np.finfo(float).tiny)[:, None]
    left = np.argsort(-area, kind="stable")
    left = left[area[left] > 0.0]
    kept: list[int] = []
    while len(left):
        kept.append(int(left[0]))
        left = left[np.abs(unit[left] - unit[left[0]]).max(axis=1) > SAME_DIRECTION]
    normals = unit[kept]
    # The plane is pushed out to the farthest vertex, so that it holds the whole solid.
    offsets = (normals @ solid.vertices_mm.T).max(axis=1)
    return normals, offsets


def envelope_of(tank: Tank, rules: Rules | None = None) -> Envelope:
    """Return the room that the rules leave: clearances square to each face, cover and freeboard on top."""
    rules = rules or tank.rules
    normals, offsets = faces_of(tank.inside)
    rim = (normals[:, 2] > 1.0 - SAME_DIRECTION) & (offsets >= tank.depth_mm - SAME_DIRECTION * tank.depth_mm)
    floor = normals[:, 2] < FLOOR_SLOPE
    clearance = np.where(floor, rules.bottom_clearance_mm, rules.side_clearance_mm)
    clearance = np.where(rim, rules.cover_mm + rules.freeboard_mm, clearance)
    offsets = offsets - clearance
    if not rim.any():
        # A space that closes to an edge or a point on top: its rim is level with the highest of it.
        normals = np.vstack([normals, [0.0, 0.0, 1.0]])
        offsets = np.append(offsets, tank.depth_mm - rules.cover_mm - rules.freeboard_mm)
        floor, rim = np.append(floor, False), np.append(rim, True)
    return _envelope(normals, offsets, floor, rim)


def _envelope(normals: Floats, offsets: Floats, floor: Mask, rim: Mask) -> Envelope:
    along = normals @ normals.T
    parallel = np.abs(np.abs(along) - 1.0) < SAME_DIRECTION**2
    first = parallel.argmax(axis=1)
    which, axis_of = np.unique(first, return_inverse=True)
    sign_of = np.sign(along[np.arange(len(normals)), first])
    opposite = parallel & (along < 0.0)
    k, j = np.nonzero(np.tril(opposite))
    weights = np.zeros((len(k), len(normals)))
    weights[np.arange(len(k)), k] = weights[np.arange(len(k)), j] = 0.5
    three_pairs = len(normals) == 6 and len(which) == 3 and len(weights) == 3
    return Envelope(
        normals,
        offsets,
        floor,
        rim,
        weights,
        three_pairs,
        normals[which],
        axis_of,
        sign_of,
        float(np.abs(offsets).max()),
    )
