"""Build sheets of the blocks that a fill ladder asks for."""

from __future__ import annotations

from fitcheck.draw.sheet_sections import Page
from fitcheck.questions.block.page_standing import Stood, block_pages
from fitcheck.questions.ladder.answer import LadderAnswer
from fitcheck.things.shop import Shop
from fitcheck.things.stock import Piece


def ladder_blocks(answer: LadderAnswer, shop: Shop) -> tuple[Page, ...]:
    """Return the pages of the blocks that a ladder asks for, tank by tank."""
    alike: dict[tuple[str, tuple[Piece, ...]], list[int]] = {}
    for k, step in enumerate(answer.steps):
        if step.blocks:
            alike.setdefault((step.tank, step.blocks), []).append(k)
    sets: dict[str, list[Stood]] = {}
    for (name, pieces), at in alike.items():
        steps = [answer.steps[k] for k in at]
        parts = tuple(
            shop.parts[each.part].solid.moved(each.pose.rotation, each.pose.shift_mm)
            for each in steps[0].lot.parts
        )
        loads = f"load{'s' if len(at) > 1 else ''} {', '.join(str(k + 1) for k in at)}"
        level = max(step.level_mm for step in steps)
        sets.setdefault(name, []).append(Stood(shop.tanks[name], pieces, parts, level, loads))
    return tuple(page for stood in sets.values() for page in block_pages(stood, shop))
