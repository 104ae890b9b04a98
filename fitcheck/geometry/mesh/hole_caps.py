"""Caps on holes that are too narrow to let air or liquid by.

A hole is known by its rim: a closed line of outward edges round a wall that faces the middle of the line, so
that whatever spans the line spans free space. That tells rims from all else that is sharp and small: edges
between the flats of a coarse bore turn inward, and the walls of a pin face away from its middle. What lies
between the rims is left out with them, so that the metal goes through; where a narrow line leads to something
wider, as in a countersink, it gets a lid of its own.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.mesh.connected_components import connected_components
from fitcheck.geometry.mesh.mesh_components import component_volumes_mm3, corners
from fitcheck.things.solid import Floats, Indices, Mask, Solid

# A hole narrower than this holds water by surface tension (common practice): it counts as shut.
NARROW_MM = 3.0
# An edge that turns outward by more than this is sharp: far above the 5 degrees between the flats of a drawn
# round shape, under what is left of a rim where a bore leans 75 degrees from square. A wall that faces the
# middle by less is no bore's. Both only say what is checked, for a lid on any narrow way is right.
SHARP_RAD = math.radians(15.0)
# A bore that leans so far has a rim so many times as long as the bore is wide.
LONGEST = 1.0 / math.sin(SHARP_RAD)
# Single precision, as in STL files, rounds coordinates by up to 6e-8 of the size, and text files often have
# seven digits: a hole under the limit by less than this share of the size is drawn at the limit.
ROUNDED = 1e-6
# Where both sides of a lid stay, the wall's is set back by this share of its width: nothing to see, and far
# above rounding, so that an upright line tells the one from the other.
THICKNESS = 0.01


@dataclass(frozen=True, slots=True, eq=False)
class _Mesh:
    """A closed mesh with its sharp edges.

    normals: (m, 3), of length 1, or 0 for a triangle without area. one, other: (e,) the two places
    (3 x triangle + corner) of every edge. sharp: (e,).
    """

    points_mm: Floats
    triangles: Indices
    normals: Floats
    one: Indices
    other: Indices
    sharp: Mask

    @property
    def corner(self) -> Indices:
        """Return the vertex (3m,) at every place."""
        return self.triangles.reshape(-1)

    def ends(self, places: Indices) -> tuple[Floats, Floats]:
        """Return where the edges at these places start and end, (k, 3) each."""
        return self.points_mm[self.corner[places]], self.points_mm[self.corner[_ahead(places)]]

    def groups(self, joins: Mask) -> Indices:
        """Return the number (m,) of the stretch of surface of each triangle, held together by these edges."""
        return connected_components(len(self.triangles), self.one[joins] // 3, self.other[joins] // 3)

    def fans(self, joins: Mask) -> Indices:
        """Return the number (3m,) of the corner of such a stretch that each place is at."""
        one, other = self.one[joins], self.other[joins]
        ends = np.concatenate([one, _ahead(one)]), np.concatenate([_ahead(other), other])
        return connected_components(self.triangles.size, *ends)


@dataclass(frozen=True, slots=True, eq=False)
class _Rim:
    """A closed line to be lidded.

    edges: (k,) places of its edges, on the wall's side. vertices: (k,) where they start. middle_mm, out: (3,)
    the middle of the lid and the way that it faces, out of the hole. along: (3,) the way through the hole.
    """

    edges: Indices
    vertices: Indices
    middle_mm: Floats
    out: Floats
    along: Floats
    width_mm: float


def holes_capped(solid: Solid, narrow_mm: float) -> Solid:
    """Return the solid with every hole narrower than this shut flush; itself if it has none.

    The width of a hole is that of the circle round its rim as seen along the hole, so that a bore is no wider
    for leaning, and a slit is as wide as it is long: liquid can leave at one end of it while air comes in at
    the other. A straight bore, through or blind, is filled. What widens, as a countersink does, gets a lid at
    each narrow edge round it: the narrowest decides. A space inside with no other way out stays, as a skin
    that faces it.

    Left open, for want of a clean rim at any of its edges: a hole that runs tangent into another face or
    meets another hole at the rim; one whose edges are all rounded in steps of less than `SHARP_RAD`; one
    whose middle does not see all of its rim; and one with something in it.
    """
    mesh = _mesh(solid)
    rims = _rims(mesh, narrow_mm)
    return _lidded(mesh, rims, narrow_mm, solid.source) if rims else solid


def _mesh(solid: Solid) -> _Mesh:
    """Return the mesh with its edges paired and the sharp ones told."""
    points, triangles = solid.vertices_mm, solid.triangles
    a, b, c = (np.take(points, triangles[:, k], axis=0) for k in range(3))
    normals = _cross(b - a, c - a)
    area = np.sqrt(np.einsum("ij,ij->i", normals, normals))
    normals /= np.where(area > 0.0, area, 1.0)[:, None]
    start, end = triangles.reshape(-1), triangles[:, [1, 2, 0]].reshape(-1)
    # A solid has each edge twice, so the places sorted by edge are pairs.
    pairs = np.argsort(np.minimum(start, end) * len(points) + np.maximum(start, end))
    one, other = pairs[0::2], pairs[1::2]
    n, m = (np.take(normals, side // 3, axis=0) for side in (one, other))
    sharp = np.einsum("ij,ij->i", n, m) < math.cos(SHARP_RAD)
    bent = np.flatnonzero(sharp)
    way = points[end[one[bent]]] - points[start[one[bent]]]
    sharp[bent] = np.einsum("ij,ij->i", _cross(n[bent], m[bent]), way) > 0.0
    return _Mesh(points, triangles, normals, one, other, sharp)


def _ahead(places: Indices) -> Indices:
    """Return the places next round their triangles, where the edges of these end."""
    return np.where(places % 3 == 2, places - 2, places + 1)


def _cross(u: Floats, v: Floats) -> Floats:
    """Return the cross products of rows; numpy's own take several times as long."""
    (a, b, c), (d, e, f) = u.T, v.T
    return np.column_stack([b * f - c * e, c * d - a * f, a * e - b * d])


