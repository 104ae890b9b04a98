"""A tank as the shop knows it: the clear space inside, what stands in it, and the rules for using it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from fitcheck.things.liquid import Liquid
from fitcheck.things.solid import Solid
from fitcheck.words.errors import Refused

# A face whose outward normal falls more steeply than this looks down more than sideways: it is floor, and
# keeps the bottom clearance; others are walls. The middle flat of a rounded corner looks down at half a right
# angle but for rounding, in a mesh file to 24 bits: it is a wall, whoever computes its normal.
FLOOR_SLOPE: Final = -math.sqrt(0.5) - 2.0**-20


@dataclass(frozen=True, slots=True)
class Rules:
    """The clearances a shop keeps. Lengths in mm; each may be 0."""

    side_clearance_mm: float = 0.0
    bottom_clearance_mm: float = 0.0
    cover_mm: float = 0.0
    freeboard_mm: float = 0.0
    part_gap_mm: float = 0.0
    overlap_mm: float = 0.0
    tape_part_mm: float = 0.0
    tape_tank_mm: float = 0.0

    def __post_init__(self) -> None:
        for name in self.__slots__:
            if not getattr(self, name) >= 0.0:
                key = name.removesuffix("_mm")
                raise Refused(f"{key} is negative", "write 0 or more")


@dataclass(frozen=True, slots=True)
class Rim:
    """Heights over the shop floor, and the inward lip; None where the shop has not said.

    hoist_kg: the most that its hook, or all its hooks together, lift at once.
    """

    height_mm: float | None = None
    hook_height_mm: float | None = None
    lip_mm: float = 0.0
    hoist_kg: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """A convex thing that stands in the tank: a fitting (drain, heater, strap) or a displacement block.

    solid is in the tank frame. mass_kg is None for a fitting and where the shop has not said.
    """

    name: str
    solid: Solid
    mass_kg: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Tank:
    """An open tank.

    inside: the convex space up to the rim, in the tank frame (origin at a bottom inside corner, x along
    the length, z up from the floor). size_mm: clear length, width and depth. chord_mm: how far the flats
    that stand for rounded inside corners reach beyond the true surface. fillet_mm: their radius.
    is_box: the inside is a plain box of size_mm.
    """

    name: str
    inside: Solid
    size_mm: tuple[float, float, float]
    liquid: Liquid
    rules: Rules = Rules()
    rim: Rim = Rim()
    fittings: tuple[Standing, ...] = ()
    blocks: tuple[Standing, ...] = ()
    fillet_mm: float = 0.0
    chord_mm: float = 0.0
    is_box: bool = True

    def __post_init__(self) -> None:
        length, width, depth = self.size_mm
        rules = self.rules
        if min(length, width) <= 2.0 * rules.side_clearance_mm:
            raise Refused(
                f"{self.name}: side_clearance at both sides leaves no room inside",
                "make side_clearance smaller or check the inside sizes",
            )
        if depth <= rules.bottom_clearance_mm + rules.cover_mm + rules.freeboard_mm:
            raise Refused(
                f"{self.name}: bottom_clearance, cover and freeboard together leave no depth",
                "make them smaller or check the depth",
            )

    @property
    def depth_mm(self) -> float:
        """Height of the rim over the tank floor."""
        return self.size_mm[2]

    @property
    def standing(self) -> tuple[Standing, ...]:
        """Fittings and blocks together: everything the part must stay clear of."""
        return self.fittings + self.blocks

    def without(self, name: str) -> Tank:
        """Return the tank with what is so named taken out of it."""
        fittings, blocks = (
            tuple(thing for thing in things if thing.name != name) for things in (self.fittings, self.blocks)
        )
        return replace(self, fittings=fittings, blocks=blocks)
