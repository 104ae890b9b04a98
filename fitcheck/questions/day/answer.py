"""A day's work: the people, the loads, and when each load is where. All times are seconds from the start."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import dataclass
from typing import ClassVar

from fitcheck.questions.lot.answer import LeftOut, Lot, why_left_out
from fitcheck.things.answer import Answer, Verdict
from fitcheck.things.crew import Crew
from fitcheck.things.gist import Noun


@dataclass(frozen=True, slots=True, repr=False)
class Visit(Noun):
    """One load at one step: at which places (a tank; or rails, or the bays of a rack), and when.

    enter_s: it goes in; out_s: it is lifted out, or taken down; free_s: it has dripped, its place is free.
    taken_um: what it takes of each of its rails, gaps included, in micrometres; empty elsewhere.
    """

    step: str
    places: tuple[str, ...]
    enter_s: int
    out_s: int
    free_s: int
    taken_um: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class DayLoad(Noun):
    """Pieces that go through all the steps together, with their poses in each tank (lots, work: the step)."""

    parts: tuple[tuple[str, int], ...]
    visits: tuple[Visit, ...]
    lots: tuple[Lot, ...]


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class DayAnswer(Answer):
    """The loads and their times.

    at_least_s: proven that these loads are not all done before. finish_s: when the last is done. verdict:
    "fits" where every part is done within the day's hours.
    """

    kind: ClassVar[str] = "day"
    crew: Crew
    loads: tuple[DayLoad, ...]
    at_least_s: int
    left_out: tuple[LeftOut, ...]
    finish_s: int
    verdict: Verdict

    @classmethod
    def of(
        cls, crew: Crew, loads: tuple[DayLoad, ...], at_least_s: int, left_out: tuple[LeftOut, ...]
    ) -> DayAnswer:
        """Return the answer with the end and the verdict that follow from its loads."""
        finish_s = max((load.visits[-1].free_s for load in loads), default=0)
        verdict = _verdict(crew, finish_s, at_least_s, {each.verdict for each in left_out})
        return cls(crew, loads, at_least_s, left_out, finish_s, verdict)

    @property
    def reason(self) -> str:
        """Why: what is left out, or that the day is too short, or that every part is done in time."""
        if self.left_out:
            return why_left_out(self.left_out)
        late = self.crew.hours_s is not None and self.finish_s > self.crew.hours_s
        return "the day is too short for all loads" if late else "every part is done in time"


def _verdict(crew: Crew, finish_s: int, at_least_s: int, out: Set[Verdict]) -> Verdict:
    late = crew.hours_s is not None and finish_s > crew.hours_s
    never = late and crew.hours_s is not None and at_least_s > crew.hours_s
    if "does not fit" in out or never:
        return "does not fit"
    if "measure again" in out:
        return "measure again"
    return "not found" if out or late else "fits"
