"""All that is known of one lift, put together for its page."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.questions.dip.answer import Fits, MeasureAgain
from fitcheck.questions.hang.answer import HangAnswer
from fitcheck.questions.pocket.answer import Hole
from fitcheck.things.part import Part
from fitcheck.things.tank import Tank


@dataclass(frozen=True, slots=True, eq=False)
class Lifted:
    """All that is known of one lift.

    slung: how it hangs in its slings, with its cautions; None where `not_slung` says why not.
    tightest: the sides of the tank that leave least room as the part is hung, not at its roomiest. holes:
    those that help most, for what stays in and comes out; None while they have not been looked for.
    """

    part: Part
    tank: Tank
    answer: Fits | MeasureAgain
    slung: HangAnswer | None
    not_slung: str
    tightest: tuple[str, ...]
    holes: tuple[Hole, ...] | None
