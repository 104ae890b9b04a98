"""Whether the few blocks of a ladder are those that stand beside its loads, and each saves what is told.

What is mixed with the first of them, the first two and so on is worked out again by the code that found it.
That no other set of so many does better is not told, and not looked at.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from fitcheck.questions.ladder.answer import Build, Built
from fitcheck.questions.ladder.ask import Bench, mixed_with
from fitcheck.questions.lot.prove_loads import SAME_L, Told
from fitcheck.questions.lot.ways import Fitting
from fitcheck.things.proved import Check
from fitcheck.things.shop import Shop
from fitcheck.things.stock import Piece
from fitcheck.words.errors import Refused

# Sizes go through inches and back: so many digits of a mm are those of the block.
_DIGITS = 4


def prove_few(shop: Shop, loads: Sequence[Told], builds: Sequence[Build]) -> Iterator[Check]:
    """Give what is so and what not of the few blocks that are built for the loads; nothing without such."""
    bench = Bench(Fitting.of(shop), shop.stock, None) if builds else None
    for build in builds:
        if build.tank not in shop.tanks:
            raise Refused(f"blocks are built for {build.tank}, which is not there", "give its shop file")
        mine = [told for told in loads if (told.lot.work, told.lot.tank) == (build.work, build.tank)]
        name = f"{build.work}, {build.tank}"
        stood = all(_are_of(told.blocks, build.blocks) for told in mine)
        yield Check(f"{name}: each load stands no blocks but those that are built", stood)
        most = max((told.lot.liquid_l for told in mine), default=0.0)
        steps = len(build.mix_l) == len(build.blocks) + 1
        enough = steps and most <= build.mix_l[-1] * (1.0 + SAME_L)
        yield Check(f"{name}: with all of them its loads take no more than is told", enough)
        if bench is not None and steps:
            parts = [shop.parts[part] for part in {each.part for told in mine for each in told.lot.parts}]
            tank = shop.tanks[build.tank]
            again = [mixed_with(bench, tank, parts, build.blocks[:k]) for k in range(len(build.mix_l))]
            saves = all(_same(*pair) for pair in zip(build.mix_l, again, strict=True))
            yield Check(f"{name}: each block saves what is told, worked out again", saves)


def _are_of(stood: Sequence[Piece], built: Sequence[Built]) -> bool:
    """Tell whether the blocks beside a load are some of those that are built, each stood once."""
    return Counter(map(_key, stood)) <= Counter(map(_key, built))


def _key(block: Piece | Built) -> tuple[float, ...]:
    length, width, height = (round(side, _DIGITS) for side in block.size_mm)
    return (max(length, width), min(length, width), height, round(block.mass_kg, _DIGITS))


def _same(one: float, other: float) -> bool:
    return abs(one - other) <= SAME_L * max(1.0, other)
