"""A part as the shop knows it: its solid, its mass, and how it may be turned."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from fitcheck.things.solid import Floats, Solid, frozen_array
from fitcheck.things.springing import Springiness
from fitcheck.words.errors import Refused

HALF_TURN = math.pi
QUARTER_TURN = math.pi / 2.0
# Air that a part may catch where the shop has not said (common practice: a spoonful leaves no patch to mend).
AIR_AT_MOST_L = 0.05


@dataclass(frozen=True, slots=True)
class Attitude:
    """The most a part may be tilted, rolled and swung either way from as drawn, in radians."""

    tilt_rad: float = QUARTER_TURN
    roll_rad: float = HALF_TURN
    swing_rad: float = HALF_TURN

    def __post_init__(self) -> None:
        for name in ("tilt", "roll", "swing"):
            if not getattr(self, f"{name}_rad") >= 0.0:
                raise Refused(f"{name}_at_most is negative", "write it as 0 deg or more")


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """One kind of part.

    solid: the metal. skin: the metal with its sealed spaces filled, which is what displaces liquid.
    centre_mm: centre of mass. picks_mm: (k, 3) places where it may be slung. attitude: how it may turn.
    size_mm: its length, width and height as drawn. tape_mm: its true surface lies within half of this of
    the solid's (None: as the tank's rules have it). chord_mm: how far round faces given as flats are off.
    air_at_most_l: with more air caught than this it is not hung where another way does. spring: how its metal
    springs back, where the shop has said. count: how many of it there are.
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
