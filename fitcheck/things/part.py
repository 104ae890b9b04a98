"""A part as the shop knows it: its solid, its mass, and how it may be turned."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike

from fitcheck.things.gist import Noun, size_words
from fitcheck.things.solid import Floats, Solid, TriangleMesh, frozen_array
from fitcheck.things.springing import Springiness
from fitcheck.words.errors import Refused

HALF_TURN = math.pi
QUARTER_TURN = math.pi / 2.0
# Air that a part may catch where the shop has not said (common practice: a spoonful leaves no patch to mend).
AIR_AT_MOST_L = 0.05


@dataclass(frozen=True, slots=True, repr=False)
class Attitude(Noun):
    """The most a part may be tilted, rolled and swung either way from as drawn, in radians."""

    tilt_rad: float = QUARTER_TURN
    roll_rad: float = HALF_TURN
    swing_rad: float = HALF_TURN

    def __post_init__(self) -> None:
        for name in ("tilt", "roll", "swing"):
            if not getattr(self, f"{name}_rad") >= 0.0:
                raise Refused(f"{name}_at_most is negative", "write it as 0 deg or more")


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Part(Noun):
    """One kind of part.

    Parameters
    ----------
    name : str
        What the shop calls it.
    solid : Solid
        The metal, in the part's own frame.
    skin : Solid
        The metal with its sealed spaces filled, which is what displaces liquid.
    mass_kg : float
        Of one of them, dry.
    centre_mm : array_like, shape (3,)
        Centre of mass.
    size_mm : tuple of 3 floats
        Length, width and height as drawn.
    tape_mm : float, optional
        The true surface lies within half of this of the solid's. None: as the tank's rules have it.
    chord_mm : float
        How far round faces given as flats are off.
    attitude : Attitude
        How far it may turn.
    picks_mm : array_like, shape (k, 3)
        Places where it may be slung.
    count : int
        How many of it there are.
    air_at_most_l : float
        With more air caught than this it is not hung where another way does.
    notes : tuple of str
        What was mended or taken for granted when it was read.
    spring : Springiness, optional
        How its metal springs back, where the shop has said.

    Raises
    ------
    Refused
        For a mass that is not above 0 and a count under 1.

    See Also
    --------
    Part.from_mesh : a part from a mesh, weighed by its metal.

    Examples
    --------
    >>> import fitcheck as fc
    >>> fc.demo_shop().parts["P11"]
    <Part P11: 1200 x 200 x 200 mm, 4.35665 kg>
    """

    name: str
    solid: Solid
    skin: Solid
    mass_kg: float
    centre_mm: Floats
    size_mm: tuple[float, float, float]
    tape_mm: float | None = None
    chord_mm: float = 0.0
    attitude: Attitude = Attitude()
    picks_mm: Floats = field(default_factory=lambda: np.zeros((0, 3)))
    count: int = 1
    air_at_most_l: float = AIR_AT_MOST_L
    notes: tuple[str, ...] = ()
    spring: Springiness | None = None

    def __post_init__(self) -> None:
        if not (self.mass_kg > 0.0 and math.isfinite(self.mass_kg)):
            raise Refused(f"{self.name}: its mass is {self.mass_kg} kg", "give a mass above 0")
        if self.count < 1:
            raise Refused(f"{self.name}: count is {self.count}", "write 1 or more")
        object.__setattr__(self, "centre_mm", frozen_array(self.centre_mm, 3)[0])
        object.__setattr__(self, "picks_mm", frozen_array(self.picks_mm, 3))

    @classmethod
    def from_mesh(  # noqa: PLR0913 - the three ways of weighing it exclude one another
        cls,
        mesh: TriangleMesh | tuple[ArrayLike, ArrayLike] | Path | str,
        unit: str | None = None,
        *,
        metal: str | None = None,
        density_kg_l: float | None = None,
        mass_kg: float | None = None,
        sheet_mm: float | None = None,
        name: str | None = None,
    ) -> Part:
        """Return a part from a mesh, mended and weighed as a mesh in a shop file is.

        Corners in one place are joined, triangles without area are dropped, what is inside-out is turned and
        bodies that overlap are joined; nothing else is mended. The part's `notes` tell what was.

        Parameters
        ----------
        mesh : trimesh.Trimesh, str, Path, or tuple of vertices and triangles
            Anything with `vertices` (n, 3) and `faces` (m, 3) does; so does the path of a mesh file (.stl
            .obj .ply .3mf .glb .step .stp), and the two arrays as a tuple. Nothing of it is changed.
        unit : str, optional
            Of its numbers: "mm", "in", ... Must be given where the mesh does not say.
        metal : str, optional
            "aluminium", "steel", "stainless", "brass", "copper" or "titanium".
        density_kg_l : float, optional
            Of the metal, instead of its name.
        mass_kg : float, optional
            What it weighs on the scales, instead of either.
        sheet_mm : float, optional
            Thickness of the metal where the mesh is an open surface, which becomes the middle of the sheet.
        name : str, optional
            What the shop calls it; without, the name of the file, or "part".

        Returns
        -------
        Part
            With no limits on its attitude and no picks: `dataclasses.replace` sets those.

        Raises
        ------
        Refused
            For a mesh that is open (naming a place), is no number somewhere, encloses nothing, or does not
            say its unit; for a file that cannot be read; and unless its weight is given in one way.

        Examples
        --------
        >>> import numpy as np
        >>> import fitcheck as fc
        >>> corners = np.array([(0, 0, 0), (300, 0, 0), (0, 200, 0), (0, 0, 100)])
        >>> faces = np.array([(0, 2, 1), (0, 1, 3), (0, 3, 2), (1, 2, 3)])
        >>> wedge = fc.Part.from_mesh((corners, faces), "mm", metal="aluminium", name="wedge")
        >>> wedge
        <Part wedge: 300 x 200 x 100 mm, 2.7 kg>
        >>> fc.dip(wedge, fc.Tank.box("trough", (1000.0, 500.0, 400.0))).verdict
        'fits'
        """
        # Reading meshes stands over things, so it is reached by name.
        build = import_module("fitcheck.files.mesh_parts").part_from_mesh
        part: Part = build(mesh, unit, (metal, density_kg_l, mass_kg), sheet_mm, name)
        return part

    def _gist(self) -> str:
        of_them = f", {self.count} of them" if self.count > 1 else ""
        return f"{self.name}: {size_words(self.size_mm)}, {self.mass_kg:.6g} kg{of_them}"
