"""Exact distance between triangle meshes, one of which may be placed by a pose.

Distances are those of python-fcl (J. Pan, S. Chitta, D. Manocha, FCL: a general purpose library for
collision and proximity queries, ICRA 2012), least over all pairs of triangles by bounding volumes. It sees
surfaces only: what lies wholly inside a solid is told by winding numbers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitcheck.geometry.mesh.connected_components import connected_components
from fitcheck.things.pose import Pose
from fitcheck.things.solid import Floats, Indices, Solid, frozen_array

if TYPE_CHECKING:
    import fcl


@dataclass(frozen=True, slots=True, eq=False)
class Surface:
    """Triangles made ready for distances; built once, asked at many poses.

    vertices_mm: (n, 3), those in use. triangles: (m, 3), open or closed; `gap_mm` wants it closed, outward.
    volumes: the library's tree of bounding volumes. samples_mm: (k, 3), one vertex of each connected piece.
    """

    vertices_mm: Floats
    triangles: Indices
    volumes: fcl.BVHModel
    samples_mm: Floats

    @classmethod
    def of(cls, vertices_mm: ArrayLike, triangles: Indices) -> Surface:
        """Build it; `triangles` must not be empty."""
        import fcl

        used, triangles = np.unique(triangles, return_inverse=True)
        triangles = triangles.reshape(-1, 3)
        vertices = frozen_array(np.asarray(vertices_mm)[used], 3)
        volumes = fcl.BVHModel()
        volumes.beginModel(len(triangles), len(vertices))
        volumes.addSubModel(vertices, triangles)
        volumes.endModel()
        first = np.unique(pieces_of(triangles, len(vertices)), return_index=True)[1]
        return cls(vertices, triangles, volumes, vertices[first])


def pieces_of(triangles: Indices, vertices: int) -> Indices:
    """Return which connected piece each of so many vertices belongs to, (n,); a lone vertex is a piece."""
    start, end = triangles[:, :2].T.reshape(-1), triangles[:, 1:].T.reshape(-1)
    return connected_components(vertices, start, end)


def encloses(body: Solid | Surface, points_mm: ArrayLike) -> NDArray[np.bool_]:
    """Tell for each point (k, 3) whether it is in the solid that a closed, outward surface bounds.

    A point in a sealed space is not. Whether a point of the surface itself is, is left open.
    """
    corners = body.vertices_mm[body.triangles]
    turns = [_winding(corners - point) for point in np.atleast_2d(points_mm)]
    inside: NDArray[np.bool_] = np.array(turns) > 0.5
    return inside


def surface_gap_mm(moving: Surface, still: Surface, pose: Pose) -> float:
    """Return the least distance from `moving`, placed by `pose`, to `still`; 0 where triangles meet.

    Surfaces only: a solid wholly inside another is as far from it as their surfaces are. Either may be an
    open patch.
    """
    import fcl

    placed = fcl.CollisionObject(moving.volumes, fcl.Transform(pose.rotation, pose.shift_mm))
    fixed = fcl.CollisionObject(still.volumes, fcl.Transform())
    return max(float(fcl.distance(placed, fixed, fcl.DistanceRequest(), fcl.DistanceResult())), 0.0)


def nearest_mm(moving: Surface, still: Surface, pose: Pose) -> tuple[Floats, Floats]:
    """Return the two points (3,) between which `surface_gap_mm` is measured, on `moving` and on `still`.

    Where triangles meet, both are on or near the place where they do.
    """
    import fcl

    placed = fcl.CollisionObject(moving.volumes, fcl.Transform(pose.rotation, pose.shift_mm))
    fixed = fcl.CollisionObject(still.volumes, fcl.Transform())
    found = fcl.DistanceResult()
    fcl.distance(placed, fixed, fcl.DistanceRequest(enable_nearest_points=True), found)
    one, other = (np.array(point, dtype=np.float64) for point in found.nearest_points)
    return one, other


def meetings_mm(moving: Surface, still: Surface, pose: Pose, most: int) -> Floats:
    """Return places (k, 3) where triangles meet, `most` of them; where none do, the nearest of `moving`."""
    import fcl

    placed = fcl.CollisionObject(moving.volumes, fcl.Transform(pose.rotation, pose.shift_mm))
    fixed, found = fcl.CollisionObject(still.volumes, fcl.Transform()), fcl.CollisionResult()
    fcl.collide(placed, fixed, fcl.CollisionRequest(num_max_contacts=most, enable_contact=True), found)
    if not found.contacts:
        return nearest_mm(moving, still, pose)[0][None]
    return np.array([contact.pos for contact in found.contacts], dtype=np.float64)


def gap_mm(moving: Surface, still: Surface, pose: Pose) -> float:
    """Return the least distance between two solids, `moving` placed by `pose`; 0 where they touch or overlap.

    Both surfaces are closed and outward. One solid, or one loose piece of it, wholly inside the other is an
    overlap; one in a sealed space of the other is not.
    """
    gap = surface_gap_mm(moving, still, pose)
    if gap == 0.0 or encloses(still, pose.apply(moving.samples_mm)).any():
        return 0.0
    return 0.0 if encloses(moving, pose.inverse.apply(still.samples_mm)).any() else gap


def _winding(corners: Floats) -> float:
    """Return how often closed triangles (m, 3, 3) go round the origin: 1 inside, 0 outside.

    The sum of their solid angles by A. van Oosterom, J. Strackee, The solid angle of a plane triangle,
    IEEE Trans. Biomed. Eng. 30 (1983) 125-126, equation 8.
    """
    a, b, c = np.moveaxis(corners, 1, 0)
    la, lb, lc = (np.sqrt(np.einsum("ij,ij->i", side, side)) for side in (a, b, c))
    triple = np.einsum("ij,ij->i", a, np.cross(b, c))
    ab, bc, ca = (np.einsum("ij,ij->i", p, q) for p, q in ((a, b), (b, c), (c, a)))
    angles = 2.0 * np.arctan2(triple, la * lb * lc + ab * lc + bc * la + ca * lb)
    return float(angles.sum()) / (4.0 * math.pi)
