"""Way of a part to where it hangs, and out again the same way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from fitcheck.things.gist import Noun
from fitcheck.things.pose import Pose


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class WayIn(Noun):
    """A way in, of one kind: straight down at its tilt, or tilted in by a few poses in turn.

    gap_mm: the least gap on the way to anything that stands in the tank, to its lip and, tilted in, to its
    walls. poses: from over the rim to where it hangs; between them the middle of the part's box goes
    straight, and swing, tilt and roll change evenly.
    """

    kind: Literal["straight down", "tilted in"]
    gap_mm: float
    poses: tuple[Pose, ...]
