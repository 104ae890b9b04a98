"""What comes back: four kinds of answer, each carrying its witness, its proof, or what is missing.

`bool(answer)` raises, because there are four answers and not two.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NoReturn

from fitcheck.things.pockets import Held
from fitcheck.things.pose import Pose
from fitcheck.things.solid import Floats
from fitcheck.things.way_in import WayIn

Verdict = Literal["fits", "does not fit", "measure again", "not found"]
Prefer = Literal["level", "least-liquid", "most-room", "best-drain"]


@dataclass(frozen=True, slots=True)
class Spare:
    """By how much every required clearance could grow at once before the part no longer fits, in mm.

    mm: the largest found, held by a pose. at_most_mm: proven that no allowed pose has more.
    low_mm, high_mm: the same two with the tapes (and the flats of round faces) taken off and added.
    """

    mm: float
    at_most_mm: float
    low_mm: float
    high_mm: float


@dataclass(frozen=True, slots=True)
class Fill:
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


@dataclass(frozen=True, slots=True)
class LeastLevel:
    """The lowest level, part in, of any allowed pose; proven that none needs less than at_least_mm."""

    level_mm: float
    at_least_mm: float
    pose: Pose


@dataclass(frozen=True, slots=True)
class Advice:
    """The pose advised, how much room it has, and its liquid.

    held: the air and liquid caught there. uplift_n: net upward force when it is under, with its sealed space
    and the air caught: above 0 it floats. wet_mass_kg: at lift-out, with the liquid caught.
    """

    pose: Pose
    spare_mm: float
    fill: Fill
    held: Held
    uplift_n: float
    wet_mass_kg: float


@dataclass(frozen=True, slots=True)
class Cure:
    """One single change that would make the part fit: `what` changes by `by_mm` (always above 0)."""

    what: Literal["length", "width", "depth", "freeboard", "cover", "side_clearance"]
    by_mm: float


@dataclass(frozen=True, slots=True)
class Deciding:
    """A size that decides: which side of the tank, and how much room is left there, both ways."""

    side: Literal["length", "width", "height", "walls"]
    spare_mm: float


@dataclass(frozen=True, slots=True)
class Effort:
    """What the search did: cells of rotations looked at, and the share of all rotations left open."""

    cells: int
    open_share: float


@dataclass(frozen=True, slots=True, eq=False)
class Proof:
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


@dataclass(frozen=True, slots=True)
class _Answer:
    """What every answer has."""

    part: str
    tank: str
    reason: str
    spare: Spare
    effort: Effort

    def __bool__(self) -> NoReturn:
        raise TypeError("an answer is one of four: match it against Fits, DoesNotFit, MeasureAgain, NotFound")


@dataclass(frozen=True, slots=True)
class Fits(_Answer):
    """It goes under: `advice` is the witness, checked by exact distance; `roomiest` has the most spare.

    way_in: how it gets there where it may not simply be let down; None: straight down, in any way.
    """

    advice: Advice
    roomiest: Pose
    least: LeastLevel
    deciding: tuple[Deciding, ...] = ()
    cautions: tuple[str, ...] = ()
    verdict: Verdict = "fits"
    way_in: WayIn | None = None


@dataclass(frozen=True, slots=True)
class DoesNotFit(_Answer):
    """Proven: no allowed pose keeps the clearances, tapes included. `nearest` is the best that there is."""

    nearest: Pose
    proof: Proof
    deciding: tuple[Deciding, ...] = ()
    cures: tuple[Cure, ...] = ()
    cautions: tuple[str, ...] = ()
    verdict: Verdict = "does not fit"


@dataclass(frozen=True, slots=True)
class MeasureAgain(_Answer):
    """Inside the tape: `deciding` names the sizes to measure again. `advice` is the roomiest pose."""

    advice: Advice
    deciding: tuple[Deciding, ...]
    least: LeastLevel | None = None
    cautions: tuple[str, ...] = ()
    verdict: Verdict = "measure again"


@dataclass(frozen=True, slots=True)
class NotFound(_Answer):
    """Neither shown nor refused within the effort: the best try, and what to try next (next_try)."""

    nearest: Pose
    next_try: str
    deciding: tuple[Deciding, ...] = ()
    cautions: tuple[str, ...] = ()
    verdict: Verdict = "not found"


Answer = Fits | DoesNotFit | MeasureAgain | NotFound
