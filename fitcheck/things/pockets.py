"""What a part holds: air that stays under it going in, liquid that stays in it coming out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from fitcheck.things.pose import Angles
from fitcheck.things.solid import Solid

Kind = Literal["air", "liquid"]


@dataclass(frozen=True, slots=True)
class Pocket:
    """One pocket of air, or of liquid.

    kind: air or liquid. volume_l, and by how much the flats of round faces may make it wrong. touched_m2:
    metal that stays bare (air), or wet (liquid). top_mm: (x, y, z) in the part's frame of its highest point,
    for liquid its lowest. spill_mm: height of the level at its mouth over the part's origin, as hung.
    """

    kind: Kind
    volume_l: float
    error_l: float
    touched_m2: float
    top_mm: tuple[float, float, float]
    spill_mm: float


@dataclass(frozen=True, slots=True)
class Held:
    """All that a part holds at one attitude: the pockets, largest first; and the sums, with their errors."""

    pockets: tuple[Pocket, ...]

    @property
    def air_l(self) -> float:
        """Air that stays in, going under."""
        return sum(pocket.volume_l for pocket in self.pockets if pocket.kind == "air")

    @property
    def air_error_l(self) -> float:
        """By how much that may be wrong."""
        return sum(pocket.error_l for pocket in self.pockets if pocket.kind == "air")

    @property
    def carry_out_l(self) -> float:
        """Liquid that stays in, lifted out."""
        return sum(pocket.volume_l for pocket in self.pockets if pocket.kind == "liquid")

    @property
    def carry_out_error_l(self) -> float:
        """By how much that may be wrong."""
        return sum(pocket.error_l for pocket in self.pockets if pocket.kind == "liquid")

    @property
    def bare_m2(self) -> float:
        """Metal that the liquid does not reach."""
        return sum(pocket.touched_m2 for pocket in self.pockets if pocket.kind == "air")


@dataclass(frozen=True, slots=True)
class WayUp:
    """One attitude and what is held there; off_l: the most of both together when it hangs a degree off."""

    angles: Angles
    air_l: float
    carry_out_l: float
    off_l: float


@dataclass(frozen=True, slots=True, eq=False)
class PocketShape:
    """The space that a pocket fills, as a solid in the part's frame, for pictures."""

    pocket: Pocket
    solid: Solid
