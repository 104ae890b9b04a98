"""What is dangerous about air caught under a part, and about the holes that would let it out."""

from __future__ import annotations

from fitcheck.questions.pocket.answer import PocketAnswer
from fitcheck.things.caution import Caution, each_once
from fitcheck.things.tank_cautions import STANDING

HYDROGEN, DRILLING = Caution("hydrogen"), Caution("drilling")


def cautions_of(answer: PocketAnswer) -> tuple[Caution, ...]:
    """Return the cautions of an answer; that about drilling only where it tells a hole."""
    drilling = (DRILLING,) if answer.holes else ()
    return each_once(HYDROGEN, *drilling, *STANDING)
