"""Is a fill ladder right? Each load by exact distance, blocks, order and sums, from shop and answer alone.

Nothing here searches. That no less liquid will do, what it takes without blocks and what each of a few blocks
saves is worked out again by the code that found it (`again.py`).
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence

from fitcheck.geometry.liquid.block_pieces import hold_down_n
from fitcheck.geometry.liquid.fill_level import fill_with
from fitcheck.questions.ladder.answer import (
    Bath,
    Build,
    Built,
    LadderAnswer,
    LadderStep,
    Sums,
    held_at_most_l,
)
from fitcheck.questions.lot.prove import checks_of_load, known_load, listed_for, work_checks
from fitcheck.things.proved import Check, Proved
from fitcheck.things.shop import Shop
from fitcheck.things.stock import Piece
from fitcheck.things.work import AskedWork, work_named
from fitcheck.words.errors import Refused

# Litres of metres cubed agree to far better than a dip-stick tells; so do newtons.
SAME_L = SAME_N = 1e-6
# Sizes go through inches and back: so many digits of a mm are those of the block.
_DIGITS = 4


def prove(answer: LadderAnswer, shop: Shop) -> Proved:
    """Tell what is so and what not of a ladder.

    Raises `Refused` for a part, a tank or a piece of work that is not in the shop.
    """
    works = [work_named(shop, bath.work) for bath in answer.baths]
    for step in answer.steps:
        known_load(shop, step.lot, works)
    checks: list[Check] = []
    for k, step in enumerate(answer.steps):
        checks += [*checks_of_load(shop, k, step.lot, step.blocks), *_step_checks(shop, answer, k)]
    for work, bath in zip(works, answer.baths, strict=True):
        mine = [step for step in answer.steps if step.lot.work == work.name]
        checks += work_checks(shop, work, [step.lot for step in mine], answer.left_out)
        checks += _bath_checks(work, bath, mine)
    checks += _sum_checks(answer)
    checks.append(Check("what is left out is left out of this work", listed_for(works, answer.left_out)))
    checks += [check for build in answer.builds for check in _build_checks(shop, answer, build)]
    return Proved(f"ladder for {', '.join(work.name for work in works)}", answer.verdict, tuple(checks))


def same(one: float, other: float) -> bool:
    """Tell whether two ways to work out litres agree."""
    return abs(one - other) <= SAME_L * max(1.0, abs(other))


def steps_of(answer: LadderAnswer, build: Build) -> list[LadderStep]:
    """Return the loads that some few blocks are built for."""
    return [step for step in answer.steps if (step.lot.work, step.lot.tank) == (build.work, build.tank)]


def _step_checks(shop: Shop, answer: LadderAnswer, k: int) -> list[Check]:
    """Return the checks of what a step says beside its load that fail: none where all of it is so."""
    step = answer.steps[k]
    lot, tank = step.lot, shop.tanks[step.lot.tank]
    posed = [(shop.parts[each.part], each.pose) for each in lot.parts]
    try:
        bare = fill_with(posed, tank, lot.level_mm, lot.air_l).liquid_l
    except Refused:
        bare = math.inf
    hold = hold_down_n(step.blocks, lot.level_mm, tank.liquid.specific_gravity)
    found = [
        Check("its work, tank and level are those of its load", _is_of(step)),
        Check("without blocks it takes what is told", same(step.without_l, bare)),
        Check("straps hold its blocks", abs(step.hold_down_n - hold) <= SAME_N * max(1.0, hold)),
        Check("whether it can be done follows from what is mixed", _can_do(step, answer.mixed_l)),
    ]
    return [Check(f"load {k + 1}, {lot.tank}: {each.what}", False) for each in found if not each.holds]


def _is_of(step: LadderStep) -> bool:
    lot = step.lot
    return (step.work, step.tank, step.level_mm) == (lot.work, lot.tank, lot.level_mm)


def _can_do(step: LadderStep, mixed_l: float | None) -> bool:
    if mixed_l is None or step.can_do is None:
        return mixed_l is step.can_do
    return step.can_do == (step.liquid_l <= mixed_l) or same(step.liquid_l, mixed_l)


def _bath_checks(work: AskedWork, bath: Bath, steps: Sequence[LadderStep]) -> list[Check]:
    most, tanks = held_at_most_l(steps), tuple(tank.name for tank in work.tanks)
    told = bath.may_use == tanks and sorted(bath.tanks) == sorted(most)
    return [
        Check(f"{work.name}: its tanks are as told", told),
        Check(f"{work.name}: its loads come to what is mixed", same(bath.mix_at_most_l, sum(most.values()))),
        Check(
            f"{work.name}: the bound is not over what is mixed", bath.bound_l <= bath.mix_at_most_l + SAME_L
        ),
    ]


def _sum_checks(answer: LadderAnswer) -> list[Check]:
    told, found = answer.sums, Sums.of(answer.steps, answer.baths, answer.left_out)
    return [
        Check("the bounds add up", told.bound_l <= found.bound_l + SAME_L),
        Check(
            "what is mixed adds up, with blocks and without",
            same(told.mix_at_most_l, found.mix_at_most_l)
            and same(told.without_blocks_l, found.without_blocks_l),
        ),
        Check("the verdict is that of what can be done, and what is left out", told.verdict == found.verdict),
        Check("liquid is only added, and each load has its own", _only_added(answer.steps)),
    ]


def _only_added(steps: Sequence[LadderStep]) -> bool:
    """Tell whether liquid is only added, tank by tank, and each load has what it is said to have."""
    held: dict[str, float] = {}
    for step in steps:
        liquid, before = step.liquid_l, held.get(step.lot.tank, 0.0)
        most = SAME_L * max(1.0, liquid)
        if step.add_l < -SAME_L or abs(before + step.add_l - liquid) > most:
            return False
        if abs(liquid - step.lot.liquid_l) > most:
            return False
        held[step.lot.tank] = liquid
    return True


def _build_checks(shop: Shop, answer: LadderAnswer, build: Build) -> Iterator[Check]:
    """Give whether loads stand no blocks but the few that are built, and take no more than is told."""
    if build.tank not in shop.tanks:
        raise Refused(f"blocks are built for {build.tank}, which is not there", "give its shop file")
    mine, name = steps_of(answer, build), f"{build.work}, {build.tank}"
    stood = all(_are_of(step.blocks, build.blocks) for step in mine)
    yield Check(f"{name}: each load stands no blocks but those that are built", stood)
    most = max((step.lot.liquid_l for step in mine), default=0.0)
    steps = len(build.mix_l) == len(build.blocks) + 1
    enough = steps and most <= build.mix_l[-1] * (1.0 + SAME_L)
    yield Check(f"{name}: with all of them its loads take no more than is told", enough)


def _are_of(stood: Sequence[Piece], built: Sequence[Built]) -> bool:
    """Tell whether the blocks beside a load are some of those that are built, each stood once."""
    return Counter(map(_key, stood)) <= Counter(map(_key, built))


def _key(block: Piece | Built) -> tuple[float, ...]:
    length, width, height = (round(side, _DIGITS) for side in block.size_mm)
    return (max(length, width), min(length, width), height, round(block.mass_kg, _DIGITS))
