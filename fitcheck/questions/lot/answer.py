"""Parts that go into a tank together: the loads, what they are for, and what is left out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from fitcheck.things.answer import Answer, Verdict
from fitcheck.things.gist import Noun
from fitcheck.things.pose import Pose


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class LotPart(Noun):
    """One piece of a part, its number of that kind from 1, at its pose (tank from part).

    hook_mm: how high the hook over it must go at least to lift it out over the rim on its own picks, over the
    shop floor; None where the shop has not said enough.
    """

    part: str
    number: int
    pose: Pose
    hook_mm: float | None = None


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Lot(Noun):
    """Pieces that go in together.

    work: what it is done for (a step, a liquid, or the tank asked about). level_mm: surface over the tank
    floor with all of them in; rise_mm: by how much they raise it; liquid_l: in the tank for that. air_l: what
    they catch under that level. wet_kg: what hangs at lift-out. gap_mm: the least from one of them to
    another, by exact distance; None for a part alone.
    """

    work: str
    tank: str
    parts: tuple[LotPart, ...]
    level_mm: float
    rise_mm: float
    liquid_l: float
    air_l: float
    wet_kg: float
    gap_mm: float | None = None


@dataclass(frozen=True, slots=True, repr=False)
class LotWork(Noun):
    """One thing that is done to all parts: its tanks, how many lots it takes, and how many at least.

    at_least: proven for every way that the parts are allowed to hang. steps: of the shop, that it stands for.
    """

    name: str
    tanks: tuple[str, ...]
    lots: int
    at_least: int
    steps: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, repr=False)
class LeftOut(Noun):
    """A part that goes into none of the tanks of some work, so many of it (count), and why."""

    part: str
    count: int
    work: str
    verdict: Verdict
    why: str


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class LotAnswer(Answer):
    """The loads, work by work, and what is left out.

    at_least_lots: proven that no fewer loads do for all the work. verdict: "fits" where every part has its
    loads, else the firmest of what is left out.
    """

    kind: ClassVar[str] = "lot"
    lots: tuple[Lot, ...]
    works: tuple[LotWork, ...]
    left_out: tuple[LeftOut, ...]
    at_least_lots: int
    verdict: Verdict

    @classmethod
    def of(
        cls, lots: tuple[Lot, ...], works: tuple[LotWork, ...], left_out: tuple[LeftOut, ...]
    ) -> LotAnswer:
        """Return the answer with the verdict and the sum that follow from its rows."""
        return cls(lots, works, left_out, sum(work.at_least for work in works), firmest(left_out))

    @property
    def reason(self) -> str:
        """Why: what is left out first, or that nothing is."""
        return why_left_out(self.left_out)


def firmest(left_out: Sequence[LeftOut]) -> Verdict:
    """Return "fits" where nothing is left out, else the verdict among them that is said most firmly."""
    out = {each.verdict for each in left_out}
    order: tuple[Verdict, ...] = ("does not fit", "measure again", "not found")
    return next((verdict for verdict in order if verdict in out), "fits")


def why_left_out(left_out: Sequence[LeftOut]) -> str:
    """Return which part is left out and why, of several the first with the firmest verdict."""
    verdict = firmest(left_out)
    first = next((each for each in left_out if each.verdict == verdict), None)
    return "every part goes in" if first is None else f"{first.part} is left out: {first.why}"
