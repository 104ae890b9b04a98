"""Fill of a tank for one pose of a part."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.things.gist import Noun


@dataclass(frozen=True, slots=True, repr=False)
class Fill(Noun):
    """The liquid for one pose. Heights over the tank floor in mm, volumes in litres.

    level_mm: surface with the part in. from_rim_mm: the same down from the rim (the fill line).
    liquid_l: liquid in the tank. level_before_mm: surface with the part out. displaced_l: metal,
    sealed space and air caught. overflow_l: what runs over the rim (0 as long as there is freeboard).
    """

    level_mm: float
    from_rim_mm: float
    freeboard_mm: float
    liquid_l: float
    level_before_mm: float
    rise_mm: float
    displaced_l: float
    overflow_l: float
