"""The few words beside a drawing: the verdict, how to hang the part, how much liquid, what to beware of."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fitcheck.rim.cli.cautions import OUTRANKED, WATER_TEST
from fitcheck.rim.cli.dip_text import NOTHING_L
from fitcheck.rim.draw import ink
from fitcheck.things.answers import Answer, Cure, DoesNotFit, Fill, Fits, MeasureAgain, NotFound
from fitcheck.things.pockets import Held
from fitcheck.things.pose import Angles, Pose
from fitcheck.things.shop import Show
from fitcheck.things.tank import Tank
from fitcheck.words.rounding import at_least, enough
from fitcheck.words.units import RAD_PER_DEGREE, show_angle, show_length, show_volume

STANDING_CAUTION = (
    "On paper: prove it in plain water first. The safety sheet and local codes outrank this sheet."
)

DASHED = "Dashed: the room that the clearances leave. Hatched: what of the part lies outside it."

# More would be small print; the printed answer has them all.
_MOST_CURES = 3

# Angles are printed to 0.1 degree; less than half of that reads as none.
LEAST_RAD = 0.05 * RAD_PER_DEGREE


@dataclass(frozen=True, slots=True)
class Fact:
    """One line of the panel: what it is, and its value in large print."""

    name: str
    words: str
    colour: str = ink.INK
    leading: bool = False


def own_cautions(answer: Answer) -> tuple[str, ...]:
    """Return the answer's cautions but the two that the standing one says in fewer words."""
    return tuple(words for words in answer.cautions if words not in (WATER_TEST, OUTRANKED))


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
    """Return how the part hangs, as drawn otherwise: "+x end up 4.6 deg, rolled 49.5 deg, +y side up"."""
    return attitude_words(pose.angles)


def attitude_words(angles: Angles) -> str:
    """Return the same for its three angles."""
    tilt, roll, swing = angles
    words = []
    if abs(tilt) >= LEAST_RAD:
        words.append(tilt_words(tilt))
    if abs(roll) >= LEAST_RAD:
        side = "" if _is_half(roll) else f", {'+y' if roll > 0.0 else '-y'} side up"
        words.append(f"{roll_words(roll)}{side}")
    if abs(swing) >= LEAST_RAD:
        way = "" if _is_half(swing) else f" {'counter-clockwise' if swing > 0.0 else 'clockwise'}"
        words.append(f"swung {show_angle(abs(swing))}{way}")
    return ", ".join(words) if words else "level, as drawn"


def _is_half(angle: float) -> bool:
    """Whether an angle is half a turn, either way round."""
    return math.pi - abs(angle) < LEAST_RAD


def tilt_words(tilt_rad: float) -> str:
    """Return a tilt as "+x end up 4.6 deg"."""
    return f"{'+x' if tilt_rad > 0.0 else '-x'} end up {show_angle(abs(tilt_rad))}"


def roll_words(roll_rad: float) -> str:
    """Return a roll as "rolled 49.5 deg"."""
    return f"rolled {show_angle(abs(roll_rad))}"


def facts(answer: Answer, tank: Tank, show: Show) -> tuple[Fact, ...]:
    """Return the panel of an answer, most needed first."""
    match answer:
        case Fits(advice=advice):
            room = f"{at_least(advice.spare_mm, show)} beyond every clearance"
            return (
                *_liquid(advice.fill, tank, show),
                *_hang(advice.pose),
                *_held(advice.held, show),
                Fact("to spare", room),
            )
        case MeasureAgain(advice=advice, deciding=deciding):
            sides = ", ".join(d.side for d in deciding)
            again = Fact("measure again", sides or answer.reason, ink.CARE, leading=True)
            room = ", ".join(f"{d.side} {at_least(d.spare_mm, show)}" for d in deciding)
            left = (Fact("to spare there, on paper", room),) if room else ()
            liquid = _liquid(advice.fill, tank, show)
            return (again, *left, *liquid, *_hang(advice.pose), *_held(advice.held, show))
        case DoesNotFit(nearest=nearest, cures=cures):
            short = Fact("short, at best, by", _short_words(answer, show), ink.WARNING, leading=True)
            would = tuple(
                Fact("or" if i else "would fit", cure_words(c, show))
                for i, c in enumerate(cures[:_MOST_CURES])
            )
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


def _held(held: Held, show: Show) -> tuple[Fact, ...]:
    """Return what is caught, the air in its own colour; nothing where it holds neither."""
    air, liquid = held.air_l >= NOTHING_L, held.carry_out_l >= NOTHING_L
    stays = (
        Fact("stays in, going under", f"air {show_volume(held.air_l, show)}", ink.AIR_LINE, leading=True),
    )
    comes = (Fact("at lift-out", f"carries out {show_volume(held.carry_out_l, show)}"),)
    return (*(stays if air else ()), *(comes if liquid else ()))


def _short_words(answer: DoesNotFit, show: Show) -> str:
    by = at_least(max(0.0, -answer.spare.at_most_mm), show)
    return f"{by} at every clearance"


def cure_words(cure: Cure, show: Show) -> str:
    """Return one change that would make the part fit, as "2 1/8 in deeper"."""
    by = enough(cure.by_mm, show)
    return {
        "length": f"tank {by} longer",
        "width": f"tank {by} wider",
        "depth": f"tank {by} deeper",
        "freeboard": f"freeboard {by} less",
        "cover": f"cover {by} less",
        "side_clearance": f"side clearance {by} less",
    }[cure.what]


def standing_fact(name: str, gap_mm: float, show: Show) -> Fact:
    """Return how near the part comes to the nearest block or fitting."""
    return Fact("nearest block or fitting", f"{name}, {at_least(gap_mm, show)} clear")
