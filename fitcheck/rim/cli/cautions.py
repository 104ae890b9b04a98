"""The cautions that go with every answer that sends a part into a bath, each with where it comes from."""

from __future__ import annotations

from dataclasses import replace

from fitcheck.things.answers import Answer, Fits, MeasureAgain
from fitcheck.things.tank import Tank
from fitcheck.words.units import Show, read_length, show_length

# California Code of Regulations, Title 8, section 3480: an open tank of hazardous liquid whose rim is
# lower than this over the floor has a rail at least this high, a raised rim or a cover.
GUARDED_RIM = "36 in"
WATER_TEST = (
    "On paper until proven in plain water: fill to the line and dip the part, or a dummy of its size, before "
    "anything is mixed (common practice)."
)
OUTRANKED = (
    "The safety sheet, the bath maker's sheet, local codes and a competent person outrank all figures here."
)


def with_cautions(answer: Answer, tank: Tank, show: Show) -> Answer:
    """Return the answer with the cautions of its tank; one that sends no part into a bath stays as it is."""
    if not isinstance(answer, Fits | MeasureAgain):
        return answer
    ours = (*_low_rim(tank, show), WATER_TEST, OUTRANKED)
    return replace(answer, cautions=tuple(dict.fromkeys(answer.cautions + ours)))


def _low_rim(tank: Tank, show: Show) -> tuple[str, ...]:
    height_mm = tank.rim.height_mm
    if height_mm is None or height_mm >= read_length(GUARDED_RIM):
        return ()
    return (
        f"The rim of {tank.name} is {show_length(height_mm, show)} over the floor, under {GUARDED_RIM}: with "
        "a hazardous liquid it needs a rail, a cover or a higher rim (California Title 8 section 3480, "
        "quoted); federal 29 CFR 1910.28(b)(6) treats such tanks as dangerous equipment.",
    )
