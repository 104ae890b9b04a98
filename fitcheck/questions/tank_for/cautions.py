"""What is dangerous about a tank that is still to be built."""

from __future__ import annotations

from fitcheck.things.caution import Caution
from fitcheck.things.tank_cautions import STANDING


def cautions_of() -> tuple[Caution, ...]:
    """Return the cautions of every tank that is to be built."""
    return (Caution("ask an engineer"), Caution("air of a new tank"), *STANDING)
