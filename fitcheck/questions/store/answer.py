"""Result of asking about a rack: where each part hangs or lies, what is left out, how many racks it takes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fitcheck.things.answer import Answer, Verdict
from fitcheck.things.gist import Noun
from fitcheck.things.pose import Pose
from fitcheck.things.rack import Rack


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Stored(Noun):
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


@dataclass(frozen=True, slots=True, repr=False)
class NotStored(Noun):
    """Parts of a kind that have no place: how many (count), and why."""

    part: str
    count: int
    why: str


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class StoreAnswer(Answer):
    """Where each part hangs or lies, and what is left out.

    at_least_racks: proven (racks_proof says how); None where no number of these racks would do. parts: the
    names of those that were asked about, placed ones first.
    """

    kind: ClassVar[str] = "store"
    rack: Rack
    verdict: Verdict
    reason: str
    places: tuple[Stored, ...]
    left_out: tuple[NotStored, ...]
    at_least_racks: int | None
    racks_proof: str = ""
    parts: tuple[str, ...] = ()
