"""What is dangerous about loads, or easily believed wrongly: dripping, slings, hook and hoist."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.geometry.statics.lift_out import own_picks
from fitcheck.questions.lot.answer import Lot, LotAnswer
from fitcheck.things.caution import Caution, each_once
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.things.tank_cautions import STANDING, low_rim
from fitcheck.words.errors import Refused

NO_DRIP = Caution("side by side")
ONE_BY_ONE = Caution("slung one by one")


def cautions_of(answer: LotAnswer, shop: Shop) -> tuple[Caution, ...]:
    """Return the cautions of an answer, with those of the tanks that its loads go into."""
    used = tanks_of(answer.lots, shop)
    unsaid = ", ".join(tank.name for tank in used if tank.rim.hoist_kg is None)
    hoist = (Caution.of("no hoist given", tanks=unsaid),) if unsaid else ()
    low = (line for tank in used for line in low_rim(tank))
    return each_once(NO_DRIP, ONE_BY_ONE, *lift_cautions(answer.lots, shop), *hoist, *low, *STANDING)


def tanks_of(lots: Sequence[Lot], shop: Shop) -> tuple[Tank, ...]:
    """Return the tanks that loads go into, in the order of the loads."""
    return tuple(shop.tanks[name] for name in dict.fromkeys(lot.tank for lot in lots))


def lift_cautions(lots: Sequence[Lot], shop: Shop) -> tuple[Caution, ...]:
    """Return what kept the hook's height from being checked: what the shop has not said, once.

    Names and faults are told one to a line.
    """
    used = tanks_of(lots, shop)
    no_heights = [tank.name for tank in used if None in {tank.rim.height_mm, tank.rim.hook_height_mm}]
    without, wrong = [], []
    for name in dict.fromkeys(each.part for lot in lots for each in lot.parts):
        try:
            if own_picks(shop.parts[name]) is None:
                without.append(name)
        except Refused as fault:
            wrong.append(f"{name}: {fault.problem}")
    if not (without or no_heights or wrong):
        return ()
    told = {"parts": without, "tanks": no_heights, "faults": wrong}
    return (Caution.of("hook height unchecked", **{key: "\n".join(each) for key, each in told.items()}),)
