"""Height of a hook over the rim."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.things.gist import Noun


@dataclass(frozen=True, slots=True, repr=False)
class Hook(Noun):
    """How high the hook must go to lift the part over the rim, in mm over the shop floor.

    needed_mm: with these legs; spare_mm: what the hook's height leaves. least_mm: with the flattest legs that
    are allowed. clear_mm: kept between rim and part. Those with None need a height that the shop has not
    given. tape_mm: by how much the spare may be out.
    """

    needed_mm: float | None
    height_mm: float | None
    spare_mm: float | None
    least_mm: float | None
    clear_mm: float
    tape_mm: float
