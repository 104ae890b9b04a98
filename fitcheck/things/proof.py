"""Proof of a "does not fit": cells of rotations, or boxes of poses, that cover all that is allowed."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.things.gist import Noun
from fitcheck.things.solid import Floats


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Proof(Noun):
    """The leaves of a search: cells in (swing, tilt, roll), radians, that cover every allowed rotation.

    middle_rad (n, 3), half_rad (n, 3). In none of them is there a rotation that fits. Where things stand in
    the tank they may be boxes of poses: middle_mm (n, 3), half_mm (n, 3) are the places in the tank of the
    middle of the part's box; None: every place. on_end: the boxes of poses tilted over 45 degrees, where they
    are apart: (swing, tilt, roll) in them is of the part with its axes named anew, height, length, width.
    """

    middle_rad: Floats
    half_rad: Floats
    middle_mm: Floats | None = None
    half_mm: Floats | None = None
    on_end: Proof | None = None
