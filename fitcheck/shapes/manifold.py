"""Solids to and from manifold3d, which cuts and joins them exactly."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from fitcheck.things.solid import Solid
from fitcheck.words.errors import Refused

if TYPE_CHECKING:
    from manifold3d import Manifold


def manifold_of(solid: Solid) -> Manifold:
    """Return the solid for exact cutting and joining."""
    from manifold3d import Error, Manifold, Mesh64

    manifold = Manifold(Mesh64(np.array(solid.vertices_mm), solid.triangles.astype(np.uint64)))
    if manifold.status() != Error.NoError:
        raise Refused(
            f"{solid.source}: the mesh cannot be cut or joined ({manifold.status().name})",
            "mend the mesh where it touches itself",
        )
    return manifold


def solid_of(manifold: Manifold, source: str) -> Solid:
    """Return what was cut or joined as a solid."""
    mesh = manifold.to_mesh64()
    return Solid(mesh.vert_properties[:, :3], mesh.tri_verts.astype(np.int64), source)
