"""Skins of a mesh sorted into bodies: outward, with their sealed spaces, overlapping ones joined."""

from __future__ import annotations

from dataclasses import replace
from typing import NoReturn

import numpy as np
from numpy.typing import NDArray

from fitcheck.geometry.mesh.connected_components import connected_components
from fitcheck.geometry.mesh.mesh_components import (
    component_volumes_mm3,
    components_of,
    directed_edges,
    is_around,
    is_closed,
    paired_edges,
)
from fitcheck.geometry.mesh.mesh_repair import Surface
from fitcheck.shapes.manifold import manifold_of, solid_of
from fitcheck.things.solid import Floats, Indices, Solid
from fitcheck.words.errors import Refused

Flags = NDArray[np.bool_]


def solid_from(surface: Surface) -> tuple[Solid, tuple[str, ...]]:
    """Return the surface as a solid, and the notes of all that was mended.

    A body that is inside-out is turned. A closed skin inside another bounds a sealed space where it faces
    inward, and is more metal where it faces outward. Bodies that overlap are joined, so that no metal counts
    twice. Raises `Refused`, naming the place, for a surface that is open.
    """
    apart = surface if surface.closed else _kept_apart(surface)
    if not apart.closed:
        _refuse_open(surface)
    vertices, triangles = apart.vertices_mm, apart.triangles
    labels = components_of(triangles)
    volumes = component_volumes_mm3(vertices, triangles, labels)
    within = _within(vertices, triangles, labels)
    wrong = (volumes < 0.0) & ~within.any(axis=1)
    notes = surface.notes
    if wrong.any():
        turn = wrong | within[:, wrong].any(axis=1)
        triangles = np.where(turn[labels][:, None], triangles[:, ::-1], triangles)
        volumes = np.where(turn, -volumes, volumes)
        whose = "the mesh was" if wrong.all() else f"{wrong.sum()} of its bodies were"
        notes = (*notes, f"{whose} inside-out, and turned to face outward")
    solid = Solid(vertices, triangles, surface.source)
    joined = _joined(solid, labels, volumes, within)
    if joined is None:
        return solid, notes
    bodies = int((volumes > 0.0).sum())
    return joined, (
        *notes,
        f"{bodies} bodies overlap: they were joined, so that common metal counts once",
    )


def _refuse_open(surface: Surface) -> NoReturn:
    """Raise `Refused`, saying how many edges are open or shared by too many triangles, and where one is."""
    ahead, back = directed_edges(surface.triangles)
    edges, first, times = np.unique(np.minimum(ahead, back), return_index=True, return_counts=True)
    alone = times == 1
    kind = "open edges" if alone.any() else "edges where triangles meet that cannot be told apart"
    places = first[alone] if alone.any() else first[times != 2]
    at = surface.vertices_mm[surface.triangles.reshape(-1)[places[0]]]
    raise Refused(
        f"{surface.source}: the mesh is open: it has {len(places)} {kind} (of {len(edges)} in all), one at "
        f"({at[0]:.1f}, {at[1]:.1f}, {at[2]:.1f}) mm",
        'close the mesh, or for thin sheet state its thickness with sheet = "..."',
    )


