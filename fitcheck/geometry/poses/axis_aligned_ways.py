"""Axis-aligned ways to hold a part on a rack: its length, width and height along, across and upright."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.solid import Floats

_QUARTER = math.pi / 2.0
# Sizes that agree to this are one way to hold it.
_DIGITS = 6
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """One way: the rotation, the box that the part then fills (2, 3): low and high, in mm."""

    rotation: Floats
    box_mm: Floats

    @property
    def size_mm(self) -> Floats:
        """Along, across and upright."""
        return np.asarray(self.box_mm[1] - self.box_mm[0])


def held_at(part: Part, rotation: Floats) -> Held:
    """Return a way with the part's true extents at a rotation."""
    turned = part.solid.vertices_mm @ rotation.T
    return Held(rotation, np.array([turned.min(axis=0), turned.max(axis=0)]))


def axis_aligned_ways(part: Part) -> tuple[Held, ...]:
    """Return the ways that the attitude allows, one for each box the part can fill, least turned first."""
    limits = (part.attitude.tilt_rad, part.attitude.roll_rad, part.attitude.swing_rad)
    turns = sorted(
        itertools.product((0, 1, -1), (0, 1, -1, 2), (0, 1, -1, 2)),
        key=lambda each: (abs(each[0]), abs(each[1]), abs(each[2])),
    )
    found: dict[tuple[float, ...], Held] = {}
    for turn in turns:
        angles = [quarters * _QUARTER for quarters in turn]
        if all(abs(angle) <= limit + _ROUNDING for angle, limit in zip(angles, limits, strict=True)):
            way = held_at(part, np.round(rotation_from(Angles(*angles))))
            found.setdefault(tuple(np.round(way.size_mm, _DIGITS).tolist()), way)
    return tuple(found.values())
