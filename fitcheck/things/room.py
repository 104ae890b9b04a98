"""A room as the shop knows it: its floor, doors, what stands in it, and the floor that must stay free.

Plan frame: x runs east, y north, lengths in mm. A ring is the corners of a polygon, counter-clockwise, the
first not repeated.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from fitcheck.things.gist import Noun, counted, size_words
from fitcheck.words.errors import Refused

Point = tuple[float, float]
Ring = tuple[Point, ...]
Span = tuple[float, float]
End = Literal["low", "high"]
Swings = Literal["in", "out"]
Side = Literal["front", "back", "left", "right"]
SIDES: tuple[Side, ...] = ("front", "back", "left", "right")


@dataclass(frozen=True, slots=True, repr=False)
class Onto(Noun):
    """What a door leads to: a room or hall, by name, through a wall so thick.

    at_mm: where the door's west (else south) jamb is in it, from the west (else south) end of its wall. edge:
    which wall of it, by number; None for the only one that faces the door.
    """

    name: str
    at_mm: float
    wall_mm: float
    edge: int | None = None


@dataclass(frozen=True, slots=True, repr=False)
class Door(Noun):
    """A doorway in a wall of a room.

    low_mm, high_mm: its two jambs, the first nearer the wall's west (else south) end. inward: unit vector
    square to the wall, into the room. hinge: the jamb that the leaf turns about; it swings in or out.
    clear_mm: how much of the width is free with the leaf open; that is next to the jamb that has no hinge.
    height_mm: of the opening. name: how an answer calls it. onto: what is on its other side; None for what is
    not said.
    """

    name: str
    low_mm: Point
    high_mm: Point
    inward: Point
    clear_mm: float
    height_mm: float | None = None
    hinge: End = "low"
    swings: Swings = "in"
    onto: Onto | None = None

    def __post_init__(self) -> None:
        if not self.width_mm > 0.0:
            raise Refused(f"{self.name}: its width is 0", "write more than 0")
        # A doorway in mm may carry the rounding of a metre.
        if not 0.0 < self.clear_mm <= self.width_mm + 1e-6:
            raise Refused(f"{self.name}: clear is more than its width", "write the width or less")

    @property
    def width_mm(self) -> float:
        """From jamb to jamb, which is the length of the leaf."""
        return math.dist(self.low_mm, self.high_mm)

    @property
    def hinge_mm(self) -> Point:
        """The jamb about which the leaf turns."""
        return self.low_mm if self.hinge == "low" else self.high_mm

    @property
    def strike_mm(self) -> Point:
        """The other jamb."""
        return self.high_mm if self.hinge == "low" else self.low_mm

    @property
    def opening_mm(self) -> tuple[Point, Point]:
        """The ends of the clear opening: from the open leaf to the jamb that has no hinge."""
        share = self.clear_mm / self.width_mm
        (hx, hy), (sx, sy) = self.hinge_mm, self.strike_mm
        return (sx + share * (hx - sx), sy + share * (hy - sy)), self.strike_mm

    @property
    def takes_floor(self) -> bool:
        """Whether its leaf sweeps over the room's floor."""
        return self.swings == "in"


@dataclass(frozen=True, slots=True, repr=False)
class Work(Noun):
    """How deep the floor for working is at each side of a fixture; 0 where nobody works."""

    front_mm: float = 0.0
    back_mm: float = 0.0
    left_mm: float = 0.0
    right_mm: float = 0.0

    def __post_init__(self) -> None:
        for side in SIDES:
            if not self.depth_mm(side) >= 0.0:
                raise Refused(f"the work depth at the {side} is negative", "write 0 or more")

    def depth_mm(self, side: Side) -> float:
        """Return the depth at one side."""
        return float(getattr(self, f"{side}_mm"))


@dataclass(frozen=True, slots=True, repr=False)
class Place(Noun):
    """Where a fixture stands: its front left corner as drawn, and its turn about that corner.

    turn_rad: counter-clockwise seen from above.
    """

    at_mm: Point
    turn_rad: float = 0.0

    def moved(self, point: Point) -> Point:
        """Return a point of the fixture's own drawing as a point of the room."""
        c, s = _cos_sin(self.turn_rad)
        return self.at_mm[0] + c * point[0] - s * point[1], self.at_mm[1] + s * point[0] + c * point[1]


