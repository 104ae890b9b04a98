"""How a part hangs over a tank: its slings, what they carry, and how high the hook must go."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from fitcheck.things.answer import Answer
from fitcheck.things.gist import Noun
from fitcheck.things.hook import Hook
from fitcheck.things.pockets import Held
from fitcheck.things.pose import Angles, Pose

HangVerdict = Literal["fits", "does not fit", "measure again"]
RigKind = Literal["spreader", "lifting beam", "two hoists"]
# What keeps it from being hung so, gravest first; the last two leave the answer open.
HangFault = Literal[
    "rolls over",
    "slack leg",
    "turns by itself",
    "flat legs",
    "hook under its top",
    "hook too low",
    "hook within the tape",
    "heights missing",
]
Point3 = tuple[float, float, float]


@dataclass(frozen=True, slots=True, repr=False)
class Leg(Noun):
    """One leg of the sling.

    pick_mm: in the part's frame. angle_rad: from level. factor: length over height, its pull against a plumb
    leg's. tension_n: in air; under_n: under the liquid, None where it floats; breakout_n: lifted out with the
    liquid that it carries. A pull below 0 is a leg that would go slack. bent: it runs through the part.
    """

    pick_mm: Point3
    length_mm: float
    angle_rad: float
    factor: float
    tension_n: float
    under_n: float | None
    breakout_n: float
    bent: bool


@dataclass(frozen=True, slots=True, repr=False)
class Swung(Noun):
    """What is on the hook in one state, and how the part turns from the way it hangs in air.

    hook_n: below 0 it floats, and then it is not told how it turns (None). angles: how it hangs then.
    turn_rad: by how much in all.
    """

    hook_n: float
    angles: Angles | None
    turn_rad: float | None


@dataclass(frozen=True, slots=True, repr=False)
class Rig(Noun):
    """Another kind of way to lift by the same two picks, with plumb slings below.

    length_mm: between the two slings in plan. loads_n, breakout_n: the pull in each, in air and lifted out.
    upper_n, push_n: at breakout, the pull in a spreader's two upper legs, and the push in it. hook_mm,
    hook_spare_mm: as for the legs. The rig's own weight comes on top.
    """

    kind: RigKind
    length_mm: float
    loads_n: tuple[float, float]
    breakout_n: tuple[float, float]
    upper_n: tuple[float, float] | None
    push_n: float | None
    hook_mm: float | None
    hook_spare_mm: float | None


@dataclass(frozen=True, slots=True, repr=False)
class Lower(Noun):
    """A flatter way to hang it that passes under the hook; goes_under: it fits the tank so, in one pass."""

    angles: Angles
    hook_mm: float
    goes_under: bool


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class HangAnswer(Answer):
    """How a part hangs over a tank, just clear of its rim.

    wanted, angles: the way wanted, and the way that these legs hold it. pose: tank from part. hook_at_mm: in
    the tank's frame. rise_mm: hook over the higher pick; least_rise_mm: with the flattest legs allowed.
    over_top_mm: hook over the part's highest point. below_mm: the centre of mass under the picks (below 0:
    over them). faults: why not, where it does not. proposed: the picks are fitcheck's, not the shop's.
    sag_mm: None where it is no beam. rigs: for two legs. lower: where the hook is too low for any legs.
    missing: keys that the shop has not given.
    """

    kind: ClassVar[str] = "hang"
    part: str
    tank: str
    verdict: HangVerdict
    reason: str
    faults: tuple[HangFault, ...]
    wanted: Angles
    angles: Angles
    pose: Pose
    hook_at_mm: Point3
    rise_mm: float
    least_rise_mm: float
    over_top_mm: float
    below_mm: float
    proposed: bool
    legs: tuple[Leg, ...]
    hook: Hook
    mass_kg: float
    wet_mass_kg: float
    dry_n: float
    under: Swung
    breakout: Swung
    held: Held
    sag_mm: float | None
    rigs: tuple[Rig, ...] = ()
    lower: Lower | None = None
    missing: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def most_pull_n(self) -> float:
        """The largest pull in any leg, in air, under or lifted out."""
        return max(max(leg.tension_n, leg.under_n or 0.0, leg.breakout_n) for leg in self.legs)
