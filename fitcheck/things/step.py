"""Step of the work that parts go through."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.things.gist import Noun
from fitcheck.words.errors import Refused


@dataclass(frozen=True, slots=True, repr=False)
class Step(Noun):
    """A step: in one of its tanks, or on a rack (then it has no tanks).

    dwell_s: how long parts stay; drip_s: held over the tank before they go on; wait_at_most_s: how long they
    may wait, wet, before the next step (None: as long as it takes).
    """

    name: str
    tanks: tuple[str, ...]
    rack: str | None
    dwell_s: float
    drip_s: float = 0.0
    wait_at_most_s: float | None = None

    def __post_init__(self) -> None:
        if bool(self.tanks) == (self.rack is not None):
            raise Refused(f"{self.name}: it is done in a tank or on a rack", "name tanks, or one rack")
