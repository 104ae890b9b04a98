"""Racks: rails to hang wet parts from, and bays to lay them in."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fitcheck.things.gist import Noun, counted
from fitcheck.words.errors import Refused

# Lengths taken of a rail are counted in whole micrometres, rounded up.
UM_PER_MM = 1000


@dataclass(frozen=True, slots=True, repr=False)
class Rail(Noun):
    """A level rail: its length, and its height over the floor."""

    length_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True, repr=False)
class RailRack(Noun):
    """Rails beside each other, to hang wet parts from.

    Parameters
    ----------
    name : str
        What the shop calls it.
    rails : tuple of Rail
        At least one.
    part_gap_mm : float
        Kept between parts.
    load_kg : float, optional
        The most that one hook carries; None: not given.
    apart_mm : float, optional
        From rail to rail in plan; None: nothing of one reaches another.
    drop_mm : float
        From a rail down to the part's top.
    over_floor_mm : float
        Kept free under a part.
    needed : tuple of str
        The parts in the order in which they are wanted.

    Raises
    ------
    Refused
        Where it has no rails.

    Examples
    --------
    >>> import fitcheck as fc
    >>> fc.RailRack("dry", (fc.Rail(6000.0, 2100.0),), part_gap_mm=75.0)
    <RailRack dry: 1 rail>
    """

    name: str
    rails: tuple[Rail, ...]
    part_gap_mm: float
    load_kg: float | None = None
    apart_mm: float | None = None
    drop_mm: float = 0.0
    over_floor_mm: float = 0.0
    needed: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.rails:
            raise Refused(f"{self.name}: it has no rails", "write at least one")

    def _gist(self) -> str:
        return f"{self.name}: {counted(len(self.rails), 'rail')}"


@dataclass(frozen=True, slots=True, repr=False)
class Upright(Noun):
    """A post that stands in a bay, from its floor to its top: low corner and size in plan."""

    at_mm: tuple[float, float]
    size_mm: tuple[float, float]


@dataclass(frozen=True, slots=True, repr=False)
class Bay(Noun):
    """The clear space of a bay: length, depth, height. supports_mm: from arm to arm; None: a shelf."""

    name: str
    inside_mm: tuple[float, float, float]
    uprights: tuple[Upright, ...] = ()
    supports_mm: float | None = None


@dataclass(frozen=True, slots=True, repr=False)
class BayRack(Noun):
    """Bays to lay parts in, the nearest first.

    Parameters
    ----------
    name : str
        What the shop calls it.
    bays : tuple of Bay
        At least one.
    part_gap_mm : float
        Kept between parts.
    load_kg : float, optional
        The most that one bay carries; None: not given.
    sag_share : float
        The most a part may sag between two arms, as a share of their distance.
    needed : tuple of str
        The parts in the order in which they are wanted.

    Raises
    ------
    Refused
        Where it has no bays.

    Examples
    --------
    >>> import fitcheck as fc
    >>> fc.BayRack("wall", (fc.Bay("A1", (1500.0, 350.0, 350.0)),), part_gap_mm=25.0)
    <BayRack wall: 1 bay>
    """

    name: str
    bays: tuple[Bay, ...]
    part_gap_mm: float
    load_kg: float | None = None
    sag_share: float = 1.0 / 360.0
    needed: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.bays:
            raise Refused(f"{self.name}: it has no bays", "write at least one")

    def _gist(self) -> str:
        return f"{self.name}: {counted(len(self.bays), 'bay')}"


Rack = RailRack | BayRack


@dataclass(frozen=True, slots=True)
class RackPlaces:
    """The places of a rack that loads take for as long as they are on it, others beside them.

    On rails a load takes the length of its pieces with their gaps, on one rail; one that goes on no rail
    alone has the whole rack. Hooks are slid along where a place is wanted. A rack of bays has one load at a
    time.
    """

    rack: Rack

    @property
    def names(self) -> tuple[str, ...]:
        """The name of each place."""
        if not isinstance(self.rack, RailRack):
            return (self.rack.name,)
        return tuple(f"{self.rack.name} rail {k + 1}" for k in range(len(self.rack.rails)))

    @property
    def capacity(self) -> tuple[int, ...]:
        """What each place holds: a rail its length and one gap more, in micrometres; all bays one load."""
        if not isinstance(self.rack, RailRack):
            return (1,)
        gap = self.rack.part_gap_mm
        return tuple(math.floor((rail.length_mm + gap) * UM_PER_MM) for rail in self.rack.rails)
