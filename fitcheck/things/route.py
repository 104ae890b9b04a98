"""A way that parts are carried: the floor to be walked over, what stands on it, and from where to where."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.things.room import Point, Ring


@dataclass(frozen=True, slots=True)
class Stand:
    """Where the middle of the part is in plan, and its swing in radians; None where any will do."""

    at_mm: Point
    swing_rad: float | None = None


@dataclass(frozen=True, slots=True)
class Route:
    """A route, x east and y north, in mm.

    floor: the outline of all floor that may be walked over. posts: outlines of what stands on it.
    headroom_mm: None where nothing is overhead. tilt_rad: how far the part may be tipped up, 0 for carried
    level. clearance_mm: kept from walls, posts, floor and headroom.
    """

    name: str
    floor: Ring
    start: Stand
    goal: Stand
    headroom_mm: float | None = None
    tilt_rad: float = 0.0
    clearance_mm: float = 0.0
    posts: tuple[Ring, ...] = ()
