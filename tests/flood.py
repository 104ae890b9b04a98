"""A second way to find what a solid holds: a coarse grid of points, flooded layer by layer from the top.

It shares no code with `geometry/pockets.py`: sections of the solid by manifold3d, even-odd filling of the
sections, and labels of connected points by scipy. Walls must be thicker than a few cells.
"""

from __future__ import annotations

import manifold3d
import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from fitcheck.things.solid import Floats, Solid

CORNERS = np.ones((3, 3, 3))


def metal_on_grid(vertices_mm: Floats, triangles: NDArray[np.int64], cell_mm: float) -> NDArray[np.bool_]:
    """Return which points of a grid (nz, ny, nx) are in the solid; a free margin of two cells all round."""
    mesh = manifold3d.Mesh64(np.ascontiguousarray(vertices_mm, dtype=np.float64), triangles.astype(np.uint64))
    solid = manifold3d.Manifold(mesh)
    low = vertices_mm.min(axis=0) - 2.0 * cell_mm
    counts = np.ceil((vertices_mm.max(axis=0) - low) / cell_mm).astype(int) + 2
    x, y, z = (low[k] + cell_mm * (np.arange(counts[k]) + 0.5) for k in range(3))
    metal = np.zeros((len(z), len(y), len(x)), dtype=bool)
    for k, height in enumerate(z):
        for ring in solid.slice(height).to_polygons():
            start, end = np.asarray(ring), np.roll(ring, -1, axis=0)
            cuts = (start[:, 1] <= y[:, None]) != (end[:, 1] <= y[:, None])
            with np.errstate(divide="ignore", invalid="ignore"):
                share = (y[:, None] - start[:, 1]) / (end[:, 1] - start[:, 1])
            at = np.where(cuts, start[:, 0] + share * (end[:, 0] - start[:, 0]), np.inf)
            metal[k] ^= (at[:, :, None] < x).sum(axis=1) % 2 == 1
    return metal


def held_on_grid(solid: Solid, rotation: Floats, cell_mm: float) -> float:
    """Return the volume in mm3 of air that the solid keeps, lowered into liquid at a rotation."""
    free = ~metal_on_grid(solid.vertices_mm @ rotation.T, np.asarray(solid.triangles), cell_mm)
    kept = 0
    for k in range(len(free)):
        labels, _ = ndimage.label(free[k:])
        kept += int(np.count_nonzero(free[k] & (labels[0] != labels[-1, 0, 0])))
    return kept * cell_mm**3
