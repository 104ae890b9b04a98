"""Parts that go into a tank together, and the order of such loads on ever more liquid."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.things.answer import Verdict
from fitcheck.things.pose import Pose


@dataclass(frozen=True, slots=True, eq=False)
class LotPart:
    """One piece of a part, its number of that kind from 1, at its pose (tank from part).

    hook_mm: how high the hook over it must go at least to lift it out over the rim on its own picks, over the
    shop floor; None where the shop has not said enough.
    """

    part: str
    number: int
    pose: Pose
    hook_mm: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Lot:
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


@dataclass(frozen=True, slots=True)
class Work:
    """One thing that is done to all parts: its tanks, the loads it takes, and how many it takes at least.

    at_least: proven for every way that the parts are allowed to hang. steps: of the shop, that it stands for.
    """

    name: str
    tanks: tuple[str, ...]
    lots: int
    at_least: int
    steps: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A part that goes into none of the tanks of some work, so many of it, and why."""

    part: str
    count: int
    work: str
    verdict: Verdict
    why: str


@dataclass(frozen=True, slots=True, eq=False)
class LotAnswer:
    """The loads, work by work, and what is left out."""

    lots: tuple[Lot, ...]
    works: tuple[Work, ...]
    left_out: tuple[LeftOut, ...]
    cautions: tuple[str, ...] = ()

    @property
    def at_least_lots(self) -> int:
        """Proven: no fewer loads do for all the work."""
        return sum(work.at_least for work in self.works)

    @property
    def verdict(self) -> Verdict:
        """The verdict: "fits" where every part has its loads, else the firmest of what is left out."""
        return _firmest(self.left_out)


def _firmest(left_out: tuple[LeftOut, ...]) -> Verdict:
    out = {each.verdict for each in left_out}
    order: tuple[Verdict, ...] = ("does not fit", "measure again", "not found")
    return next((verdict for verdict in order if verdict in out), "fits")
