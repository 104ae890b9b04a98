"""What is dangerous about blocks and dams: they float, and figures approve nothing that has to hold."""

from __future__ import annotations

from fitcheck.things.caution import Caution
from fitcheck.things.tank import Tank
from fitcheck.things.tank_cautions import STANDING, low_rim

BLOCKS_FLOAT, ASK_AN_ENGINEER = Caution("blocks float"), Caution("ask an engineer")


def cautions_of(tank: Tank) -> tuple[Caution, ...]:
    """Return the cautions of blocks, of what carries them, and of their tank."""
    return (BLOCKS_FLOAT, ASK_AN_ENGINEER, *low_rim(tank), *STANDING)
