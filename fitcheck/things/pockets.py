"""Pockets of a part: air that stays under it going in, liquid that stays in it coming out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from fitcheck.things.gist import Noun
from fitcheck.things.pose import Angles
from fitcheck.things.solid import Solid

PocketKind = Literal["air", "liquid"]


@dataclass(frozen=True, slots=True, repr=False)
class Pocket(Noun):
    """One pocket of air, or of liquid.

    Parameters
    ----------
    kind : {"air", "liquid"}
        Air that stays under the part going in, or liquid that stays in it coming out.
    volume_l : float
        How much.
    error_l : float
        By how much the flats of round faces may make that wrong.
    touched_m2 : float
        Metal that stays bare (air), or wet (liquid).
    top_mm : tuple of 3 floats
        In the part's frame, its highest point; for liquid its lowest.
    spill_mm : float
        Height of the level at its mouth over the part's origin, as hung.

    Examples
    --------
    >>> import numpy as np
    >>> import fitcheck as fc
    >>> fc.held_at(fc.demo_shop().parts["P05"], np.eye(3)).pockets
    (<Pocket 8.248 l of liquid>,)
    """

    kind: PocketKind
    volume_l: float
    error_l: float
    touched_m2: float
    top_mm: tuple[float, float, float]
    spill_mm: float

    def _gist(self) -> str:
        return f"{self.volume_l:.4g} l of {self.kind}"


@dataclass(frozen=True, slots=True, repr=False)
class Held(Noun):
    """All that a part holds at one attitude, and the sums of it, with their errors.

    Parameters
    ----------
    pockets : tuple of Pocket
        The largest first.

    Examples
    --------
    >>> import numpy as np
    >>> import fitcheck as fc
    >>> fc.held_at(fc.demo_shop().parts["P05"], np.eye(3))
    <Held 0 l of air, 8.248 l of liquid>
    """

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

    def _gist(self) -> str:
        return f"{self.air_l:.4g} l of air, {self.carry_out_l:.4g} l of liquid"


@dataclass(frozen=True, slots=True, repr=False)
class WayUp(Noun):
    """One attitude and what is held there; off_l: the most of both together when it hangs a degree off."""

    angles: Angles
    air_l: float
    carry_out_l: float
    off_l: float


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class PocketShape(Noun):
    """The space that a pocket fills, as a solid in the part's frame, for pictures."""

    pocket: Pocket
    solid: Solid
