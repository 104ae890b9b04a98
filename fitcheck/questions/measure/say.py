"""What parts are, in the words of the shop."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.questions.measure.answer import Measured
from fitcheck.say.lines import cautions_text
from fitcheck.say.tables import table_text
from fitcheck.things.shop import Shop
from fitcheck.words.units import MM2_PER_M2, Show, show_area, show_length, show_mass, show_volume


def text(answer: Measured, shop: Shop) -> str:
    """Return what one part is, and the cautions."""
    return measured_text((answer,), shop.show)


def measured_text(answers: Sequence[Measured], show: Show) -> str:
    """Return what parts are, and the cautions of all of them."""
    cautions = cautions_text((each for answer in answers for each in answer.cautions), show)
    return "\n\n".join(block for block in (measured_table(answers, show), cautions) if block)


def measured_table(rows: Sequence[Measured], show: Show) -> str:
    """Return what the parts are, a line each, and what was noted of them."""
    lines = [
        [
            row.part,
            " x ".join(show_length(size, show) for size in row.size_mm),
            show_volume(row.volume_l, show),
            show_area(row.area_m2 * MM2_PER_M2, show),
            show_mass(row.mass_kg, show),
            show_volume(row.sealed_l, show) if row.sealed_l else "none",
        ]
        for row in rows
    ]
    notes = [f"{row.part}: {text}" for row in rows for text in row.notes]
    table = table_text(
        ["part", "length x width x height", "metal", "wetted area", "mass", "sealed space"], lines
    )
    return "\n\n".join(["\n".join(block) for block in ([table], notes) if block])
