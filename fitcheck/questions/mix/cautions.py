"""What is dangerous about mixing a bath, and what its figures are known by."""

from __future__ import annotations

from fitcheck.things.caution import Caution
from fitcheck.things.tank import Tank
from fitcheck.things.tank_cautions import tank_cautions

ACID_INTO_WATER, CHROMIUM = Caution("acid into water"), Caution("chromium")
DRAG_OUT_RATES = Caution("drag-out rates")


def cautions_of(tank: Tank) -> tuple[Caution, ...]:
    """Return the cautions that go with mixing in a tank."""
    return (ACID_INTO_WATER, CHROMIUM, DRAG_OUT_RATES, *tank_cautions(tank))
