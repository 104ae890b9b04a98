"""What is dangerous about how a part is dipped: air, liquid carried out, uplift, and the tank's rim."""

from __future__ import annotations

from fitcheck.geometry.liquid.fill_level import covering_level_mm
from fitcheck.questions.dip.answer import Advice, DipAnswer, Fits, MeasureAgain
from fitcheck.things.caution import Caution, each_once
from fitcheck.things.part import Part
from fitcheck.things.tank import Tank
from fitcheck.things.tank_cautions import BATHFUL_L, STANDING, low_rim

# Levels are worked out by sums of metres; a stick is read to about 1 mm.
OFF_MM = 0.1
HYDROGEN = Caution("hydrogen")


def cautions_of(answer: DipAnswer, part: Part, tank: Tank) -> tuple[Caution, ...]:
    """Return the cautions of an answer; none where no part is sent into a bath."""
    if not isinstance(answer, Fits | MeasureAgain):
        return ()
    advice = answer.advice
    return each_once(
        *_level(advice, part, tank),
        *_air(advice, part),
        *_carried(advice, part),
        *uplift(advice, part),
        *low_rim(tank),
        *STANDING,
    )


def _level(advice: Advice, part: Part, tank: Tank) -> tuple[Caution, ...]:
    """Return what is wrong with a level that was asked for; the lowest that covers the part is right."""
    level, told = advice.fill.level_mm, []
    covers = covering_level_mm(part, advice.pose, tank)
    if level < covers - OFF_MM:
        told.append(Caution.of("not covered", part=part.name, level_mm=level, covers_mm=covers))
    highest = tank.depth_mm - tank.rules.freeboard_mm
    if level > highest + OFF_MM:
        over_l = advice.fill.overflow_l
        told.append(
            Caution.of("too full", tank=tank.name, level_mm=level, at_most_mm=highest, overflow_l=over_l)
        )
    return tuple(told)


def _air(advice: Advice, part: Part) -> tuple[Caution, ...]:
    held = advice.held
    if held.air_l <= part.air_at_most_l:
        return ()
    told = Caution.of(
        "air stays", part=part.name, air_l=held.air_l, at_most_l=part.air_at_most_l, bare_m2=held.bare_m2
    )
    return told, HYDROGEN


def _carried(advice: Advice, part: Part) -> tuple[Caution, ...]:
    carry_out_l = advice.held.carry_out_l
    if carry_out_l <= BATHFUL_L:
        return ()
    more_kg = advice.wet_mass_kg - part.mass_kg
    return (Caution.of("carries out", part=part.name, carry_out_l=carry_out_l, more_kg=more_kg),)


def uplift(advice: Advice, part: Part) -> tuple[Caution, ...]:
    """Return what to do about a part that floats; nothing for one that sinks."""
    if advice.uplift_n <= 0.0:
        return ()
    return (Caution.of("floats", part=part.name, uplift_n=advice.uplift_n),)
