"""Answers as tables: one part in every tank, every part in every tank, the dip-stick, the parts list."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fitcheck.questions.dip.answer import DipAnswer, Fits, MeasureAgain
from fitcheck.say.tables import table_text
from fitcheck.things.answer import Verdict
from fitcheck.words.rounding import at_most, some
from fitcheck.words.units import Show, show_angle, show_length, show_volume

if TYPE_CHECKING:
    pass


def tanks_table(answers: Sequence[DipAnswer], show: Show) -> str:
    """Return one part in every tank, a line each."""
    rows = []
    for answer in answers:
        spare = answer.spare
        words = spare_words(answer.verdict, spare.mm, spare.at_most_mm, show)
        cells = [answer.tank, answer.verdict, words]
        if isinstance(answer, Fits | MeasureAgain):
            advice = answer.advice
            cells += [
                show_angle(advice.pose.angles.tilt_rad),
                show_length(advice.fill.level_mm, show),
                show_volume(advice.fill.liquid_l, show),
            ]
        rows.append(cells)
    return table_text(["tank", "answer", "to spare", "tilt", "level, part in", "liquid"], rows)


def spare_words(verdict: Verdict, found_mm: float, at_most_mm: float, show: Show) -> str:
    """Return the room left as found; of what does not fit, how much is proven to be lacking."""
    if verdict == "does not fit":
        return f"{some(-at_most_mm, show)} short"
    return f"{at_most(-found_mm, show)} short" if found_mm < 0.0 else some(found_mm, show)
