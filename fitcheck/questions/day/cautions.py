"""What is dangerous about a day, or easily believed wrongly: that it is kept, wet parts that wait, levels."""

from __future__ import annotations

from fitcheck.questions.day.answer import DayAnswer
from fitcheck.questions.lot.cautions import NO_DRIP, ONE_BY_ONE, lift_cautions
from fitcheck.things.caution import Caution, each_once
from fitcheck.things.rack import RailRack
from fitcheck.things.shop import Shop
from fitcheck.things.tank_cautions import STANDING

DRY_RUN = Caution("walk it through")
STRICT = Caution("strict dwell")
SLIDE = Caution("hooks slide")
LEVELS = Caution("levels differ")
GIVES_OUT = Caution("bath not asked")


def cautions_of(answer: DayAnswer, shop: Shop) -> tuple[Caution, ...]:
    """Return the cautions of an answer."""
    unsaid = ", ".join(step.name for step in shop.steps[:-1] if step.wait_at_most_s is None)
    slid = any(step.rack is not None and isinstance(shop.racks[step.rack], RailRack) for step in shop.steps)
    return each_once(
        DRY_RUN,
        STRICT,
        *((Caution.of("no wait given", steps=unsaid),) if unsaid else ()),
        *((SLIDE,) if slid else ()),
        NO_DRIP,
        ONE_BY_ONE,
        *lift_cautions([lot for load in answer.loads for lot in load.lots], shop),
        LEVELS,
        GIVES_OUT,
        *STANDING,
    )
