"""Result of a dip: one of four, each carrying its witness, its proof, or what is missing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from fitcheck.things.answer import Answer, Verdict
from fitcheck.things.fill import Fill
from fitcheck.things.gist import Noun
from fitcheck.things.pockets import Held
from fitcheck.things.pose import Pose
from fitcheck.things.proof import Proof
from fitcheck.things.way_in import WayIn

Prefer = Literal["level", "least-liquid", "most-room", "best-drain"]


@dataclass(frozen=True, slots=True, repr=False)
class Spare(Noun):
    """By how much every required clearance could grow at once before the part no longer fits, in mm.

    mm: the largest found, held by a pose. at_most_mm: proven that no allowed pose has more.
    low_mm, high_mm: the same two with the tapes (and the flats of round faces) taken off and added.
    """

    mm: float
    at_most_mm: float
    low_mm: float
    high_mm: float


@dataclass(frozen=True, slots=True, repr=False)
class LeastLevel(Noun):
    """The lowest level, part in, of any allowed pose; proven that none needs less than at_least_mm."""

    level_mm: float
    at_least_mm: float
    pose: Pose


@dataclass(frozen=True, slots=True, repr=False)
class Advice(Noun):
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


@dataclass(frozen=True, slots=True, repr=False)
class Cure(Noun):
    """One single change that would make the part fit: `what` changes by `by_mm` (always above 0)."""

    what: Literal["length", "width", "depth", "freeboard", "cover", "side_clearance"]
    by_mm: float


@dataclass(frozen=True, slots=True, repr=False)
class Deciding(Noun):
    """A size that decides: which side of the tank, and how much room is left there, both ways."""

    side: Literal["length", "width", "height", "walls"]
    spare_mm: float


@dataclass(frozen=True, slots=True, repr=False)
class Effort(Noun):
    """What the search did: cells of rotations looked at, and the share of all rotations left open."""

    cells: int
    open_share: float


@dataclass(frozen=True, slots=True, repr=False)
class _Dip(Answer):
    """What every answer about one dip has."""

    kind: ClassVar[str] = "dip"
    part: str
    tank: str
    reason: str
    spare: Spare
    effort: Effort


@dataclass(frozen=True, slots=True, repr=False)
class Fits(_Dip):
    """It goes under: `advice` is the witness, checked by exact distance; `roomiest` has the most spare.

    way_in: how it gets there where it may not simply be let down; None: straight down, in any way.
    """

    advice: Advice
    roomiest: Pose
    least: LeastLevel
    deciding: tuple[Deciding, ...] = ()
    verdict: Verdict = "fits"
    way_in: WayIn | None = None


@dataclass(frozen=True, slots=True, repr=False)
class DoesNotFit(_Dip):
    """Proven: no allowed pose keeps the clearances, tapes included. `nearest` is the best that there is."""

    nearest: Pose
    proof: Proof
    deciding: tuple[Deciding, ...] = ()
    cures: tuple[Cure, ...] = ()
    verdict: Verdict = "does not fit"


@dataclass(frozen=True, slots=True, repr=False)
class MeasureAgain(_Dip):
    """Inside the tape: `deciding` names the sizes to measure again. `advice` is the roomiest pose."""

    advice: Advice
    deciding: tuple[Deciding, ...]
    least: LeastLevel | None = None
    verdict: Verdict = "measure again"


@dataclass(frozen=True, slots=True, repr=False)
class NotFound(_Dip):
    """Neither shown nor refused within the effort: the best try, and what to try next (next_try)."""

    nearest: Pose
    next_try: str
    deciding: tuple[Deciding, ...] = ()
    verdict: Verdict = "not found"


DipAnswer = Fits | DoesNotFit | MeasureAgain | NotFound
