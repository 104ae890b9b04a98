"""The crew: who carries, how long that takes, and when the day begins."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.things.gist import Noun
from fitcheck.words.errors import Refused


@dataclass(frozen=True, slots=True, repr=False)
class Crew(Noun):
    """Who carries: people, of whom each load takes people_per_load; from place to place in transfer_s.

    start_s: the clock at the start, from midnight. hours_s: how long the day is; None where it is not said.
    """

    people: int
    people_per_load: int
    transfer_s: float
    start_s: float = 0.0
    hours_s: float | None = None

    def __post_init__(self) -> None:
        if self.people < self.people_per_load:
            raise Refused(
                f"{self.people_per_load} people carry a load, and there are {self.people}",
                "raise people, or lower people_per_load",
            )
