"""The dip-stick of a tank, in the words of the shop."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.questions.fill.answer import FillAnswer, FillRow
from fitcheck.say.lines import cautions_text
from fitcheck.say.tables import table_text
from fitcheck.things.shop import Shop
from fitcheck.words.units import Show, show_length, show_volume


def text(answer: FillAnswer, shop: Shop) -> str:
    """Return the dip-stick as a table, and the cautions."""
    blocks = (fill_table(answer.tank, answer.rows, shop.show), cautions_text(answer.cautions, shop.show))
    return "\n\n".join(block for block in blocks if block)


def fill_table(tank: str, rows: Sequence[FillRow], show: Show) -> str:
    """Return the dip-stick of a tank: blocks and fittings are taken off."""
    lines = [
        [show_length(r.from_rim_mm, show), show_length(r.level_mm, show), show_volume(r.liquid_l, show)]
        for r in rows
    ]
    title = f"{tank}: liquid, no part in, what stands in the tank taken off"
    return f"{title}\n\n{table_text(['down from the rim', 'level over the floor', 'liquid'], lines)}"
