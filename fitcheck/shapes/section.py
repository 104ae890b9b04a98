"""A shell box with one face open and baffles inside, as of a tank section."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fitcheck.shapes.bricks import bricks
from fitcheck.shapes.shape import Shape, Size, above_zero, under
from fitcheck.things.solid import Floats
from fitcheck.words.errors import Refused

Face = Literal["+x", "-x", "+y", "-y", "+z", "-z"]


def section(size_mm: Size, wall_mm: float, open_face: Face = "+y", baffles: int = 0) -> Shape:
    """Return the box of these outside sizes and this wall, without its open face.

    baffles: sheets of the same wall right across x, evenly spaced, so that all bays are as long. Raises
    `Refused` for walls that leave no space, and for baffles behind an open end, which would seal the bays.
    """
    above_zero("size", *size_mm)
    above_zero("wall", wall_mm)
    if baffles < 0:
        raise Refused(f"baffles is {baffles}", "write 0 or more")
    open_axis = "xyz".index(open_face[1])
    if baffles and open_axis == 0:
        raise Refused(
            f'baffles across x would seal the bays behind open = "{open_face}"',
            "open a y or z face, or leave baffles out",
        )
    planes, is_wall = [], []
    for axis, name in enumerate(("length", "width", "height")):
        walls = 2 - (axis == open_axis) + (baffles if axis == 0 else 0)
        under("wall", wall_mm, size_mm[axis] / walls, f"the {name} shared by {walls} walls")
        edges, solid = _walls_and_bays(size_mm[axis], wall_mm, walls, axis == open_axis)
        if open_face == f"-{'xyz'[axis]}":
            edges, solid = size_mm[axis] - edges[::-1], solid[::-1]
        planes.append(edges)
        is_wall.append(solid)
    filled = is_wall[0][:, None, None] | is_wall[1][None, :, None] | is_wall[2][None, None, :]
    return Shape(bricks((planes[0], planes[1], planes[2]), filled, "section"), size_mm)


def _walls_and_bays(size: float, wall: float, walls: int, is_open: bool) -> tuple[Floats, NDArray[np.bool_]]:
    """Return the planes between walls and bays along one axis, and which gaps between planes are wall.

    An open axis has no wall at its high end.
    """
    bays = walls if is_open else walls - 1
    bay = (size - walls * wall) / bays
    starts = np.arange(walls) * (wall + bay)
    edges = np.column_stack([starts, starts + wall]).reshape(-1)
    if is_open:
        edges = np.append(edges, size)
    else:
        edges[-1] = size
    return edges, np.arange(len(edges) - 1) % 2 == 0
