"""Outline of a solid from one side: silhouette, visible edges, and hatching.

Flat regions are `manifold3d.CrossSection`: they cut and grow exactly and quickly.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np

from fitcheck.things.solid import Floats, Indices, Solid
from fitcheck.words.errors import Refused

if TYPE_CHECKING:
    from manifold3d import CrossSection, Manifold

# Two faces that meet at more than this are drawn with a line between them (common practice in drawing
# programs is 20 to 40 degrees); flats that stand for a round face meet at 5 degrees.
_SHARP_COSINE = math.cos(math.pi / 6.0)


class Mesh(Protocol):
    """What can be seen: vertices (n, 3) and triangles (m, 3) of a closed surface, facing out."""

    @property
    def vertices_mm(self) -> Floats:
        """The vertices (n, 3)."""

    @property
    def triangles(self) -> Indices:
        """The triangles (m, 3), as indices into them."""


@dataclass(frozen=True, slots=True)
class View:
    """A look along one axis: which axis runs across the paper, which up, and which towards the reader."""

    across: int
    up: int
    toward: int
    sign: float

    def seen(self, points_mm: Floats) -> Floats:
        """Return points (n, 3) as (across, up, towards the reader), (n, 3): a proper turn."""
        return np.column_stack(
            [points_mm[:, self.across], points_mm[:, self.up], self.sign * points_mm[:, self.toward]]
        )


UP = 2
"""The tank's upright axis."""
SIDE = View(0, 2, 1, -1.0)
"""Length by height, seen from the tank's low-y side."""
END = View(1, 2, 0, 1.0)
"""Width by height, seen from the tank's high-x end: the right hand end of the side view."""
PLAN = View(0, 1, 2, 1.0)
"""Length by width, seen from above."""


def body_of(vertices_mm: Floats, triangles: Indices, source: str) -> Manifold:
    """Return a mesh as a body that can be cut; raises `Refused` where it is not closed."""
    from manifold3d import Error, Manifold, Mesh64

    # Copies: the library does not take read-only arrays.
    body = Manifold(Mesh64(np.array(vertices_mm), np.array(triangles, dtype=np.uint64)))
    if body.status() != Error.NoError:
        raise Refused(f"{source}: cannot be drawn ({body.status().name})", "export the mesh again")
    return body


def silhouette(solid: Solid, view: View) -> CrossSection:
    """Return the outline of the solid's shadow in the view, holes that go right through included."""
    return body_of(view.seen(solid.vertices_mm), solid.triangles, solid.source).project()


def rings_of(region: CrossSection) -> tuple[Floats, ...]:
    """Return the rings (n, 2) of a region; holes run clockwise."""
    return tuple(np.asarray(ring, dtype=np.float64) for ring in region.to_polygons())


def region_of(rings: Sequence[Floats]) -> CrossSection:
    """Return the region inside rings of which holes run clockwise."""
    from manifold3d import CrossSection, FillRule

    return CrossSection([np.asarray(ring) for ring in rings], FillRule.Positive)


def half_plane(normal: Floats, offset: float, reach: float) -> CrossSection:
    """Return the points p with normal . p <= offset, as far as `reach` from the line's nearest point."""
    along = np.array([-normal[1], normal[0]])
    foot = normal * offset
    far = -2.0 * reach * normal
    ring = [
        foot + reach * along,
        foot + reach * along + far,
        foot - reach * along + far,
        foot - reach * along,
    ]
    return region_of([np.array(ring)])


def below(region: CrossSection, height_mm: float) -> CrossSection:
    """Return what of the region lies under a height."""
    left, low, right, high = region.bounds()
    reach = 4.0 * (abs(left) + abs(right) + abs(low) + abs(high) + abs(height_mm))
    return region ^ half_plane(np.array([0.0, 1.0]), height_mm, reach)


