"""Springing of sheet into an arc: how far it springs back, and how it is sprung for an answer."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from fitcheck.things.gist import Noun
from fitcheck.words.errors import Refused

Curve = Literal["arc", "U"]


@dataclass(frozen=True, slots=True, repr=False)
class Springiness(Noun):
    """How a metal springs back.

    yield_strain: the strain at which it yields. modulus_gpa: its stiffness, where that is known. poisson: its
    ratio of narrowing to stretching. source: where the figures come from, in words for the shop.
    """

    yield_strain: float
    source: str
    modulus_gpa: float | None = None
    poisson: float = 1.0 / 3.0

    def __post_init__(self) -> None:
        if not (0.0 < self.yield_strain < 1.0 and math.isfinite(self.yield_strain)):
            raise Refused(f"yield_strain is {self.yield_strain:g}", 'write it as "0.28 %"')


@dataclass(frozen=True, slots=True, repr=False)
class Sprung(Noun):
    """How a sheet is sprung: across its width, about its length.

    curve "arc": round from edge to edge; "U": half round, with straight legs. chord_mm: over its outer edges.
    flat_mm: its width flat. radius_mm: of the middle of the sheet. rise_mm: over all. strain: of its faces,
    held round all along; over yield_strain it keeps a set, and so it does tighter than least_radius_mm.
    pull_n: of the straps together, edge to edge, None where the stiffness is not known. strapped_radius_mm,
    strapped_strain: in the middle, where straps alone hold it and nothing makes it round. source: where the
    yield comes from.
    """

    curve: Curve
    chord_mm: float
    flat_mm: float
    thickness_mm: float
    radius_mm: float
    rise_mm: float
    strain: float
    yield_strain: float
    least_radius_mm: float
    pull_n: float | None
    strapped_radius_mm: float
    strapped_strain: float
    source: str

    @property
    def keeps_a_set(self) -> bool:
        """Whether it does not spring back flat."""
        return self.strain > self.yield_strain
