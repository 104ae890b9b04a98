"""A day's work: the people, the loads, and when each load is where. All times are seconds from the start."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.questions.lot.answer import LeftOut, Lot
from fitcheck.things.answer import Verdict
from fitcheck.things.crew import Crew


@dataclass(frozen=True, slots=True)
class Visit:
    """One load at one step: where (a tank; or rails, or the bays of a rack), and when.

    enter_s: it goes in; out_s: it is lifted out, or taken down; free_s: it has dripped, its place is free.
    """

    step: str
    places: tuple[str, ...]
    enter_s: int
    out_s: int
    free_s: int


@dataclass(frozen=True, slots=True, eq=False)
class DayLoad:
    """Pieces that go through all the steps together, with their poses in each tank (lots, work: the step)."""

    parts: tuple[tuple[str, int], ...]
    visits: tuple[Visit, ...]
    lots: tuple[Lot, ...]


@dataclass(frozen=True, slots=True, eq=False)
class DayAnswer:
    """The loads and their times. at_least_s: proven that these loads are not all done before."""

    crew: Crew
    loads: tuple[DayLoad, ...]
    at_least_s: int
    left_out: tuple[LeftOut, ...]
    cautions: tuple[str, ...] = ()

    @property
    def finish_s(self) -> int:
        """When the last load is done."""
        return max((load.visits[-1].free_s for load in self.loads), default=0)

    @property
    def verdict(self) -> Verdict:
        """The verdict: "fits" where every part is done within the day's hours."""
        out = {each.verdict for each in self.left_out}
        late = self.crew.hours_s is not None and self.finish_s > self.crew.hours_s
        never = late and self.crew.hours_s is not None and self.at_least_s > self.crew.hours_s
        if "does not fit" in out or never:
            return "does not fit"
        if "measure again" in out:
            return "measure again"
        return "not found" if out or late else "fits"
