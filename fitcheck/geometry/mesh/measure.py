"""Volume, area, centroid and inertia of a solid, exact; its skin and its sealed spaces.

Volume, first and second moments are sums over the tetrahedra that each triangle makes with one point,
which is exact for a mesh: F. Tonon, Explicit exact formulas for the 3-D tetrahedron inertia tensor in terms
of its vertex coordinates, J. Mathematics and Statistics 1 (2004) 8-11.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.mesh.mesh_components import (
    component_volumes_mm3,
    components_of,
    corners,
    facing_outside,
    sixfold_mm3,
)
from fitcheck.things.part import Part
from fitcheck.things.solid import Floats, Mask, Solid, frozen_array
from fitcheck.words.units import MM3_PER_LITRE


@dataclass(frozen=True, slots=True, eq=False)
class Measures:
    """What a solid measures, at density 1.

    centre_mm: (3,). inertia_mm5: (3, 3), about the centre, the integral of (r.r) I - r r^T over the volume.
    area_mm2: all of the surface, that of sealed spaces too.
    """

    volume_mm3: float
    area_mm2: float
    centre_mm: Floats
    inertia_mm5: Floats


def measures(solid: Solid) -> Measures:
    """Return volume, surface, centre and inertia of the metal; sealed spaces are not metal."""
    about = solid.vertices_mm.mean(axis=0)
    a, b, c = corners(solid.vertices_mm - about, solid.triangles)
    sixfold = sixfold_mm3(solid.vertices_mm - about, solid.triangles)
    total = a + b + c
    volume = float(sixfold.sum()) / 6.0
    centre = sixfold @ total / (24.0 * volume)
    # Over one tetrahedron with a corner at the origin: integral of r r^T = 6V/120 (s s^T + a a^T + ...).
    second = np.zeros((3, 3))
    for row in (total, a, b, c):
        second += (row * sixfold[:, None]).T @ row / 120.0
    second -= volume * np.outer(centre, centre)
    inertia = -(second + second.T) / 2.0
    # The sum of the other two, not the trace less one: a long rod's own axis would be lost in the difference.
    xx, yy, zz = np.diag(second)
    np.fill_diagonal(inertia, [yy + zz, xx + zz, xx + yy])
    inertia.setflags(write=False)
    area = float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum()) / 2.0
    return Measures(volume, area, frozen_array(about + centre, 3)[0], inertia)


def volume_mm3(solid: Solid) -> float:
    """Return the volume of the metal alone, without what else `measures` tells."""
    about = solid.vertices_mm.mean(axis=0)
    return float(sixfold_mm3(solid.vertices_mm - about, solid.triangles).sum()) / 6.0


def skin_of(solid: Solid) -> Solid:
    """Return the solid with its sealed spaces filled: what displaces liquid.

    A skin that faces inward bounds a sealed space; it goes, and so does whatever is shut up in it. A solid
    without one comes back itself.
    """
    labels = components_of(solid.triangles)
    signed = component_volumes_mm3(solid.vertices_mm, solid.triangles, labels)
    if (signed > 0.0).all():
        return solid
    keep = facing_outside(solid.vertices_mm, solid.triangles, labels, signed)
    return _part_of(solid, keep[labels])


def sealed_mm3(solid: Solid) -> float:
    """Return the volume of the sealed spaces (air that no liquid reaches); 0 where there are none."""
    skin = skin_of(solid)
    return 0.0 if skin is solid else volume_mm3(skin) - volume_mm3(solid)


def is_convex(solid: Solid) -> bool:
    """Return whether the solid is convex, to within a millionth of its size.

    The depth of a point below the hull's surface is a concave function, so a triangle whose middle lies on
    the hull lies on it all over, and a closed surface all on its hull is the hull. Coordinates of single
    precision (an STL file's) are rounded by up to 6e-8 of their size, which the millionth admits.
    """
    from scipy.spatial import ConvexHull

    hull = ConvexHull(solid.vertices_mm)
    near = 1e-6 * float(np.ptp(solid.vertices_mm, axis=0).max())
    # A surface nowhere deeper than `near` leaves out less than that times the hull's surface.
    if hull.volume - volume_mm3(solid) > near * hull.area:
        return False
    planes = np.unique(hull.equations, axis=0)
    middles = solid.vertices_mm[solid.triangles].mean(axis=1)
    # Some thousands of points at once keep the table of point against plane within tens of megabytes.
    for piece in np.array_split(middles, 1 + len(middles) * len(planes) // 4_000_000):
        depth = -(piece @ planes[:, :3].T + planes[:, 3]).max(axis=1)
        if (depth > near).any():
            return False
    return True


def weighed(name: str, solid: Solid, density_kg_l: float) -> Part:
    """Return the part of this metal: its skin, mass, centre of mass and over-all size."""
    found = measures(solid)
    length, width, height = np.ptp(solid.vertices_mm, axis=0).tolist()
    return Part(
        name=name,
        solid=solid,
        skin=skin_of(solid),
        mass_kg=found.volume_mm3 / MM3_PER_LITRE * density_kg_l,
        centre_mm=found.centre_mm,
        size_mm=(length, width, height),
    )


def _part_of(solid: Solid, keep: Mask) -> Solid:
    """Return the solid of the triangles kept, without the vertices that are left over."""
    used, triangles = np.unique(solid.triangles[keep], return_inverse=True)
    return Solid(solid.vertices_mm[used], triangles.reshape(-1, 3), solid.source)
