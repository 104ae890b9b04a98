"""Do no fewer loads do, and does what is listed go in nowhere? Worked out again by the code that found it."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.questions.lot.answer import LeftOut, LotAnswer
from fitcheck.questions.lot.ask import is_proven
from fitcheck.questions.lot.ways import Fitting, left_out
from fitcheck.things.proved import Check
from fitcheck.things.shop import Shop
from fitcheck.things.work import AskedWork, work_named


def again(answer: LotAnswer, shop: Shop) -> tuple[Check, ...]:
    """Return whether each bound, and what is left out, comes out again by the same code.

    Raises `Refused` for a piece of work that is not in the shop.
    """
    fitting, checks = Fitting.of(shop), []
    for told in answer.works:
        work = work_named(shop, told.name)
        proven = is_proven(fitting, work, told.at_least)
        checks += [
            stays_out(fitting, work, answer.left_out),
            Check(f"{work.name}: no fewer loads do, worked out again by the same code", proven),
        ]
    return tuple(checks)


def stays_out(fitting: Fitting, work: AskedWork, listed: Sequence[LeftOut]) -> Check:
    """Return whether what is listed for some work goes into none of its tanks, with the verdict told."""
    rows = {each.part: each for each in listed if each.work == work.name}
    parts = [part for part in fitting.parts if part.name in rows]
    stay = len(parts) == len(rows) and all(
        not fitting.kind(part, work.tanks).ways
        and left_out(fitting, part, work).verdict == rows[part.name].verdict
        for part in parts
    )
    return Check(f"{work.name}: what is listed does not go in, worked out again by the same code", stay)
