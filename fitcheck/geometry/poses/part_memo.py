"""Memo of what several tanks ask of the same part, each worked out once."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

import numpy as np

from fitcheck.geometry.liquid.attitude_map import air_l, every_way_rad, steps_rad, vessel_of
from fitcheck.geometry.liquid.pockets import Vessel
from fitcheck.geometry.rotations.rotation_search import how_turned
from fitcheck.things.part import Part
from fitcheck.things.solid import Floats

# Ways whose air is worked out at a time: a few portions for each core.
AT_ONCE = 64


class PartMemo:
    """One part, and what is known of it whatever the tank."""

    def __init__(self, part: Part, vessel: Vessel | None = None) -> None:
        self.part = part
        self._vessel = vessel
        self._vented: list[Floats] = []

    @cached_property
    def vessel(self) -> Vessel:
        """What it holds at any rotation."""
        return self._vessel or vessel_of(self.part)

    @cached_property
    def _ways(self) -> list[Floats]:
        """All tilts and rolls of its map, the least turned first, so many at a time."""
        ways = least_turned_first(every_way_rad(*steps_rad(self.part.attitude, self.vessel)).reshape(-1, 2))
        return list(np.split(ways, range(AT_ONCE, len(ways), AT_ONCE)))

    def vented_ways_rad(self) -> Iterator[Floats]:
        """Give the tilts and rolls (2,) of its map that catch no more air than it may, least turned first."""
        for k, ways in enumerate(self._ways):
            if k == len(self._vented):
                self._vented.append(self.vented(ways))
            yield from self._vented[k]

    def vented(self, ways_rad: Floats) -> Floats:
        """Return those tilts and rolls (k, 2) that catch no more air than the part may."""
        return np.asarray(ways_rad[air_l(self.vessel, ways_rad) <= self.part.air_at_most_l])


def least_turned_first(ways_rad: Floats) -> Floats:
    """Return tilts and rolls (k, 2) in the order of how far they are turned, swing left out."""
    return np.asarray(ways_rad[np.argsort(turned(ways_rad), kind="stable")])


def turned(ways_rad: Floats) -> Floats:
    """Return how far tilts and rolls (k, 2) are turned."""
    return how_turned(np.column_stack([np.zeros(len(ways_rad)), ways_rad]))
