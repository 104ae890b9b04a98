"""Candidate places of a hole that drains or vents a pocket, and the metal it goes through."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.liquid.pockets import Pools, Vessel
from fitcheck.geometry.mesh.mesh_components import corners
from fitcheck.things.solid import Floats, Indices

# A hole's middle stays this far from the corner that it is to vent: a 1/4 in hole (common practice for
# bleeding small parts in cold baths) comes just clear of the walls.
INSET_MM = 6.0
# Places tried for a pocket: the highest, and no more than a few in faces that look alike.
PLACES, ALIKE = 12, 2
# The ray through the wall starts this share of the part's size inside the metal.
INSIDE = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Bore:
    """One hole square to the wall: from at_mm (3,) in the pocket through so much metal.

    ends: the vertices of the vessel that it joins; height_mm: up to which height, as turned, it lets by.
    """

    at_mm: Floats
    through_mm: float
    ends: tuple[int, int]
    height_mm: float


def bores(vessel: Vessel, rotation: Floats, pools: Pools, which: int) -> list[Bore]:
    """Return the holes worth trying for one pocket, at its highest places first."""
    turned = vessel.vertices_mm @ rotation.T
    group = pools.triangles[which]
    a, b, c = corners(vessel.vertices_mm, vessel.triangles[group])
    normal = np.cross(b - a, c - a)
    area = np.linalg.norm(normal, axis=1)
    top = turned[vessel.triangles[group], 2].argmax(axis=1)
    corner = vessel.triangles[group, top]
    at = _inset(vessel, group, top)
    height = at @ rotation[2]
    found: list[Bore] = []
    looks: dict[tuple[int, ...], int] = {}
    for k in np.argsort(-height, kind="stable"):
        if len(found) == PLACES:
            break
        if area[k] <= 0.0:
            continue
        out = normal[k] / area[k]
        look = tuple(np.round(10.0 * out).astype(int).tolist())
        looks[look] = looks.get(look, 0) + 1
        if looks[look] > ALIKE:
            continue
        bore = _bore(vessel, turned[:, 2], rotation[2], (at[k], -out, int(corner[k])))
        if bore is not None:
            found.append(bore)
    return found


def _inset(vessel: Vessel, group: Indices, top: Indices) -> Floats:
    """Return places in triangles INSET_MM from both sides of their corner `top`, or as far as there is room.

    They lie on the bisector of the corner, and no farther along it than the middle of the circle inside.
    """
    rows = np.arange(len(group))
    corner, one, other = (
        vessel.vertices_mm[vessel.triangles[group][rows, (top + step) % 3]] for step in range(3)
    )
    ahead, back = one - corner, other - corner
    long, short = np.linalg.norm(ahead, axis=1), np.linalg.norm(back, axis=1)
    across = np.linalg.norm(one - other, axis=1)
    # Triangles that are all but a line have no room: their place is the corner.
    tiny = np.finfo(float).tiny
    inside = np.linalg.norm(np.cross(ahead, back), axis=1) / np.maximum(long + short + across, tiny)
    bisector = ahead / np.maximum(long, tiny)[:, None] + back / np.maximum(short, tiny)[:, None]
    cosine = np.linalg.norm(bisector, axis=1) / 2.0
    sine = np.sqrt(np.maximum(1.0 - cosine**2, tiny))
    far = np.minimum(INSET_MM, inside) / sine
    return np.asarray(corner + bisector * (far / np.maximum(2.0 * cosine, tiny))[:, None])


def _bore(vessel: Vessel, heights: Floats, up: Floats, start: tuple[Floats, Floats, int]) -> Bore | None:
    """Return the hole from a place along a direction into the metal; None where it meets no far side.

    T. Moeller and B. Trumbore, Fast, minimum storage ray/triangle intersection, J. Graphics Tools 2 (1997)
    21-28.
    """
    at, along, corner = start
    a, b, c = corners(vessel.vertices_mm, vessel.triangles)
    size = float(np.ptp(vessel.vertices_mm, axis=0).max())
    origin = at + INSIDE * size * along
    ab, ac = b - a, c - a
    across = np.cross(along, ac)
    faced = np.einsum("ij,ij->i", ab, across)
    with np.errstate(divide="ignore", invalid="ignore"):  # a triangle seen edge-on is not met
        u = np.einsum("ij,ij->i", origin - a, across) / faced
        turn = np.cross(origin - a, ab)
        v = turn @ along / faced
        through = np.einsum("ij,ij->i", ac, turn) / faced
        # The far side faces along the hole: its triangles run the other way round than seen from here.
        met = (faced < 0.0) & (u >= 0.0) & (v >= 0.0) & (u + v <= 1.0) & (through > 0.0)
    if not met.any():
        return None
    hit = int(np.flatnonzero(met)[np.argmin(through[met])])
    far = _highest(vessel.triangles[hit], heights)
    height = min(float(at @ up), float((at + through[hit] * along) @ up))
    return Bore(at, float(through[hit]), (corner, far), height)


def _highest(triangle: Indices, heights: Floats) -> int:
    return int(triangle[heights[triangle].argmax()])
