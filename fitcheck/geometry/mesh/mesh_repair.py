"""Repair of loose triangles, as they come from a file, into one surface, with a note of each change.

Only what is beyond doubt is mended: corners in one place are joined, triangles without area or on top of
another are dropped, and neighbours that face opposite ways are turned to agree.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from fitcheck.geometry.mesh.connected_components import connected_components
from fitcheck.geometry.mesh.mesh_components import directed_edges, is_closed, paired_edges
from fitcheck.things.solid import Floats, Indices
from fitcheck.words.errors import Refused

# Corners nearer than this share of the size are one where the mesh is open: single precision, as in STL
# files, rounds coordinates by up to 6e-8 of their size, and text files often have seven digits.
_SAME_PLACE = 1e-6
_ODD_FACTORS = np.array([0x9E3779B97F4A7C15, 0xC2B2AE3D27D4EB4F, 0x165667B19E3779F9], dtype=np.uint64)


@dataclass(frozen=True, slots=True, eq=False)
class Surface:
    """Triangles that share their corners and agree with their neighbours.

    vertices_mm: (n, 3). triangles: (m, 3). closed: every edge joins two triangles that run along it opposite
    ways. notes: what was mended, one line each.
    """

    vertices_mm: Floats
    triangles: Indices
    source: str
    closed: bool = False
    notes: tuple[str, ...] = ()


def joined_up(vertices_mm: Floats, triangles: Indices, source: str) -> Surface:
    """Return the surface of loose triangles, its corners joined and its triangles turned to agree.

    All vertices must be numbers (see `check_numbers`); those that no triangle uses are left out. Raises
    `Refused`, naming the place, for a mesh of nothing but triangles without area, and for a surface with one
    side (a Moebius strip), which cannot be made to agree.
    """
    surface = _without_spoiled(_joined(Surface(vertices_mm, triangles, source)))
    if not len(surface.triangles):
        raise Refused(f"{source}: all of its triangles are without area", "export the mesh again")
    if is_closed(surface.triangles):
        return _without_unused(replace(surface, closed=True))
    surface = _agreeing(_without_spoiled(_joined_nearby(surface)))
    return _without_unused(replace(surface, closed=is_closed(surface.triangles)))


def check_numbers(vertices: Floats, triangles: Indices, source: str) -> None:
    """Raise `Refused` for a mesh without triangles and for vertices that are not numbers or not there."""
    if not len(triangles):
        raise Refused(f"{source}: there are no triangles in it", "export it again, as a mesh")
    bad = np.flatnonzero(~np.isfinite(vertices).all(axis=1))
    if len(bad):
        raise Refused(
            f"{source}: vertex {bad[0] + 1} is not a number (NaN or infinite), {len(bad)} such in all",
            "export the mesh again or mend that vertex",
        )
    if triangles.min() < 0 or triangles.max() >= len(vertices):
        raise Refused(f"{source}: a triangle names a vertex that is not there", "export the mesh again")


def _joined(surface: Surface) -> Surface:
    """Return the surface with corners at exactly the same place made one."""
    vertices = surface.vertices_mm + 0.0  # -0.0 becomes 0.0
    bits = vertices.view(np.uint64)
    # One number for a place: three times quicker to sort than three. Any odd factors do.
    key = (bits ^ (bits >> np.uint64(29))) @ _ODD_FACTORS
    first, index = np.unique(key, return_index=True, return_inverse=True)[1:]
    if not (vertices[first][index] == vertices).all():
        # Two places came to one number, so the places themselves are sorted.
        first, index = np.unique(vertices, axis=0, return_index=True, return_inverse=True)[1:]
    return replace(surface, vertices_mm=vertices[first], triangles=index.reshape(-1)[surface.triangles])


def _joined_nearby(surface: Surface) -> Surface:
    """Return the surface with corners of open edges that lie almost in one place made one."""
    from scipy.spatial import cKDTree

    vertices, triangles = surface.vertices_mm, surface.triangles
    ahead, back = directed_edges(triangles)
    loose = np.unique(triangles.reshape(-1)[~np.isin(ahead, back)])
    near = _SAME_PLACE * float(np.ptp(vertices, axis=0).max())
    pairs = loose[cKDTree(vertices[loose]).query_pairs(near, output_type="ndarray")]
    if not len(pairs):
        return surface
    group = connected_components(len(vertices), *pairs.T)
    first = np.unique(group, return_index=True)[1]
    gone = len(vertices) - len(first)
    note = f"{_many(gone, 'corner')} within {near:.2g} mm of another joined to it"
    return replace(
        surface,
        vertices_mm=vertices[first],
        triangles=group[triangles],
        notes=(*surface.notes, note),
    )


def _without_spoiled(surface: Surface) -> Surface:
    """Return the surface without triangles that have a corner twice or lie on top of another."""
    triangles, notes = surface.triangles, list(surface.notes)
    a, b, c = triangles.T
    thin = (a == b) | (b == c) | (c == a)
    if thin.any():
        notes.append(f"{_many(int(thin.sum()), 'triangle')} without area dropped")
        triangles = triangles[~thin]
    if not len(triangles):
        return replace(surface, triangles=triangles, notes=tuple(notes))
    kept = _without_doubles(triangles, len(surface.vertices_mm))
    if len(kept) < len(triangles):
        notes.append(f"{_many(len(triangles) - len(kept), 'triangle')} on top of another dropped")
    return replace(surface, triangles=kept, notes=tuple(notes))


def _without_doubles(triangles: Indices, vertices: int) -> Indices:
    """Return the triangles without those that lie on top of another.

    Two that face opposite ways are a wall between bodies, and both go, where the mesh is closed without them;
    else they are the two faces of a sheet, and one stays.
    """
    one, two, three = np.sort(triangles, axis=1).T
    # Two sorts of whole numbers are far quicker than one of rows: a number for two corners, then for three.
    pair = np.unique(one * vertices + two, return_inverse=True)[1]
    first, group = np.unique(pair * vertices + three, return_index=True, return_inverse=True)[1:]
    if len(first) == len(triangles):
        return triangles
    a, b, c = triangles.T
    # Counted round, a turn of rising numbers rises twice and falls once; the other way round, the reverse.
    way = np.where((a < b).astype(int) + (b < c) + (c < a) == 2, 1, -1)
    net = np.bincount(group, weights=way)
    leading = np.flatnonzero(way == np.sign(net)[group])
    without_walls = triangles[leading[np.unique(group[leading], return_index=True)[1]]]
    if len(without_walls) and is_closed(without_walls):
        return without_walls
    return triangles[first]


def _agreeing(surface: Surface) -> Surface:
    """Return the surface with triangles turned so that any two that share an edge run along it opposite ways.

    Each triangle stands twice in a graph, as it is and turned; edges join the states that agree. A triangle
    joined to its own turned self lies on a one-sided surface. Edges of more than two triangles join nothing.
    """
    count = len(surface.triangles)
    one, other = paired_edges(surface.triangles)
    ahead = directed_edges(surface.triangles)[0]
    clash = ahead[one] == ahead[other]
    if not clash.any():
        return surface
    f, g = one // 3, other // 3
    rows = np.concatenate([f, f + count])
    columns = np.concatenate([np.where(clash, g + count, g), np.where(clash, g, g + count)])
    state = connected_components(2 * count, rows, columns)
    as_is, turned = state[:count], state[count:]
    if (as_is == turned).any():
        at = surface.vertices_mm[surface.triangles[np.argmax(as_is == turned), 0]]
        raise Refused(
            f"{surface.source}: the surface has one side only, at ({at[0]:.1f}, {at[1]:.1f}, {at[2]:.1f}) mm",
            "mend the mesh there so that it has an inside and an outside",
        )
    piece = np.minimum(as_is, turned)
    turn = as_is != piece
    # Of the two ways in which a piece agrees, the one that turns fewer triangles.
    most = np.bincount(piece, weights=turn) * 2.0 > np.bincount(piece)
    turn ^= most[piece]
    triangles = np.where(turn[:, None], surface.triangles[:, ::-1], surface.triangles)
    note = f"{_many(int(turn.sum()), 'triangle')} turned to face the same way as the neighbours"
    return replace(surface, triangles=triangles, notes=(*surface.notes, note))


def _without_unused(surface: Surface) -> Surface:
    """Return the surface without vertices that no triangle uses: they would count towards its size."""
    used = np.zeros(len(surface.vertices_mm), dtype=bool)
    used[surface.triangles] = True
    if used.all():
        return surface
    number = np.cumsum(used) - 1
    return replace(surface, vertices_mm=surface.vertices_mm[used], triangles=number[surface.triangles])


def _many(count: int, thing: str) -> str:
    return f"{count} {thing}{'' if count == 1 else 's'}"