def _kept_apart(surface: Surface) -> Surface:
    """Return the surface with a corner for each body where bodies touch in a common edge or corner.

    Triangles hold together where they share an edge in twos, and where more meet in one as `_wedges` says.
    """
    triangles = surface.triangles
    one, other = paired_edges(triangles)
    wedges = _wedges(surface)
    one, other = np.append(one, wedges[:, 0]), np.append(other, wedges[:, 1])
    # An edge starts at the corner of the same number and ends at the triangle's next corner.
    one_end, other_end = (3 * (edge // 3) + (edge + 1) % 3 for edge in (one, other))
    corner = connected_components(triangles.size, np.append(one, one_end), np.append(other_end, other))
    first = np.unique(corner, return_index=True)[1]
    vertices = surface.vertices_mm[triangles.reshape(-1)[first]]
    own = corner.reshape(-1, 3)
    return replace(surface, vertices_mm=vertices, triangles=own, closed=is_closed(own))


def _wedges(surface: Surface) -> Indices:
    """Return (k, 2) pairs of triangles' edges that bound one wedge of metal, where more than two meet.

    Seen along the edge, metal lies clockwise of a triangle that runs along it and counter-clockwise of one
    that runs against it; so one that runs against it and the next counter-clockwise bound a wedge.
    """
    edge = np.minimum(*directed_edges(surface.triangles))
    order = np.argsort(edge, kind="stable")
    starts, times = np.unique(edge[order], return_index=True, return_counts=True)[1:]
    pairs: list[tuple[int, int]] = []
    for start, count in zip(starts[times > 2], times[times > 2], strict=True):
        places = order[start : start + count]
        along, angle = _around_edge(surface, places)
        # Face to face, two have the same angle but for rounding: the one that runs along comes first.
        ranked = np.lexsort([~along, np.round(angle, 6)])
        ranked = np.roll(ranked, -int(np.argmax(~along[ranked])))
        against, ahead = ranked[0::2], ranked[1::2]
        if count % 2 == 0 and not along[against].any() and along[ahead].all():
            pairs += zip(places[against].tolist(), places[ahead].tolist(), strict=True)
    return np.array(pairs, dtype=np.int64).reshape(-1, 2)


def _around_edge(surface: Surface, places: Indices) -> tuple[Flags, Floats]:
    """Return for triangles that share an edge whether each runs along it, and where round it each lies."""
    triangle, k = surface.triangles[places // 3], places % 3
    rows = np.arange(len(places))
    start, end, apex = (surface.vertices_mm[triangle[rows, (k + step) % 3]] for step in range(3))
    along = (start == start[0]).all(axis=1)
    axis = end[0] - start[0]
    out = apex - start[0]
    out = out - np.outer(out @ axis / (axis @ axis), axis)
    side = np.cross(axis / np.linalg.norm(axis), out[0])
    return along, np.arctan2(out @ side, out @ out[0]) % (2.0 * np.pi)


def _within(vertices: Floats, triangles: Indices, labels: Indices) -> Flags:
    """Return the (k, k) table of which skin (row) lies inside which (column)."""
    if not labels.any():
        return np.zeros((1, 1), dtype=bool)
    low, high = _boxes(vertices, triangles, labels)
    inside = (low[:, None] >= low[None]) & (high[:, None] <= high[None])
    within: Flags = np.asarray(inside.all(axis=2))
    np.fill_diagonal(within, val=False)
    first = np.unique(labels, return_index=True)[1]
    for inner, outer in np.argwhere(within):
        point = vertices[triangles[first[inner], 0]]
        within[inner, outer] = is_around(point, vertices, triangles[labels == outer])
    return within


def _boxes(vertices: Floats, triangles: Indices, labels: Indices) -> tuple[Floats, Floats]:
    """Return the low and high corners (k, 3) of the box around each skin."""
    order = np.argsort(labels, kind="stable")
    starts = np.unique(labels[order], return_index=True)[1]
    corner = vertices[triangles[order]]
    return np.minimum.reduceat(corner.min(axis=1), starts), np.maximum.reduceat(corner.max(axis=1), starts)


def _joined(solid: Solid, labels: Indices, volumes: Floats, within: Flags) -> Solid | None:
    """Return the bodies of the solid joined into one, or None where none overlaps another."""
    metal = np.flatnonzero(volumes > 0.0)
    if len(metal) == 1:
        return None
    low, high = (corner[metal] for corner in _boxes(solid.vertices_mm, solid.triangles, labels))
    meet = (low[:, None] < high[None]).all(axis=2)
    if np.count_nonzero(meet & meet.T) == len(metal):
        return None  # no box meets any but itself
    from manifold3d import Manifold, OpType

    owner = np.arange(len(volumes))
    for space in np.flatnonzero(volumes < 0.0):
        around = metal[within[space, metal]]
        owner[space] = around[np.argmin(volumes[around])]
    bodies = []
    for body in metal:
        used, index = np.unique(solid.triangles[owner[labels] == body], return_inverse=True)
        bodies.append(manifold_of(Solid(solid.vertices_mm[used], index.reshape(-1, 3), solid.source)))
    together = Manifold.batch_boolean(bodies, OpType.Add)
    apart = sum(body.volume() for body in bodies)
    # manifold3d keeps volumes to about 1e-12 of the whole; a billionth is rounding, or a graze.
    if together.volume() >= apart * (1.0 - 1e-9):
        return None
    return solid_of(together, solid.source)
