"""Result of checking a room: what stands in each other's way, the aisles, and where things stand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from fitcheck.things.answer import Answer
from fitcheck.things.gist import Noun
from fitcheck.things.room import Fixture, Place, Point, Room

ConflictKind = Literal[
    "outside the room",
    "bodies overlap",
    "in a work zone",
    "in the door swing",
    "in a keep-clear zone",
    "work zone outside the room",
    "aisle too narrow",
]
RoomVerdict = Literal["fits", "does not fit", "not found"]


@dataclass(frozen=True, slots=True, repr=False)
class Move(Noun):
    """One change: a fixture moved by so much east and north, or (by_mm None) a door hung to swing out."""

    name: str
    by_mm: Point | None


@dataclass(frozen=True, slots=True, repr=False)
class Conflict(Noun):
    """Two things in each other's way: between which, and of which kind.

    short_by_mm: how far one of the two must be moved, at least, or how much the aisle lacks. cure: one change
    after which this conflict is gone and none has come; None where no such change was found.
    """

    kind: ConflictKind
    between: tuple[str, ...]
    short_by_mm: float
    cure: Move | None = None


@dataclass(frozen=True, slots=True, repr=False)
class Aisle(Noun):
    """The widest clear way from a door to one working side of a fixture.

    width_mm: of the widest disc that goes all the way; the true value lies within at_least_mm and
    at_most_mm. 0 where there is no way. pinch: the two things that it passes between where it is narrowest,
    and pinch_mm their nearest places; None where the working side itself has no more room.
    """

    to: str
    fixture: str
    door: str
    width_mm: float
    at_least_mm: float
    at_most_mm: float
    pinch: tuple[str, str] | None = None
    pinch_mm: tuple[Point, Point] | None = None


@dataclass(frozen=True, slots=True, repr=False)
class Layout(Noun):
    """Where everything stands, and how good that is.

    least_aisle_mm: the narrowest of the aisles (None: no working side or no door). free_mm2: the floor that a
    disc as wide as the aisle wanted sweeps from the doors. on_walls: fixtures with a side against a wall.
    """

    fixtures: tuple[Fixture, ...]
    aisles: tuple[Aisle, ...]
    least_aisle_mm: float | None
    free_mm2: float
    on_walls: int

    @property
    def places(self) -> dict[str, Place]:
        """Where each fixture stands."""
        return {fixture.name: fixture.place for fixture in self.fixtures if fixture.place is not None}


@dataclass(frozen=True, slots=True, repr=False)
class RoomAnswer(Answer):
    """What was found about a room.

    layouts: that which was checked, or those found, best first. grid_mm: the steps in which places were
    searched (None: nothing was searched). proof: what a "does not fit" or "not found" rests on.
    """

    kind: ClassVar[str] = "room"
    room: Room
    verdict: RoomVerdict
    reason: str
    conflicts: tuple[Conflict, ...]
    layouts: tuple[Layout, ...]
    grid_mm: float | None = None
    proof: str = ""

    @property
    def best(self) -> Layout | None:
        """The first of the layouts."""
        return self.layouts[0] if self.layouts else None
