"""The few words beside the picture of a dip: the verdict, how to hang the part, how much liquid."""

from __future__ import annotations

from fitcheck.draw import ink
from fitcheck.draw.captions import Fact, pose_words
from fitcheck.questions.dip.answer import Cure, DipAnswer, DoesNotFit, Fits, MeasureAgain, NotFound
from fitcheck.say.cautions import sentences
from fitcheck.say.held_words import NOTHING_L
from fitcheck.things.fill import Fill
from fitcheck.things.pockets import Held
from fitcheck.things.pose import Pose
from fitcheck.things.shop import Show
from fitcheck.things.tank import Tank
from fitcheck.things.tank_cautions import STANDING
from fitcheck.words.rounding import at_least, enough
from fitcheck.words.units import show_length, show_volume

# More would be small print; the printed answer has them all.
_MOST_CURES = 3


def own_cautions(answer: DipAnswer, show: Show) -> tuple[str, ...]:
    """Return the answer's cautions but the two that the standing one says in fewer words."""
    return sentences((each for each in answer.cautions if each not in STANDING), show)


def verdict_colour(answer: DipAnswer) -> str:
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


def facts(answer: DipAnswer, tank: Tank, show: Show) -> tuple[Fact, ...]:
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
