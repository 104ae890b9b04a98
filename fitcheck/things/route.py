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
class Low:
    """Floor with something overhead: a room under its ceiling, a doorway under its lintel."""

    name: str
    ring_mm: Ring
    headroom_mm: float


@dataclass(frozen=True, slots=True)
class Route:
    """A route, x east and y north, in mm.

    floor: the outline of all floor that may be walked over. posts: outlines of what stands on it, as high as
    the headroom. headroom_mm: all along the way; None where nothing is overhead but what `lows` says.
    tilt_rad: how far the part may be tipped up, 0 for carried level. clearance_mm: kept from walls, posts,
    floor and headroom. post_names: of the posts, in their order, where they have any. rooms: what the floor
    is made up of, where it is more than one, with their names.
    """

    name: str
    floor: Ring
    start: Stand
    goal: Stand
    headroom_mm: float | None = None
    tilt_rad: float = 0.0
    clearance_mm: float = 0.0
    posts: tuple[Ring, ...] = ()
    lows: tuple[Low, ...] = ()
    post_names: tuple[str, ...] = ()
    rooms: tuple[tuple[str, Ring], ...] = ()
