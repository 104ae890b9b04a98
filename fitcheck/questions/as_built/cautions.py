"""What is easily believed wrongly of a plain-water test."""

from __future__ import annotations

from fitcheck.things.caution import Caution
from fitcheck.things.tank_cautions import OUTRANKED


def cautions_of() -> tuple[Caution, ...]:
    """Return the cautions of every fit."""
    return (Caution("plan only"), OUTRANKED)
