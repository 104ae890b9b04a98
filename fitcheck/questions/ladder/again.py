"""Will no less liquid do, and does each of a few blocks save what is told? Worked out again by the same code.

What is mixed with the first of the few blocks, the first two and so on is worked out as it was found. That no
other set of so many does better is not told, and not checked.
"""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.questions.ladder.answer import Bath, Build, LadderAnswer
from fitcheck.questions.ladder.ask import Bench, bath_at_least_l, mixed_with, without_blocks_l
from fitcheck.questions.ladder.prove import SAME_L, same, steps_of
from fitcheck.questions.lot.again import stays_out
from fitcheck.questions.lot.ways import Fitting
from fitcheck.things.proved import Check
from fitcheck.things.shop import Shop
from fitcheck.things.work import AskedWork, work_named


def again(answer: LadderAnswer, shop: Shop) -> tuple[Check, ...]:
    """Return whether bounds, what is left out and what blocks save come out again by the same code.

    Raises `Refused` for a piece of work, or a tank, that is not in the shop.
    """
    bench = Bench(Fitting.of(shop), shop.stock, None)
    checks: list[Check] = []
    for bath in answer.baths:
        work = work_named(shop, bath.work)
        checks.append(stays_out(bench.fitting, work, answer.left_out))
        checks += _bath_again(bench, work, bath)
    checks += [_saves(bench, shop, answer, build) for build in answer.builds]
    return tuple(checks)


def _bath_again(bench: Bench, work: AskedWork, bath: Bath) -> Sequence[Check]:
    bound = bath_at_least_l(bench.fitting, work, bench.stock)
    bare = same(bath.without_blocks_l, without_blocks_l(bench, work))
    return (
        Check(
            f"{work.name}: no less liquid will do, worked out again by the same code",
            bath.bound_l <= bound + SAME_L,
        ),
        Check(f"{work.name}: what it takes without blocks, worked out again by the same code", bare),
    )


def _saves(bench: Bench, shop: Shop, answer: LadderAnswer, build: Build) -> Check:
    """Return whether what is mixed with the first of some blocks, the first two and so on, is as told."""
    mine, tank = steps_of(answer, build), shop.tanks[build.tank]
    parts = [shop.parts[part] for part in {each.part for step in mine for each in step.lot.parts}]
    saves = len(build.mix_l) == len(build.blocks) + 1 and all(
        same(told, mixed_with(bench, tank, parts, build.blocks[:k])) for k, told in enumerate(build.mix_l)
    )
    says = f"{build.work}, {build.tank}: each block saves what is told, worked out again by the same code"
    return Check(says, saves)
