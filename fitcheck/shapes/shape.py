"""Result of a builder, and the checks of sizes that builders share."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fitcheck.things.solid import Solid
from fitcheck.words.errors import Refused
from fitcheck.words.units import both_lengths

Size = tuple[float, float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """A drawn shape as a closed mesh.

    size_mm: length, width and height as drawn, over all. chord_mm: the most by which the flats that stand for
    round faces lie inside, or their corners outside, of the true ones (0 where all faces are flat).
    """

    solid: Solid
    size_mm: Size
    chord_mm: float = 0.0


def above_zero(key: str, *lengths_mm: float) -> None:
    """Raise `Refused`, naming the key, unless every length is a number above 0."""
    for length in lengths_mm:
        if not (length > 0.0 and math.isfinite(length)):
            raise Refused(f"{key} is {length:g} mm", f"write a {key} above 0")


def under(key: str, length_mm: float, limit_mm: float, what: str) -> None:
    """Raise `Refused`, naming the key, unless the length is under the limit, which `what` names."""
    if not length_mm < limit_mm:
        raise Refused(
            f"{key} of {both_lengths(length_mm)} is not under {what}, {both_lengths(limit_mm)}",
            f"make {key} smaller or check the sizes",
        )
