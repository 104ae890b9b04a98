"""A tank as the shop knows it: the clear space inside, what stands in it, and the rules for using it."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace
from importlib import import_module
from typing import Final

from fitcheck.things.gist import Noun, counted, size_words
from fitcheck.things.liquid import Liquid
from fitcheck.things.solid import Solid
from fitcheck.words.errors import Refused
from fitcheck.words.units import read_length

# A face whose outward normal falls more steeply than this faces down more than sideways: it is floor, and
# keeps the bottom clearance; others are walls. The middle flat of a rounded corner faces down at half a right
# angle but for rounding, in a mesh file to 24 bits: it is a wall, whoever computes its normal.
FLOOR_SLOPE: Final = -math.sqrt(0.5) - 2.0**-20


@dataclass(frozen=True, slots=True, repr=False)
class Rules(Noun):
    """The clearances a shop keeps, and its tapes. Each may be 0.

    Parameters
    ----------
    side_clearance_mm : float
        From the part to the walls, and to all that stands in the tank.
    bottom_clearance_mm : float
        From the part to the tank's floor.
    cover_mm : float
        Of liquid over the highest point of the part.
    freeboard_mm : float
        From the liquid up to the rim, part in.
    part_gap_mm : float
        Between parts of one load.
    overlap_mm : float
        Of two passes, along the part.
    tape_part_mm, tape_tank_mm : float
        Give or take, on every size of a part and on every inside size of a tank.

    Raises
    ------
    Refused
        For one below 0.

    Examples
    --------
    >>> import fitcheck as fc
    >>> fc.Rules(side_clearance_mm=10.0, cover_mm=30.0)
    <Rules side_clearance 10, cover 30 mm>
    """

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

    def _gist(self) -> str:
        kept = ((field.name.removesuffix("_mm"), getattr(self, field.name)) for field in fields(self))
        told = ", ".join(f"{key} {mm:.6g}" for key, mm in kept if mm)
        return f"{told} mm" if told else "none kept"


# What is kept where nobody has said: no clearance is 0 in silence (common practice).
ASSUMED_RULES = Rules(
    side_clearance_mm=read_length("1 in"),
    bottom_clearance_mm=read_length("1 in"),
    cover_mm=read_length("1 in"),
    freeboard_mm=read_length("3 in"),
    part_gap_mm=read_length("1 in"),
    overlap_mm=read_length("4 in"),
    tape_part_mm=read_length("1/16 in"),
    tape_tank_mm=read_length("1/8 in"),
)


@dataclass(frozen=True, slots=True, repr=False)
class Rim(Noun):
    """Heights over the shop floor, and the inward lip; None where the shop has not said.

    hoist_kg: the most that its hook, or all its hooks together, lift at once.
    """

    height_mm: float | None = None
    hook_height_mm: float | None = None
    lip_mm: float = 0.0
    hoist_kg: float | None = None


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Standing(Noun):
    """A convex thing that stands in the tank: a fitting (drain, heater, strap) or a displacement block.

    solid is in the tank frame. mass_kg is None for a fitting and where the shop has not said.
    """

    name: str
    solid: Solid
    mass_kg: float | None = None


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Tank(Noun):
    """An open tank.

    Parameters
    ----------
    name : str
        What the shop calls it.
    inside : Solid
        The convex space up to the rim, in the tank frame: origin at a bottom inside corner, x along the
        length, z up from the floor.
    size_mm : tuple of 3 floats
        Clear length, width and depth.
    liquid : Liquid
        What is in it.
    rules : Rules
        The clearances kept in it.
    rim : Rim
        Its height, lip and hoist.
    fittings, blocks : tuple of Standing
        What stands in it for good, and the displacement blocks.
    fillet_mm : float
        Radius of its rounded inside corners.
    chord_mm : float
        How far the flats that stand for rounded inside corners reach beyond the true surface.
    is_box : bool
        Whether the inside is a plain box of `size_mm`.

    Raises
    ------
    Refused
        Where the rules leave no room inside.

    See Also
    --------
    Tank.box : a tank from its inside sizes.

    Examples
    --------
    >>> import fitcheck as fc
    >>> fc.demo_shop().tanks["T1"]
    <Tank T1: 7315.2 x 406.4 x 609.6 mm inside, etch>
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

    @classmethod
    def box(
        cls,
        name: str,
        inside_mm: tuple[float, float, float],
        liquid: Liquid | None = None,
        rules: Rules | None = None,
        rim: Rim | None = None,
        fillet_mm: float = 0.0,
    ) -> Tank:
        """Return a box tank of these inside sizes, with nothing standing in it.

        Parameters
        ----------
        name : str
            What the shop calls it.
        inside_mm : tuple of 3 floats
            Clear length, width, and depth up to the rim.
        liquid : Liquid, optional
            What is in it; water without.
        rules : Rules, optional
            The clearances kept in it. Without: 1 in at the sides, over the floor, of cover and between parts,
            3 in of freeboard, 4 in of overlap, and tapes of 1/16 in (part) and 1/8 in (tank); a clearance is
            0 only where it is said.
        rim : Rim, optional
            Its height over the shop floor, its lip and its hoist; unknown without.
        fillet_mm : float
            Radius of its inside corners.

        Returns
        -------
        Tank
            With its origin at a bottom inside corner.

        Raises
        ------
        Refused
            For a size that is not above 0, a fillet that does not go in, and rules that leave no room.

        Examples
        --------
        >>> import fitcheck as fc
        >>> fc.Tank.box("trough", (1000.0, 500.0, 400.0), rules=fc.Rules(side_clearance_mm=10.0))
        <Tank trough: 1000 x 500 x 400 mm inside, water>
        """
        # Builders of shapes stand over things, so they are reached by name.
        length, width, depth = (float(side) for side in inside_mm)
        shape = import_module("fitcheck.shapes.basin").basin((length, width, depth), fillet_mm)
        return cls(
            name,
            shape.solid,
            shape.size_mm,
            liquid or Liquid("water"),
            ASSUMED_RULES if rules is None else rules,
            rim or Rim(),
            fillet_mm=fillet_mm,
            chord_mm=shape.chord_mm,
            is_box=fillet_mm == 0.0,
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

    def _gist(self) -> str:
        stands = (counted(len(self.fittings), "fitting"), counted(len(self.blocks), "block"))
        words = (f"{size_words(self.size_mm)} inside", self.liquid.name, *filter(None, stands))
        return f"{self.name}: {', '.join(words)}"
