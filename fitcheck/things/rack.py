"""Racks: rails to hang wet parts from, and bays to lay them in."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.words.errors import Refused


@dataclass(frozen=True, slots=True)
class Rail:
    """A level rail: its length, and its height over the floor."""

    length_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class RailRack:
    """Rails beside each other.

    part_gap_mm: between parts. load_kg: the most that one hook carries (None: not given). apart_mm: from rail
    to rail in plan (None: nothing of one reaches another). drop_mm: from a rail down to the part's top.
    over_floor_mm: kept free under a part. needed: the parts in the order in which they are wanted.
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


@dataclass(frozen=True, slots=True)
class Upright:
    """A post that stands in a bay, from its floor to its top: low corner and size in plan."""

    at_mm: tuple[float, float]
    size_mm: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Bay:
    """The clear space of a bay: length, depth, height. supports_mm: from arm to arm; None: a shelf."""

    name: str
    inside_mm: tuple[float, float, float]
    uprights: tuple[Upright, ...] = ()
    supports_mm: float | None = None


@dataclass(frozen=True, slots=True)
class BayRack:
    """Bays, the nearest first. load_kg: the most that one bay carries. needed: as for rails.

    sag_share: the most a part may sag between two arms, as a share of their distance.
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


Rack = RailRack | BayRack
