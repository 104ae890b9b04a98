"""Meshes of square-cornered shapes: cells of an uneven grid, some filled and some empty."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitcheck.things.solid import Floats, Indices, Solid

# The corners of a brick's low-x, low-y and low-z face, counter-clockwise seen from its inside (+ side).
_LOW_FACES = np.array(
    [
        [[0, 0, 0], [0, 1, 0], [0, 1, 1], [0, 0, 1]],
        [[0, 0, 0], [0, 0, 1], [1, 0, 1], [1, 0, 0]],
        [[0, 0, 0], [1, 0, 0], [1, 1, 0], [0, 1, 0]],
    ]
)


def bricks(
    planes_mm: tuple[ArrayLike, ArrayLike, ArrayLike], filled: NDArray[np.bool_], source: str
) -> Solid:
    """Return the solid of the filled bricks: every face between a filled and an empty one, once.

    planes_mm: the rising x, y and z of the grid's planes. filled: (len(x) - 1, len(y) - 1, len(z) - 1).
    Exact: every vertex has its coordinates from the planes. Two filled bricks must not meet in an edge alone.
    """
    x, y, z = (np.asarray(p, dtype=np.float64) for p in planes_mm)
    padded = np.pad(filled, 1)
    quads = []
    for axis in range(3):
        low = np.roll(padded, 1, axis=axis)
        for full, order in ((padded & ~low, slice(None, None, -1)), (low & ~padded, slice(None))):
            at = np.argwhere(full) - 1
            quads.append(at[:, None, :] + _LOW_FACES[axis][order][None])
    shape = (len(x), len(y), len(z))
    corner = np.ravel_multi_index(tuple(np.moveaxis(np.concatenate(quads), -1, 0)), shape)
    used, quad = np.unique(corner, return_inverse=True)
    quad = quad.reshape(-1, 4)
    triangles: Indices = np.concatenate([quad[:, [0, 1, 2]], quad[:, [0, 2, 3]]])
    i, j, k = np.unravel_index(used, shape)
    vertices: Floats = np.column_stack([x[i], y[j], z[k]])
    return Solid(vertices, triangles, source)