def hatched(rings: Iterable[Floats], step: float, *, rising: bool = True) -> tuple[Floats, ...]:
    """Return lines at 45 degrees, `step` apart, clipped to the rings by the even-odd rule."""
    turn = math.sqrt(0.5) * np.array([[1.0, 1.0], [-1.0, 1.0]] if rising else [[1.0, -1.0], [1.0, 1.0]])
    turned = [np.asarray(ring) @ turn.T for ring in rings]
    if not turned:
        return ()
    start = np.vstack(turned)
    end = np.vstack([np.roll(ring, -1, axis=0) for ring in turned])
    lines: list[Floats] = []
    first = math.ceil(start[:, 1].min() / step)
    last = math.floor(start[:, 1].max() / step)
    for row in range(first, last + 1):
        y = row * step
        crossed = (start[:, 1] > y) != (end[:, 1] > y)
        a, b = start[crossed], end[crossed]
        x = np.sort(a[:, 0] + (y - a[:, 1]) / (b[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0]))
        pairs = zip(x[::2], x[1::2], strict=True)
        lines.extend(np.array([[x0, y], [x1, y]]) @ turn for x0, x1 in pairs if x1 > x0)
    return tuple(lines)


def visible_edges(solid: Mesh, view: View, cell_mm: float) -> Floats:
    """Return the pieces (k, 2, 2) of sharp edges and of bends in the surface that the reader can see.

    What hides what is decided on a grid of `cell_mm`, which should be about the finest line drawn.
    """
    seen = view.seen(solid.vertices_mm)
    edges = _drawn_edges(seen, solid.triangles)
    low = seen[:, :2].min(axis=0)
    grid = _front(seen, solid.triangles, low, cell_mm)
    return _seen_pieces(seen[edges], grid, low, cell_mm)


def _drawn_edges(seen: Floats, triangles: Indices) -> Indices:
    """Return the edges (k, 2) that are drawn: sharp ones, and bends where the surface turns away."""
    corner = seen[triangles]
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    normal = np.divide(normal, length, out=np.zeros_like(normal), where=length > 0.0)
    start = triangles.reshape(-1)
    end = np.roll(triangles, -1, axis=1).reshape(-1)
    face = np.repeat(np.arange(len(triangles)), 3)
    # Each edge occurs once each way (a solid's mesh is closed), so the two lists match when sorted.
    ahead = np.flatnonzero(start < end)
    ahead = ahead[np.lexsort((end[ahead], start[ahead]))]
    back = np.flatnonzero(start > end)
    back = back[np.lexsort((start[back], end[back]))]
    one, two = normal[face[ahead]], normal[face[back]]
    sharp = np.einsum("ij,ij->i", one, two) < _SHARP_COSINE
    turns = (one[:, 2] > 0.0) != (two[:, 2] > 0.0)
    # Rounding of a face seen edge-on is about 1e-16; a face within 1e-9 of edge-on shows no surface.
    facing = (one[:, 2] > 1e-9) | (two[:, 2] > 1e-9)
    keep = ahead[(sharp | turns) & facing]
    return np.column_stack([start[keep], end[keep]])


def _front(seen: Floats, triangles: Indices, low: Floats, cell: float) -> Floats:
    """Return the grid (columns, rows) of how near to the reader the foremost surface lies, -inf for none."""
    corner = (seen[triangles] - [*low, 0.0]) / [cell, cell, 1.0]
    shape = np.floor(np.ptp(seen[:, :2], axis=0) / cell).astype(int) + 2
    grid = np.full(tuple(shape), -np.inf)
    u, v = corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0]
    corner = corner[u[:, 0] * v[:, 1] > u[:, 1] * v[:, 0]]
    # Cell (i, j) has its middle at (i, j): rows that a triangle meets, then the cells of each row.
    first = np.ceil(corner[:, :, 1].min(axis=1)).astype(int)
    rows = np.floor(corner[:, :, 1].max(axis=1)).astype(int) - first + 1
    owner, step = _counted(rows)
    row = first[owner] + step
    left, right = _row_ends(corner[owner], row)
    start = np.ceil(left - 0.5).astype(int)
    owner2, step = _counted(np.floor(right + 0.5).astype(int) - start + 1)
    column = np.clip(start[owner2] + step, 0, shape[0] - 1)
    line = row[owner2]
    depth = _depth(corner[owner], row, owner2, column)
    np.maximum.at(grid, (column, line), depth)
    return grid


