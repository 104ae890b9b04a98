"""What is dangerous about a part on the hook: it floats, or comes out with the bath in it."""

from __future__ import annotations

from fitcheck.questions.weigh.answer import WeighAnswer
from fitcheck.things.caution import Caution, each_once
from fitcheck.things.tank import Tank
from fitcheck.things.tank_cautions import BATHFUL_L, tank_cautions


def cautions_of(answer: WeighAnswer, tank: Tank) -> tuple[Caution, ...]:
    """Return the cautions of a weighing."""
    told = []
    if answer.under_n < 0.0:
        told.append(Caution.of("floats", part=answer.part, uplift_n=-answer.under_n))
    if answer.carry_out_l > BATHFUL_L:
        more_kg = answer.lift_out_kg - answer.dry_kg
        carried = {"carry_out_l": answer.carry_out_l, "more_kg": more_kg}
        told.append(Caution.of("carries out", part=answer.part, **carried))
    return each_once(*told, *tank_cautions(tank))