@dataclass(frozen=True, slots=True, repr=False)
class Fixture(Noun):
    """A thing that stands in a room: a box of length (x), width (y) and height as drawn; its front is -y.

    place: None where it is still to be found. over_mm: its underside over the floor (a heater under the
    ceiling).
    """

    name: str
    size_mm: tuple[float, float, float]
    place: Place | None = None
    work: Work = Work()
    over_mm: float = 0.0

    def __post_init__(self) -> None:
        if not min(self.size_mm) > 0.0:
            raise Refused(f"{self.name}: a size is not above 0", "write more than 0")
        if not self.over_mm >= 0.0:
            raise Refused(f"{self.name}: over is negative", "write 0 or more")

    @property
    def heights_mm(self) -> Span:
        """Its underside and its top over the floor."""
        return self.over_mm, self.over_mm + self.size_mm[2]

    @property
    def working_sides(self) -> tuple[Side, ...]:
        """The sides at which somebody works."""
        return tuple(side for side in SIDES if self.work.depth_mm(side) > 0.0)

    def ring_mm(self, place: Place) -> Ring:
        """Return its four corners when it stands at a place, from the front left one."""
        length, width, _ = self.size_mm
        return _moved(place, (0.0, 0.0), (length, width))

    def work_ring_mm(self, side: Side, place: Place) -> Ring:
        """Return the floor for working at one side."""
        length, width, _ = self.size_mm
        depth = self.work.depth_mm(side)
        match side:
            case "front":
                return _moved(place, (0.0, -depth), (length, 0.0))
            case "back":
                return _moved(place, (0.0, width), (length, width + depth))
            case "left":
                return _moved(place, (-depth, 0.0), (0.0, width))
            case "right":
                return _moved(place, (length, 0.0), (length + depth, width))

    def side_mm(self, side: Side, place: Place) -> tuple[Point, Point]:
        """Return the two corners of one side, so that the fixture lies to the left going along it."""
        ring = self.ring_mm(place)
        first = {"front": 0, "right": 1, "back": 2, "left": 3}[side]
        return ring[first], ring[(first + 1) % 4]


@dataclass(frozen=True, slots=True, repr=False)
class KeepClear(Noun):
    """Floor on which nothing may stand, up to a height (None: up to the ceiling)."""

    name: str
    ring_mm: Ring
    height_mm: float | None = None


@dataclass(frozen=True, slots=True, repr=False)
class Room(Noun):
    """One room, x east and y north.

    Parameters
    ----------
    name : str
        What the shop calls it.
    outline_mm : tuple of points
        The corners of its floor, counter-clockwise, the first not repeated.
    ceiling_mm : float, optional
        Its height; None where not given.
    aisle_mm : float
        The clear width wanted to every working side and to the door.
    doors : tuple of Door
        Its doorways.
    fixtures : tuple of Fixture
        What stands in it, or is to be placed.
    keep_clear : tuple of KeepClear
        Floor on which nothing may stand.

    Raises
    ------
    Refused
        For an outline that does not run counter-clockwise round a floor.

    Examples
    --------
    >>> import fitcheck as fc
    >>> fc.Room("build", ((0.0, 0.0), (4000.0, 0.0), (4000.0, 6000.0), (0.0, 6000.0)))
    <Room build: 4000 x 6000 mm>
    """

    name: str
    outline_mm: Ring
    ceiling_mm: float | None = None
    aisle_mm: float = 0.0
    doors: tuple[Door, ...] = ()
    fixtures: tuple[Fixture, ...] = ()
    keep_clear: tuple[KeepClear, ...] = ()

    def __post_init__(self) -> None:
        if len(self.outline_mm) < 3 or not signed_area_mm2(self.outline_mm) > 0.0:
            raise Refused(
                f"{self.name}: its outline is not the corners of a floor counter-clockwise",
                "walk the floor with the wall on your right hand and write the corners in that order",
            )

    @property
    def edges_mm(self) -> tuple[tuple[Point, Point], ...]:
        """The walls, each with the floor on its left."""
        ring = self.outline_mm
        return tuple((ring[i], ring[(i + 1) % len(ring)]) for i in range(len(ring)))

    def _gist(self) -> str:
        size = size_words(max(along) - min(along) for along in zip(*self.outline_mm, strict=True))
        holds = (counted(len(self.doors), "door"), counted(len(self.fixtures), "fixture"))
        return f"{self.name}: {', '.join((size, *filter(None, holds)))}"


def signed_area_mm2(ring: Ring) -> float:
    """Return the area within a ring; below 0 where it runs clockwise (the shoelace formula)."""
    x0, y0 = ring[0]
    twice = 0.0
    for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
        twice += (ax - x0) * (by - y0) - (bx - x0) * (ay - y0)
    return twice / 2.0


def _moved(place: Place, low: Point, high: Point) -> Ring:
    corners = ((low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1]))
    return tuple(place.moved(corner) for corner in corners)


def _cos_sin(turn_rad: float) -> tuple[float, float]:
    """Return cosine and sine, exact at quarter turns: a bench along a wall must not cut into it."""
    quarters = turn_rad / (math.pi / 2.0)
    if quarters == round(quarters):
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[round(quarters) % 4]
    return math.cos(turn_rad), math.sin(turn_rad)
