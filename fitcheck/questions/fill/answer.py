"""One line of a dip-stick."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FillRow:
    """One line of a dip-stick: height of the surface over the tank floor, down from the rim, and litres."""

    level_mm: float
    from_rim_mm: float
    liquid_l: float
