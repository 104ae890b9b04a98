"""More than one pass: each wets the part up to the liquid line, and the part is turned between."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from fitcheck.things.answer import Answer
from fitcheck.things.fill import Fill
from fitcheck.things.gist import Noun
from fitcheck.things.pose import Pose
from fitcheck.things.proof import Proof
from fitcheck.things.solid import Floats
from fitcheck.things.springing import Sprung

# How the part is turned between two passes: end for end with the same face up or over onto the other face,
# over about its length without changing ends, or hung anew as the next pass says.
Turn = Literal["same face up", "upside down", "rolled over", "hung anew"]
PassVerdict = Literal["fits", "does not fit", "measure again", "not found"]
# What keeps a part from going deeper: the floor (its clearance), a rim that it lies out over, or what stands
# in the tank.
HeldBy = Literal["floor", "rim", "what stands there"]
# What proves that fewer passes will not do: `dip` (one will not), points further apart than any room in the
# liquid, or the most of the surface that one pass can wet.
Because = Literal["", "dip", "points", "area"]
# Of which shape of the part a bound is proven: of sheet that may be sprung only as it is then.
ShapeOf = Literal["", "flat", "so sprung"]
COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight")
# Air under this is a cupful: it is let out by rocking the part.
CUPFUL_L = 0.1


def count_words(count: int) -> str:
    """Return "two passes"."""
    number = COUNTS[count] if count < len(COUNTS) else str(count)
    return f"{number} pass{'' if count == 1 else 'es'}"


@dataclass(frozen=True, slots=True, repr=False)
class Pass(Noun):
    """One pass: the pose (tank from part), let down as deep as it goes; the level and its liquid.

    covers, wet_m2: the share and the area of the surface that it wets. lowest_mm, highest_mm: of the part,
    over the tank floor. held_by: what keeps it from going deeper. air_l, air_m2: air caught under the level,
    and what of the wet surface it touches: that stays bare in this pass.
    """

    pose: Pose
    level_mm: float
    covers: float
    fill: Fill
    wet_m2: float
    lowest_mm: float
    highest_mm: float
    held_by: HeldBy
    air_l: float
    air_m2: float


@dataclass(frozen=True, slots=True, repr=False)
class Window(Noun):
    """The tilts (radians) in which two passes wet the part as drawn, at one turn; by the sizes as given."""

    turn: Turn
    low_rad: float
    high_rad: float


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class AtLeast(Noun):
    """How many passes are proven to be needed, and why.

    because "dip": proof that it does not go under in one; "points": points_mm (k, 3) of the part, no two of
    which find room in the liquid together; "area": one pass wets share_at_most of the surface at most. shape:
    the bound is for the sheet so, no other way.
    """

    passes: int
    because: Because
    points_mm: Floats | None = None
    share_at_most: float | None = None
    shape: ShapeOf = ""
    proof: Proof | None = None


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class NeverWet(Noun):
    """Why no number of passes will do: a place on the surface that none can wet.

    It lies between the far points (k, 3), so a pass that wets it wets one of them too, and each is further
    from it than the liquid has room: distance_mm at least, against room_mm.
    """

    place_mm: tuple[float, float, float]
    far_mm: Floats
    distance_mm: float
    room_mm: float


@dataclass(frozen=True, slots=True, repr=False)
class PassAnswer(Answer):
    """How many passes wet all of a part.

    passes: those that do, or the best that were found where they leave some dry. turn: how the part is turned
    between them; None for one pass. overlap_mm: the least that passes share along the part (below 0: a dry
    gap); None for one pass. band_mm: how wide what is treated twice is at least, square to the liquid's line;
    None where some stays dry. covered: share of the surface wet, both faces of sheet. at_least: passes proven
    to be needed. windows: of two passes, for the part as drawn (roll 0, swing 0), let all the way down.
    never: why no number of passes will do. sprung: how the sheet is sprung for this answer.
    """

    kind: ClassVar[str] = "pass"
    part: str
    tank: str
    verdict: PassVerdict
    reason: str
    passes: tuple[Pass, ...]
    turn: Turn | None
    overlap_mm: float | None
    covered: float
    at_least: AtLeast
    windows: tuple[Window, ...]
    never: NeverWet | None = None
    sprung: Sprung | None = None
    band_mm: float | None = None
