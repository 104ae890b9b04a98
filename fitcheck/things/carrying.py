"""The answer to whether a part can be carried through."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.things.answers import Verdict
from fitcheck.things.room import Point, Ring


@dataclass(frozen=True, slots=True)
class Step:
    """One key pose on the way: the middle of the part in plan, its swing and its tilt."""

    at_mm: Point
    swing_rad: float
    tilt_rad: float


@dataclass(frozen=True, slots=True)
class CarryAnswer:
    """Whether the part goes along the route, and how.

    path: key poses, straight moves and even turns between them; empty where none was found. width_spare_mm:
    the clearance can grow by so much and a way is still found; None without one. pinch_mm: where on the path
    it is tightest. outline_mm: of the part as carried, about its middle, at swing 0. slices: of the swing.
    """

    part: str
    route: str
    verdict: Verdict
    reason: str
    path: tuple[Step, ...] = ()
    width_spare_mm: float | None = None
    pinch_mm: Point | None = None
    outline_mm: Ring = ()
    slices: int = 0
    cautions: tuple[str, ...] = ()
