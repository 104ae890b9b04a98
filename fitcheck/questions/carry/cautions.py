"""What is dangerous about carrying by hand."""

from __future__ import annotations

from fitcheck.questions.carry.answer import CarryAnswer
from fitcheck.things.caution import Caution

MOCK_UP, LIFT = Caution("mock up"), Caution("lifted by hand")


def cautions_of(_answer: CarryAnswer) -> tuple[Caution, ...]:
    """Return the cautions of an answer, whatever it says."""
    return MOCK_UP, LIFT
