"""Charts of rotations: three angles that stay clear of gimbal lock near upright.

Stood on end, at a tilt of 90 degrees, a part is turned about one and the same line by swing and by roll: all
pairs of the two with one sum are one pose, and near there boxes of angles are far too many. So where every
rotation is allowed only tilts up to 45 degrees are written as elsewhere. For the others the axes of the part
are named anew, in the order height, length, width: with `axes` the (3, 3) matrix that does so,

    tank_from_part = Rz(swing) . Ry(-tilt) . Rx(roll) . axes.

There the length rises by an angle whose sine is cos(tilt) . sin(roll). For that to be 45 degrees or more, up
or down, tilt must be within 45 degrees, and roll within 45 degrees of a quarter turn either way: two boxes of
rotations, which hold all that is near upright and little more.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.rotations.rotation_cells import Allowed, Cells, rotations
from fitcheck.things.pose import angles_from
from fitcheck.things.solid import Floats

EIGHTH, QUARTER, HALF = math.pi / 4.0, math.pi / 2.0, math.pi
AS_DRAWN = np.eye(3)
HEIGHT_FIRST = np.array([[0.0, 0.0, 1.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])


@dataclass(frozen=True, slots=True, eq=False)
class Chart:
    """Rotations (swing, tilt, roll) of a part whose axes are first named anew by axes (3, 3)."""

    axes: Floats
    turns: tuple[Allowed, ...]

    @property
    def as_drawn(self) -> bool:
        """Whether the axes are those of the part as drawn."""
        return self.axes is AS_DRAWN

    def cells(self, widest_rad: float) -> Cells:
        """Return cells, none wider than `widest_rad`, that cover all of it."""
        first, *others = (turns.cells(widest_rad) for turns in self.turns)
        for cells in others:
            first = first.joined(cells)
        return first

    def poses_as_drawn(self, poses: Floats) -> Floats:
        """Return poses (n, 6), written in this chart, with the swing, tilt and roll of the part as drawn."""
        if self.as_drawn:
            return poses
        angles = [angles_from(turn) for turn in rotations(poses[:, :3]) @ self.axes]
        turned = np.array([[each.swing_rad, each.tilt_rad, each.roll_rad] for each in angles]).reshape(-1, 3)
        return np.column_stack([turned, poses[:, 3:]])


def charts_of(allowed: Allowed) -> tuple[Chart, ...]:
    """Return charts in one or another of which every allowed rotation is, and none that is not allowed.

    Where not every rotation is allowed that is one chart, all of it as drawn.
    """
    every = np.array([HALF, QUARTER, HALF])
    if (allowed.low_rad > -every).any() or (allowed.high_rad < every).any():
        return (Chart(AS_DRAWN, (allowed,)),)
    level = np.array([HALF, EIGHTH, HALF])
    on_end = tuple(
        Allowed(np.array([-HALF, -EIGHTH, roll - EIGHTH]), np.array([HALF, EIGHTH, roll + EIGHTH]))
        for roll in (-QUARTER, QUARTER)
    )
    return Chart(AS_DRAWN, (Allowed(-level, level),)), Chart(HEIGHT_FIRST, on_end)
