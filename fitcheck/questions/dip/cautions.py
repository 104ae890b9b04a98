"""What is dangerous about how a part is dipped: air, liquid carried out, uplift, and the tank's rim."""

from __future__ import annotations

from fitcheck.questions.dip.answer import Advice, DipAnswer, Fits, MeasureAgain
from fitcheck.things.caution import Caution, each_once
from fitcheck.things.part import Part
from fitcheck.things.tank import Tank
from fitcheck.things.tank_cautions import BATHFUL_L, STANDING, low_rim

HYDROGEN = Caution("hydrogen")


def cautions_of(answer: DipAnswer, part: Part, tank: Tank) -> tuple[Caution, ...]:
    """Return the cautions of an answer; none where no part is sent into a bath."""
    if not isinstance(answer, Fits | MeasureAgain):
        return ()
    advice = answer.advice
    return each_once(
        *_air(advice, part), *_carried(advice, part), *uplift(advice, part), *low_rim(tank), *STANDING
    )


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
