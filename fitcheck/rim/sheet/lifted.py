"""All that is known of one lift, put together for its page: cautions, slings, holes that would help."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fitcheck.questions.hang import hang
from fitcheck.questions.pocket import pocket
from fitcheck.rim.cli.cautions import with_cautions
from fitcheck.rim.cli.dip_text import NOTHING_L
from fitcheck.rim.cli.hang_cautions import with_hang_cautions
from fitcheck.things.answers import Fits, MeasureAgain
from fitcheck.things.hanging import HangAnswer
from fitcheck.things.part import Part
from fitcheck.things.pockets import Hole
from fitcheck.things.shop import Show
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused

_HOLES_TOLD = 2


@dataclass(frozen=True, slots=True, eq=False)
class Lifted:
    """All that is known of one lift.

    slung: how it hangs in its slings, with its cautions; None where `not_slung` says why not. holes: those
    that help most, for what stays in and comes out; None while they have not been looked for.
    """

    part: Part
    tank: Tank
    answer: Fits | MeasureAgain
    slung: HangAnswer | None
    not_slung: str
    holes: tuple[Hole, ...] | None


def lifted(part: Part, tank: Tank, answer: Fits | MeasureAgain, show: Show) -> Lifted:
    """Return a lift as `dip` answers it, in its slings; where it holds something, holes are still to find."""
    told = with_cautions(answer, part, tank, show)
    if not isinstance(told, Fits | MeasureAgain):
        raise TypeError("cautions change no verdict")
    slung: HangAnswer | None = None
    why = ""
    try:
        slung = with_hang_cautions(hang(part, tank, answer.advice.pose.angles), part, tank, show)
    except Refused as refused:
        why = f"{refused.problem}: {refused.cure}"
    held = answer.advice.held
    return Lifted(
        part, tank, told, slung, why, None if max(held.air_l, held.carry_out_l) >= NOTHING_L else ()
    )


def with_holes(lift: Lifted) -> Lifted:
    """Return a lift with the holes that would help most, where it holds air or liquid."""
    if lift.holes is not None:
        return lift
    return replace(lift, holes=pocket(lift.part, lift.answer.advice.pose.angles).holes[:_HOLES_TOLD])
