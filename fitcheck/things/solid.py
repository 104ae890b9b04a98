"""A closed, outward mesh in millimetres: the one shape every question is asked about."""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from typing import Any, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fitcheck.things.gist import Noun, size_words
from fitcheck.words.errors import Refused

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
Mask = NDArray[np.bool_]


class TriangleMesh(Protocol):
    """Anything that holds a mesh as trimesh does: `vertices` (n, 3) and `faces`, (m, 3) indices into them."""

    @property
    def vertices(self) -> Any:
        """Its corners, in its own unit."""

    @property
    def faces(self) -> Any:
        """Its triangles, counter-clockwise seen from outside."""


def frozen_array(values: ArrayLike, width: int) -> Floats:
    """Return a read-only float64 copy of shape (n, width)."""
    array = np.array(values, dtype=np.float64).reshape(-1, width)
    array.setflags(write=False)
    return array


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Solid(Noun):
    """A closed mesh whose triangles run counter-clockwise seen from outside.

    A closed inner skin (a sealed space) is part of the mesh, with its triangles facing the space.

    Parameters
    ----------
    vertices_mm : array_like, shape (n, 3)
        Its corners.
    triangles : array_like of int, shape (m, 3)
        Indices into the corners.
    source : str
        Where it came from, for messages.

    Raises
    ------
    Refused
        For NaN, for an edge without exactly two opposite triangles, for a mesh that is inside-out, and for
        one that encloses nothing; the message names the place.

    Examples
    --------
    >>> import fitcheck as fc
    >>> corners = [(0, 0, 0), (300, 0, 0), (0, 200, 0), (0, 0, 100)]
    >>> fc.Solid(corners, [(0, 2, 1), (0, 1, 3), (0, 3, 2), (1, 2, 3)], "corner")
    <Solid corner: 300 x 200 x 100 mm, 4 triangles>
    """

    vertices_mm: Floats
    triangles: Indices
    source: str = "solid"

    def __post_init__(self) -> None:
        vertices = frozen_array(self.vertices_mm, 3)
        triangles = np.array(self.triangles, dtype=np.int64).reshape(-1, 3)
        triangles.setflags(write=False)
        object.__setattr__(self, "vertices_mm", vertices)
        object.__setattr__(self, "triangles", triangles)
        _check_numbers(vertices, triangles, self.source)
        _check_edges(vertices, triangles, self.source)
        _check_outward(vertices, triangles, self.source)

    def moved(self, rotation: Floats, shift_mm: Floats) -> Solid:
        """Return this solid turned by `rotation` (3, 3), then shifted by `shift_mm` (3,)."""
        return Solid(self.vertices_mm @ rotation.T + shift_mm, self.triangles, self.source)

    @classmethod
    def from_trimesh(cls, mesh: TriangleMesh, unit: str | None = None, source: str = "mesh") -> Solid:
        """Return the solid of a trimesh mesh as it is: nothing is mended (`Part.from_mesh` does that).

        Parameters
        ----------
        mesh : trimesh.Trimesh
            Or anything with `vertices` and `faces`.
        unit : str, optional
            Of its numbers: "mm", "in", ... Must be given where the mesh does not say (`mesh.units`).
        source : str
            What messages call it.

        Returns
        -------
        Solid
            In mm.

        Raises
        ------
        Refused
            As `Solid` does, and where the unit is neither given nor said by the mesh.

        Examples
        --------
        >>> import trimesh
        >>> import fitcheck as fc
        >>> fc.Solid.from_trimesh(trimesh.creation.box((3.0, 2.0, 1.0)), unit="cm")
        <Solid mesh: 30 x 20 x 10 mm, 12 triangles>
        """
        # Meshes of other libraries stand over things, so they are reached by name.
        solid: Solid = import_module("fitcheck.files.mesh_parts").solid_from_trimesh(mesh, unit, source)
        return solid

    def to_trimesh(self) -> Any:
        """Return the same mesh as a `trimesh.Trimesh`, in mm, which its `units` says.

        Returns
        -------
        trimesh.Trimesh
            A copy: what is done to it does nothing to the solid. Corners and triangles keep their order.

        Raises
        ------
        ImportError
            Where trimesh is not installed; fitcheck brings it.

        Examples
        --------
        >>> import fitcheck as fc
        >>> mesh = fc.demo_shop().parts["P11"].solid.to_trimesh()
        >>> mesh.is_watertight, mesh.units
        (True, 'mm')
        """
        # Meshes of other libraries stand over things, so they are reached by name.
        return import_module("fitcheck.files.mesh_parts").trimesh_of(self)

    def _gist(self) -> str:
        size = size_words(np.ptp(self.vertices_mm, axis=0).tolist())
        return f"{self.source}: {size}, {len(self.triangles)} triangles"


def _check_numbers(vertices: Floats, triangles: Indices, source: str) -> None:
    bad = np.flatnonzero(~np.isfinite(vertices).all(axis=1))
    if len(bad):
        raise Refused(
            f"{source}: vertex {bad[0] + 1} is not a number (NaN or infinite), {len(bad)} such in all",
            "export the mesh again or mend that vertex",
        )
    if len(triangles) < 4:
        raise Refused(f"{source}: {len(triangles)} triangles cannot enclose a space", "give a closed mesh")
    if triangles.min() < 0 or triangles.max() >= len(vertices):
        raise Refused(f"{source}: a triangle names a vertex that is not there", "export the mesh again")


def _check_edges(vertices: Floats, triangles: Indices, source: str) -> None:
    """Each directed edge must occur once, and its reverse once."""
    count = len(vertices)
    start = triangles.reshape(-1)
    end = np.roll(triangles, -1, axis=1).reshape(-1)
    ahead = np.sort(start * count + end)
    back = np.sort(end * count + start)
    if np.array_equal(ahead, back) and (len(ahead) < 2 or (ahead[1:] != ahead[:-1]).all()):
        return
    unmatched = np.setdiff1d(ahead, back)
    place = unmatched if len(unmatched) else ahead[1:][ahead[1:] == ahead[:-1]]
    if not len(place):
        place = np.setdiff1d(back, ahead)
    at = vertices[place[0] // count]
    kind = "open edges" if len(unmatched) else "edges shared by more than two triangles"
    raise Refused(
        f"{source}: the mesh is open: {len(place)} {kind}, one at ({at[0]:.1f}, {at[1]:.1f}, {at[2]:.1f}) mm",
        'close the mesh, or for thin sheet state its thickness with sheet = "..."',
    )


def _check_outward(vertices: Floats, triangles: Indices, source: str) -> None:
    corners = vertices - vertices.mean(axis=0)
    a, b, c = (corners[triangles[:, i]] for i in range(3))
    volume = float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum()) / 6.0
    size = float(np.ptp(vertices, axis=0).max())
    # Rounding in the sum above is about 1e-16 of size^3 a triangle; anything near that is no volume.
    if abs(volume) <= 1e-12 * size**3:
        raise Refused(f"{source}: the mesh encloses no volume", "give a closed mesh of a solid thing")
    if volume < 0.0:
        raise Refused(f"{source}: the mesh is inside-out", "flip its triangles so that they face outward")
