"""A tank as it was built: what a plain-water test says of its plan, and which answers that changes."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.things.answer import Verdict
from fitcheck.things.reading import Reading
from fitcheck.things.tank import Tank


@dataclass(frozen=True, slots=True)
class Change:
    """One part's answer with the tank as taped, and as built. Levels and litres are None without a pose."""

    part: str
    verdict_was: Verdict
    verdict: Verdict
    level_was_mm: float | None
    level_mm: float | None
    liquid_was_l: float | None
    liquid_l: float | None

    @property
    def is_one(self) -> bool:
        """Whether the answer is another: the verdict, or a level by 1 mm or more."""
        if self.verdict != self.verdict_was:
            return True
        if self.level_mm is None or self.level_was_mm is None:
            return False
        return abs(self.level_mm - self.level_was_mm) >= 1.0


@dataclass(frozen=True, slots=True)
class AsBuilt:
    """The fit and the corrected tank.

    floor_mm2: plan area at the floor, with its standard error. bow_mm: by how much the plan is wider at the
    highest level read than at the floor, both long walls together and on the average of their length, with
    its standard error; 0 where the readings do not show any (shows_bow). misfit: of the readings, in stated
    errors (about 1 is as stated). left_l: of each reading, water poured less the fit.
    """

    tank: Tank
    corrected: Tank
    readings: tuple[Reading, ...]
    floor_mm2: float
    floor_error_mm2: float
    bow_mm: float
    bow_error_mm: float
    shows_bow: bool
    misfit: float | None
    left_l: tuple[float, ...]
    changes: tuple[Change, ...] = ()
    cautions: tuple[str, ...] = ()
