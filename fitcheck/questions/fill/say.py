"""The dip-stick of a tank, in the words of the shop."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fitcheck.things.tank import Tank
from fitcheck.words.units import Show, show_length, show_volume

if TYPE_CHECKING:
    from fitcheck.questions.fill.answer import FillRow
from fitcheck.say.tables import table_text


def fill_table(tank: Tank, rows: Sequence[FillRow], show: Show) -> str:
    """Return the dip-stick of a tank: blocks and fittings are taken off."""
    lines = [
        [show_length(r.from_rim_mm, show), show_length(r.level_mm, show), show_volume(r.liquid_l, show)]
        for r in rows
    ]
    title = f"{tank.name}: liquid, no part in, what stands in the tank taken off"
    return f"{title}\n\n{table_text(['down from the rim', 'level over the floor', 'liquid'], lines)}"