def _counted(counts: Indices) -> tuple[Indices, Indices]:
    """Return, for counts (n,), the owner and the running number of each thing counted."""
    counts = np.maximum(counts, 0)
    owner = np.repeat(np.arange(len(counts)), counts)
    return owner, np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts, counts)


def _row_ends(corner: Floats, row: Indices) -> tuple[Floats, Floats]:
    """Return where each row enters and leaves its triangle (k, 3, 3)."""
    left = np.full(len(row), np.inf)
    right = np.full(len(row), -np.inf)
    for i, j in ((0, 1), (1, 2), (2, 0)):
        a, b = corner[:, i], corner[:, j]
        rise = b[:, 1] - a[:, 1]
        meets = (np.minimum(a[:, 1], b[:, 1]) <= row) & (row <= np.maximum(a[:, 1], b[:, 1]))
        share = np.divide(row - a[:, 1], rise, out=np.zeros(len(row)), where=rise != 0.0)
        x = a[:, 0] + share * (b[:, 0] - a[:, 0])
        level = meets & (rise == 0.0)
        left = np.where(meets, np.minimum(left, np.where(level, np.minimum(a[:, 0], b[:, 0]), x)), left)
        right = np.where(meets, np.maximum(right, np.where(level, np.maximum(a[:, 0], b[:, 0]), x)), right)
    return np.where(np.isfinite(left), left, 1.0), np.where(np.isfinite(right), right, -1.0)


def _depth(corner: Floats, row: Indices, owner: Indices, column: Indices) -> Floats:
    """Return the depth of a triangle's plane at cells (n,) of rows (k,), each of a triangle (k, 3, 3).

    owner: which of the rows each cell is in. Depths are kept between those of the triangle's own corners.
    """
    a, u, v = corner[:, 0], corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0]
    area = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    a_column = (u[:, 2] * v[:, 1] - v[:, 2] * u[:, 1]) / area
    a_row = (v[:, 2] * u[:, 0] - u[:, 2] * v[:, 0]) / area
    first = a[:, 2] + a_row * (row - a[:, 1])
    depth = first[owner] + a_column[owner] * (column - a[owner, 0])
    nearest: Floats = np.clip(depth, corner[:, :, 2].min(axis=1)[owner], corner[:, :, 2].max(axis=1)[owner])
    return nearest


def _seen_pieces(edges: Floats, grid: Floats, low: Floats, cell: float) -> Floats:
    """Return the parts of edges (n, 2, 3) that no surface hides, as (k, 2, 2)."""
    length = np.linalg.norm(edges[:, 1, :2] - edges[:, 0, :2], axis=1)
    counts = np.ceil(length / cell).astype(int)
    owner, step = _counted(counts)
    share = (step + 0.5) / counts[owner]
    at = edges[owner, 0] + share[:, None] * (edges[owner, 1] - edges[owner, 0])
    column, line = np.rint((at[:, :2] - low) / cell).astype(int).T
    # One row of cells more all round, with nothing in them.
    padded = np.pad(grid, 1, constant_values=-np.inf)
    around = np.minimum.reduce([padded[column + i, line + j] for i in range(3) for j in range(3)])
    # A surface hides an edge only if it is nearer in the cell and in all cells around it: a steep face
    # varies by more than its own thickness in one cell. Rounding of depths is far under 1e-6 of a cell.
    seen = at[:, 2] >= around - 1e-6 * cell
    same = owner[1:] == owner[:-1]
    begin = np.flatnonzero(seen & np.r_[True, ~(seen[:-1] & same)][: len(seen)])
    finish = np.flatnonzero(seen & np.r_[~(seen[1:] & same), True][: len(seen)])
    whole = owner[begin]
    start = edges[whole, 0, :2] + (step[begin] / counts[whole])[:, None] * _reach(edges[whole])
    end = edges[whole, 0, :2] + ((step[finish] + 1) / counts[whole])[:, None] * _reach(edges[whole])
    return np.stack([start, end], axis=1)


def _reach(edges: Floats) -> Floats:
    reach: Floats = edges[:, 1, :2] - edges[:, 0, :2]
    return reach
