"""What a part holds at an attitude, over all attitudes, and the holes that would help."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fitcheck.things.answer import Figures
from fitcheck.things.gist import Noun
from fitcheck.things.pockets import Held, PocketKind, WayUp
from fitcheck.things.pose import Angles
from fitcheck.things.solid import Floats, Mask


@dataclass(frozen=True, slots=True, repr=False)
class Hole(Noun):
    """A drilled hole that helps, for a pocket of one kind: where on the part, through how much metal.

    left_l: what is then held in all, with this hole and those told before it. For a pocket of air it is a
    bleed hole, for one of liquid a drain hole. at_mm: (x, y, z) in the part's frame.
    """

    kind: PocketKind
    at_mm: tuple[float, float, float]
    through_mm: float
    left_l: float


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class PocketMap(Noun):
    """What is held over all tilts (t,) and rolls (r,), in radians: air_l and carry_out_l (t, r).

    fits (t, r): where the part goes under in the tank asked about, with some swing; None without a tank.
    """

    tilts_rad: Floats
    rolls_rad: Floats
    air_l: Floats
    carry_out_l: Floats
    fits: Mask | None


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class PocketAnswer(Figures):
    """What a part holds: at one attitude, and where none was asked about, at all of them.

    held, at `angles`; off_l: the most of both when it hangs a degree off. sealed_l: space that no liquid
    reaches, which is not a pocket. holes: for each kind the one that helps most first. map and best: where
    no attitude was asked about; best is None where none of the attitudes fits the tank.
    """

    kind: ClassVar[str] = "pocket"
    part: str
    tank: str | None
    angles: Angles
    held: Held
    off_l: float
    sealed_l: float
    holes: tuple[Hole, ...]
    map: PocketMap | None = None
    best: WayUp | None = None
    notes: tuple[str, ...] = ()
