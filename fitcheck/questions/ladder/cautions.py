"""What is dangerous about a ladder, or easily believed wrongly: floating blocks, what the bound holds for."""

from __future__ import annotations

from fitcheck.questions.ladder.answer import LadderAnswer
from fitcheck.questions.lot.cautions import NO_DRIP, ONE_BY_ONE, lift_cautions, tanks_of
from fitcheck.things.caution import Caution, each_once
from fitcheck.things.shop import Shop
from fitcheck.things.tank_cautions import STANDING, low_rim

BLOCKS = Caution("blocks float")
BOUND = Caution("bound of boxes")
FEW_BOUND = Caution("few chosen one by one")
LOSSES = Caution("losses not counted")
# A shop builds so many without asking.
NO_FEW = 4


def cautions_of(answer: LadderAnswer, shop: Shop) -> tuple[Caution, ...]:
    """Return the cautions of an answer, with those of the tanks that its loads go into."""
    lots = [step.lot for step in answer.steps]
    low = (line for tank in tanks_of(lots, shop) for line in low_rim(tank))
    lift = lift_cautions(lots, shop)
    return each_once(*_of_blocks(answer), LOSSES, NO_DRIP, ONE_BY_ONE, *lift, *low, *STANDING)


def _of_blocks(answer: LadderAnswer) -> tuple[Caution, ...]:
    blocks = (BLOCKS, BOUND) if any(step.blocks for step in answer.steps) else (BOUND,)
    different = len({piece.size_mm for step in answer.steps for piece in step.blocks})
    if answer.builds:
        return (*blocks, FEW_BOUND)
    if different > NO_FEW:
        return (*blocks, Caution.of("many different blocks", count=different))
    return blocks
