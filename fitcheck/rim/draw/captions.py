"""The few words beside a drawing: the verdict, how to hang the part, how much liquid, what to beware of."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fitcheck.rim.draw import ink
from fitcheck.things.answers import Answer, Cure, DoesNotFit, Fill, Fits, MeasureAgain, NotFound
from fitcheck.things.pose import Pose
from fitcheck.things.shop import Show
from fitcheck.things.tank import Tank
from fitcheck.words.units import show_angle, show_length, show_volume

STANDING_CAUTION = (
    "On paper: prove it in plain water first. The safety sheet and local codes outrank this sheet."
)

# Angles are printed to 0.1 degree; less than half of that reads as none.
_LEAST_RAD = math.radians(0.05)


@dataclass(frozen=True, slots=True)
class Fact:
    """One line of the panel: what it is, and its value in large print."""

    name: str
    words: str
    colour: str = ink.INK
    leading: bool = False


def verdict_colour(answer: Answer) -> str:
    """Return the colour behind the verdict; the word itself says the same."""
    match answer:
        case Fits():
            return ink.GO
        case DoesNotFit():
            return ink.WARNING
        case MeasureAgain():
            return ink.CARE
        case NotFound():
            return ink.UNKNOWN


def pose_words(pose: Pose) -> str:
    """Return how the part hangs: "+x end up 4.6 deg, rolled 49.5 deg, swung 16 deg", or "as drawn, level"."""
    tilt, roll, swing = pose.angles
    words = []
    if abs(tilt) >= _LEAST_RAD:
        words.append(f"{'+x' if tilt > 0.0 else '-x'} end up {show_angle(abs(tilt))}")
    if abs(roll) >= _LEAST_RAD:
        words.append(f"rolled {show_angle(roll)}")
    if abs(swing) >= _LEAST_RAD:
        words.append(f"swung {show_angle(swing)}")
    return ", ".join(words) if words else "level, as drawn"


def facts(answer: Answer, tank: Tank, show: Show) -> tuple[Fact, ...]:
    """Return the panel of an answer, most needed first."""
    match answer:
        case Fits(advice=advice):
            room = f"{show_length(advice.spare_mm, show)} more than every clearance"
            return (*_liquid(advice.fill, tank, show), *_hang(advice.pose), Fact("to spare", room))
        case MeasureAgain(advice=advice, deciding=deciding):
            sides = ", ".join(d.side for d in deciding)
            again = Fact("measure again", sides or answer.reason, ink.CARE, leading=True)
            room = ", ".join(f"{d.side} {show_length(d.spare_mm, show)}" for d in deciding)
            left = (Fact("to spare there, on paper", room),) if room else ()
            return (again, *left, *_liquid(advice.fill, tank, show), *_hang(advice.pose))
        case DoesNotFit(nearest=nearest, cures=cures):
            short = Fact("short, in any pose, by", _short_words(answer, show), ink.WARNING, leading=True)
            would = tuple(Fact("or" if i else "would fit", cure_words(c, show)) for i, c in enumerate(cures[:3]))
            return (short, *would, Fact("drawn: the nearest", pose_words(nearest)))
        case NotFound(nearest=nearest, next_try=next_try):
            return (
                Fact("try next", next_try, leading=True),
                Fact("drawn: the best try", pose_words(nearest)),
            )


def _liquid(fill: Fill, tank: Tank, show: Show) -> tuple[Fact, ...]:
    down = f"{show_length(fill.from_rim_mm, show)} down from the rim"
    before = show_length(tank.depth_mm - fill.level_before_mm, show)
    amount = f"{show_volume(fill.liquid_l, show)} of {tank.liquid.name}"
    overflow = (
        (Fact("runs over", show_volume(fill.overflow_l, show), ink.WARNING),) if fill.overflow_l > 0.0 else ()
    )
    return (
        Fact("fill line, part in", down, ink.SURFACE, leading=True),
        Fact("before the part", f"{before} down, {amount}"),
        *overflow,
    )


def _hang(pose: Pose) -> tuple[Fact, ...]:
    return (Fact("hang it", pose_words(pose)),)


def _short_words(answer: DoesNotFit, show: Show) -> str:
    by = show_length(max(0.0, -answer.spare.at_most_mm), show)
    return f"{by} at every clearance"


def cure_words(cure: Cure, show: Show) -> str:
    """Return one change that would make the part fit, as "2 1/8 in deeper"."""
    by = show_length(cure.by_mm, show)
    return {
        "length": f"tank {by} longer",
        "width": f"tank {by} wider",
        "depth": f"tank {by} deeper",
        "freeboard": f"freeboard {by} less",
        "cover": f"cover {by} less",
        "side_clearance": f"side clearance {by} less",
    }[cure.what]
