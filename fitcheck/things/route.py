"""Route of parts that are carried: the floor, what stands on it, start and goal."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.things.gist import Noun
from fitcheck.things.room import Point, Ring


@dataclass(frozen=True, slots=True, repr=False)
class Stand(Noun):
    """Where the middle of the part is in plan, and its swing in radians; None where any will do."""

    at_mm: Point
    swing_rad: float | None = None


@dataclass(frozen=True, slots=True, repr=False)
class Low(Noun):
    """Floor with something overhead: a room under its ceiling, a doorway under its lintel."""

    name: str
    ring_mm: Ring
    headroom_mm: float


@dataclass(frozen=True, slots=True, repr=False)
class Route(Noun):
    """A way that parts are carried, x east and y north, in mm.

    Parameters
    ----------
    name : str
        What the shop calls it.
    floor : tuple of points
        The outline of all floor that may be walked over.
    start, goal : Stand
        Where the middle of the part is at first and at last, and its swing.
    headroom_mm : float, optional
        All along the way; None where nothing is overhead but what `lows` says.
    tilt_rad : float
        How far the part may be tipped up; 0: carried level.
    clearance_mm : float
        Kept from walls, posts, floor and headroom.
    posts : tuple of outlines
        What stands on the floor, as high as the headroom.
    lows : tuple of Low
        Floor with something overhead, each with its own headroom.
    post_names : tuple of str
        Of the posts, in their order, where they have any.
    rooms : tuple of (str, outline)
        What the floor is made up of, where it is more than one room, with their names.

    Examples
    --------
    >>> import fitcheck as fc
    >>> corridor = ((0.0, 0.0), (9000.0, 0.0), (9000.0, 1200.0), (0.0, 1200.0))
    >>> fc.Route("in", corridor, fc.Stand((2000.0, 600.0)), fc.Stand((7000.0, 600.0)), 2400.0)
    <Route in: from (2000, 600) to (7000, 600) mm>
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

    def _gist(self) -> str:
        start, goal = ("({:.6g}, {:.6g})".format(*each.at_mm) for each in (self.start, self.goal))
        return f"{self.name}: from {start} to {goal} mm"