def _rims(mesh: _Mesh, narrow_mm: float) -> list[_Rim]:
    """Return the rims to be lidded, the narrowest first; no two share a vertex."""
    loops = _loops(mesh, LONGEST * narrow_mm)
    if not loops:
        return []
    limit = narrow_mm - ROUNDED * float(np.ptp(mesh.points_mm, axis=0).max())
    rims = [rim for edges in loops if (rim := _rim(mesh, edges)) is not None and rim.width_mm < limit]
    a, b, c = corners(mesh.points_mm, mesh.triangles)
    boxes = np.minimum(np.minimum(a, b), c).T.copy(), np.maximum(np.maximum(a, b), c).T.copy()
    taken: set[int] = set()
    chosen = []
    for rim in sorted(rims, key=lambda rim: rim.width_mm):
        if taken.isdisjoint(rim.vertices.tolist()) and _is_free(mesh, boxes, rim):
            taken.update(rim.vertices.tolist())
            chosen.append(rim)
    return chosen


def _loops(mesh: _Mesh, reach_mm: float) -> list[Indices]:
    """Return the closed lines of sharp edges, as places of these, round walls that face the lines' middles.

    Only lines all of which is within reach of the middle.
    """
    wall = mesh.groups(~mesh.sharp)
    apart = mesh.sharp & (wall[mesh.one // 3] != wall[mesh.other // 3])
    start, end = mesh.ends(mesh.one[apart])
    # Most meshes end here: no three such edges are short enough.
    if np.count_nonzero(np.linalg.norm(end - start, axis=1) <= reach_mm) < 3:
        return []
    edges = np.concatenate([mesh.one[apart], mesh.other[apart]])
    # Round a stretch of surface, an edge goes on from the corner that it ends at.
    fans = mesh.fans(~apart)
    loop = connected_components(mesh.triangles.size, fans[edges], fans[_ahead(edges)])[fans[edges]]
    loop = np.unique(loop, return_inverse=True)[1]
    inside = np.flatnonzero(_is_hole(mesh, edges, loop, reach_mm)[loop])
    inside = inside[np.argsort(loop[inside], kind="stable")]
    return np.split(edges[inside], np.flatnonzero(np.diff(loop[inside])) + 1) if len(inside) else []


def _is_hole(mesh: _Mesh, edges: Indices, loop: Indices, reach_mm: float) -> Mask:
    """Return which loops (a number for each edge) are within reach and have walls that face the middle."""
    start, end = mesh.ends(edges)
    length = np.linalg.norm(end - start, axis=1)
    half = (start + end) / 2.0
    total = np.bincount(loop, weights=length)
    middle = np.column_stack([np.bincount(loop, weights=length * along) for along in half.T]) / total[:, None]
    inward = middle[loop] - half
    distance = np.linalg.norm(inward, axis=1)
    far = np.bincount(loop, weights=distance > reach_mm)
    facing = np.einsum("ij,ij->i", inward, mesh.normals[edges // 3]) / np.where(distance > 0.0, distance, 1.0)
    mostly = np.bincount(loop, weights=length * facing) / total
    hole: Mask = (far == 0) & (mostly > math.sin(SHARP_RAD))
    return hole


def _rim(mesh: _Mesh, edges: Indices) -> _Rim | None:
    """Return the rim along these edges, or None where its middle does not see all of it."""
    vertices = mesh.corner[edges]
    start, end = mesh.ends(edges)
    # The wall is to the left of its edges, so these turn counter-clockwise seen from outside the hole.
    mean = start.mean(axis=0)
    turned = np.cross(start - mean, end - mean).sum(axis=0)
    twice = float(np.linalg.norm(turned))
    if twice == 0.0 or len(np.unique(vertices)) < len(vertices):
        return None
    out = turned / twice
    share = np.cross(start - mean, end - mean) @ out / twice
    middle = share @ (start + end + mean) / 3.0
    if not (np.cross(start - middle, end - middle) @ out > 0.0).all():
        return None
    length = np.linalg.norm(end - start, axis=1)
    normals = mesh.normals[edges // 3]
    along = np.linalg.eigh((length[:, None] * normals).T @ normals)[1][:, 0]
    # A bore's walls run along it; those of a cone do not, and may name a way across it.
    ways = [way for way in (along, out) if abs(way @ out) >= math.sin(SHARP_RAD)]
    widths = [_width_mm(start - middle, way) for way in ways]
    best = int(np.argmin(widths))
    return _Rim(edges, vertices, middle, out, ways[best], widths[best])


def _from_line_mm(points: Floats, along: Floats) -> Floats:
    """Return how far each point (k, 3) is from the line through the origin along a way."""
    distances: Floats = np.linalg.norm(points - np.outer(points @ along, along), axis=1)
    return distances


def _width_mm(around: Floats, along: Floats) -> float:
    """Return the width of the circle round the origin that holds these points (k, 3), seen along a way."""
    return 2.0 * float(_from_line_mm(around, along).max())


def _is_free(mesh: _Mesh, boxes: tuple[Floats, Floats], rim: _Rim) -> bool:
    """Return whether nothing goes through the lid: no edge of a triangle away from the rim crosses it.

    boxes: the least and the most x, y, z (3, m) of every triangle. An edge crosses a triangle of the lid if
    its ends lie on either side and it passes all three edges the same way round.
    """
    one, other = mesh.ends(rim.edges)
    low, high = one.min(axis=0), one.max(axis=0)
    one, other = one - rim.middle_mm, other - rim.middle_mm
    near = np.arange(len(mesh.triangles))
    for k in range(3):
        near = near[(boxes[0][k, near] <= high[k]) & (boxes[1][k, near] >= low[k])]
    near = near[~np.isin(mesh.triangles[near], rim.vertices).any(axis=1)]
    ends = mesh.points_mm[mesh.triangles[near]] - rim.middle_mm
    start, end = ends.reshape(-1, 1, 3), np.roll(ends, -1, axis=1).reshape(-1, 1, 3)
    way = end - start
    across, moment = np.cross(one, other), np.cross(start, way)
    parted = (start * across).sum(axis=-1) * (end * across).sum(axis=-1) < 0.0
    first, last = (moment * one).sum(axis=-1), -(moment * other).sum(axis=-1)
    past = np.stack([first, last, (way * across).sum(axis=-1) - first - last])
    return not (parted & ((past >= 0.0).all(axis=0) | (past <= 0.0).all(axis=0))).any()


def _lidded(mesh: _Mesh, rims: list[_Rim], narrow_mm: float, source: str) -> Solid:
    """Return the solid cut along the rims, both sides of each closed by a lid, without the bores between."""
    edges = np.concatenate([rim.edges for rim in rims])
    whole = ~(np.isin(mesh.one, edges) | np.isin(mesh.other, edges))
    beyond = np.empty(mesh.triangles.size, dtype=np.int64)
    beyond[mesh.one], beyond[mesh.other] = mesh.other, mesh.one
    piece, fans = mesh.groups(whole), mesh.fans(whole)
    points = mesh.points_mm[mesh.corner[np.unique(fans, return_index=True)[1]]]
    # In turn, for each rim: the lid on the wall's side, then that on the other.
    sides = [side for rim in rims for side in (rim.edges, beyond[rim.edges])]
    lid = np.repeat(np.arange(len(sides)), [len(side) for side in sides])
    side = np.concatenate(sides)
    lids = np.column_stack([fans[_ahead(side)], fans[side], len(points) + lid])
    triangles = np.concatenate([fans.reshape(-1, 3), lids])
    owner = np.concatenate([piece, piece[side // 3]])
    sided = np.array([piece[side[0] // 3] for side in sides]).reshape(-1, 2)
    points = np.concatenate([points, np.repeat([rim.middle_mm for rim in rims], 2, axis=0)])
    gone = _bores((points, triangles, owner), rims, sided, narrow_mm)
    for number in np.flatnonzero(~gone[sided].any(axis=1)):
        rim = rims[number]
        points[np.unique(lids[lid == 2 * number])] -= THICKNESS * rim.width_mm * rim.out
    used, numbers = np.unique(triangles[~gone[owner]], return_inverse=True)
    return Solid(points[used], numbers.reshape(-1, 3), source)


def _bores(
    surface: tuple[Floats, Indices, Indices], rims: list[_Rim], sided: Indices, narrow_mm: float
) -> Mask:
    """Return which pieces of the lidded surface are bores.

    They enclose free space, all of it near the way through the widest of their lids.
    surface: vertices, triangles, and the piece of each. sided: (rims, 2) the pieces on the sides of each lid.
    """
    points, triangles, owner = surface
    hollow = component_volumes_mm3(points, triangles, owner) < 0.0
    bore = np.zeros(len(hollow), dtype=bool)
    order = np.argsort(owner, kind="stable")
    begins = np.searchsorted(owner[order], np.arange(len(hollow) + 1))
    # Rims come the narrowest first.
    for piece, back in zip(*np.unique(sided[::-1], return_index=True), strict=True):
        rim = rims[-1 - back // 2]
        own = triangles[order[begins[piece] : begins[piece + 1]]]
        away = _from_line_mm(points[own.reshape(-1)] - rim.middle_mm, rim.along)
        # Half of that is room for the bore; the rest, for what little its way may be off.
        bore[piece] = hollow[piece] and bool((away <= narrow_mm).all())
    return bore
