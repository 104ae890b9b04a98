"""One line of a chart."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.things.answer import Verdict


@dataclass(frozen=True, slots=True)
class ChartRow:
    """A dip answer in short. tilt_rad and least_level_mm are None where no pose is advised."""

    part: str
    tank: str
    verdict: Verdict
    spare_mm: float
    spare_at_most_mm: float
    tilt_rad: float | None
    least_level_mm: float | None
