"""Result of asking whether a part can be carried along a route: a path, a proof, or neither."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fitcheck.things.answer import Answer, Verdict
from fitcheck.things.gist import Noun
from fitcheck.things.room import Point, Ring


@dataclass(frozen=True, slots=True, repr=False)
class KeyPose(Noun):
    """One key pose on the way: the middle of the part in plan, its swing and its tilt."""

    at_mm: Point
    swing_rad: float
    tilt_rad: float


@dataclass(frozen=True, slots=True, repr=False)
class Shown(Noun):
    """The outline of the part in plan at a tilt, as convex pieces about its middle, at swing 0."""

    tilt_rad: float
    pieces_mm: tuple[Ring, ...]


@dataclass(frozen=True, slots=True, repr=False)
class CarryAnswer(Answer):
    """Whether the part goes along the route, and how.

    path: key poses, straight moves and even turns between them, tipped where two differ by the tilt alone;
    empty where none was found. width_spare_mm: what is free beyond the clearance, to each side, all along the
    path; None without one. width_spare_at_most_mm: no path has more; None where that was not found out.
    pinch_mm: where on the path it is tightest. outlines: of the part at the tilts of the path, or as drawn.
    slices: of a half turn of the swing.
    """

    kind: ClassVar[str] = "carry"
    part: str
    route: str
    verdict: Verdict
    reason: str
    path: tuple[KeyPose, ...] = ()
    width_spare_mm: float | None = None
    width_spare_at_most_mm: float | None = None
    pinch_mm: Point | None = None
    outlines: tuple[Shown, ...] = ()
    slices: int = 0

    def outline_at(self, tilt_rad: float) -> tuple[Ring, ...]:
        """Return the outline at the tilt nearest to one."""
        if not self.outlines:
            return ()
        return min(self.outlines, key=lambda shown: abs(shown.tilt_rad - tilt_rad)).pieces_mm
