"""The answer about a rack: where each part hangs or lies, what is left out, how many racks it takes."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.things.answer import Verdict
from fitcheck.things.pose import Pose
from fitcheck.things.rack import Rack


@dataclass(frozen=True, slots=True, eq=False)
class Stored:
    """One part in its place.

    number: which of its kind, from 1. where: the rail or bay, by its number from 0; place: its name. pose:
    that rail's or bay's frame from the part's. size_mm: what it takes along, across and upright at that pose.
    along_mm: from the low end of the rail or bay to it; across_mm: in a bay, from its front. over_floor_mm:
    its lowest place over the floor (rails). hook_kg: the most on one of its hooks. sag_mm: between or beyond
    the arms of a bay; None where it is no slender beam.
    """

    part: str
    number: int
    where: int
    place: str
    pose: Pose
    size_mm: tuple[float, float, float]
    along_mm: float
    across_mm: float = 0.0
    over_floor_mm: float | None = None
    hooks: int = 0
    hook_kg: float | None = None
    sag_mm: float | None = None


@dataclass(frozen=True, slots=True)
class ToldStore:
    """An answer about a rack as it was told. places: each with its rail or bay by number from 0.

    asked: the parts that it is about, None for all of the shop.
    """

    rack: str
    verdict: Verdict
    places: tuple[ToldPlace, ...]
    left_out: tuple[tuple[str, int], ...]
    at_least_racks: int | None = None
    asked: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class ToldPlace:
    """One part in its place as it was told. where: the rail by its number, or the bay by its name."""

    part: str
    number: int
    where: int | str
    pose: Pose
    along_mm: float
    size_mm: tuple[float, float, float]
    hook_kg: float | None = None


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Parts of a kind that have no place, and why."""

    part: str
    count: int
    why: str


@dataclass(frozen=True, slots=True, eq=False)
class StoreAnswer:
    """What was found.

    at_least_racks: proven (racks_proof says how); None where no number of these racks would do.
    """

    rack: Rack
    verdict: Verdict
    reason: str
    places: tuple[Stored, ...]
    left_out: tuple[LeftOut, ...]
    at_least_racks: int | None
    racks_proof: str = ""
    cautions: tuple[str, ...] = ()
