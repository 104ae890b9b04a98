"""Cautions of whatever is done at a tank."""

from __future__ import annotations

from fitcheck.things.caution import Caution
from fitcheck.things.tank import Tank
from fitcheck.words.units import read_length

# California Code of Regulations, Title 8, section 3480: an open tank of hazardous liquid whose rim is
# lower than this over the floor has a rail at least this high, a raised rim or a cover.
GUARDED_RIM = "36 in"
WATER_TEST = Caution("water test")
OUTRANKED = Caution("outranked")
# A part that comes out with more of the bath than this is worth a word.
BATHFUL_L = 5.0
# They stand on every sheet in fewer words.
STANDING = (WATER_TEST, OUTRANKED)


def tank_cautions(tank: Tank) -> tuple[Caution, ...]:
    """Return the cautions that go with whatever is done at a tank."""
    return (*low_rim(tank), *STANDING)


def low_rim(tank: Tank) -> tuple[Caution, ...]:
    """Return that a rim needs a guard; nothing where it is high enough, or its height is not known."""
    height_mm = tank.rim.height_mm
    if height_mm is None or height_mm >= read_length(GUARDED_RIM):
        return ()
    return (Caution.of("low rim", tank=tank.name, height_mm=height_mm, guarded=GUARDED_RIM),)
