"""The cautions that go with every answer that sends a part into a bath, each with where it comes from."""

from __future__ import annotations

from fitcheck.things.tank import Tank
from fitcheck.words.units import (
    Show,
    read_length,
    show_length,
)

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


GAS = (
    "Etching gives off hydrogen, which gathers in the same high pockets as the air: one that is vented only "
    "at the start goes bare later. It burns from about 4 % in air: no flame near, exhaust at the rim, and no "
    "lid on a bath at work."
)
DRILLING = (
    "Holes told here are where geometry wants them: whoever answers for the part's strength and tightness "
    "says whether it may be drilled there."
)


def tank_cautions(tank: Tank, show: Show) -> tuple[str, ...]:
    """Return the cautions that go with whatever is done at a tank."""
    return (*_low_rim(tank, show), WATER_TEST, OUTRANKED)


def _low_rim(tank: Tank, show: Show) -> tuple[str, ...]:
    height_mm = tank.rim.height_mm
    if height_mm is None or height_mm >= read_length(GUARDED_RIM):
        return ()
    return (
        f"The rim of {tank.name} is {show_length(height_mm, show)} over the floor, under {GUARDED_RIM}: with "
        "a hazardous liquid it needs a rail, a cover or a higher rim (California Title 8 section 3480, "
        "quoted); federal 29 CFR 1910.28(b)(6) treats such tanks as dangerous equipment.",
    )
