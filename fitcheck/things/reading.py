"""A reading of a plain-water test: so much liquid at such a level."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.things.gist import Noun


@dataclass(frozen=True, slots=True, repr=False)
class Reading(Noun):
    """One line of the test: so much water was in the tank and stood so high over its floor."""

    level_mm: float
    liquid_l: float
