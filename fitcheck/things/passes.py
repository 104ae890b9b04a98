"""More than one pass: each wets the part up to the liquid line, and the part is turned between."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from fitcheck.things.answers import Fill
from fitcheck.things.pose import Pose

# How the part is turned between two passes: end for end with the same face up or over onto the other face,
# or over about its length without changing ends.
Turn = Literal["same face up", "upside down", "rolled over"]
PassVerdict = Literal["fits", "measure again", "not found"]


@dataclass(frozen=True, slots=True)
class Pass:
    """One pass: the pose (tank from part), the level and its liquid, and the share of the surface it wets."""

    pose: Pose
    level_mm: float
    covers: float
    fill: Fill


@dataclass(frozen=True, slots=True)
class Window:
    """The tilts (radians) in which two passes wet the part as drawn, turned so; by the sizes as given."""

    turn: Turn
    low_rad: float
    high_rad: float


@dataclass(frozen=True, slots=True)
class PassAnswer:
    """How many passes wet all of a part.

    passes: one or two of them, or the best two that were found where they leave some dry. turn: how it is
    turned between; None for one pass. overlap_mm: the least that the two share along the part (below 0: a dry
    gap); None for one pass. covered: share of the surface wet, both faces of sheet. at_least: passes proven
    to be needed. windows: for the part as drawn (roll 0, swing 0), let all the way down.
    """

    part: str
    tank: str
    verdict: PassVerdict
    reason: str
    passes: tuple[Pass, ...]
    turn: Turn | None
    overlap_mm: float | None
    covered: float
    at_least: int
    windows: tuple[Window, ...]
    cautions: tuple[str, ...] = ()
