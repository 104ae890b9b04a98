"""How much liquid is in the tank at a level, and at which level is so much; with a part in, how it rises.

The room for liquid is the inside of the tank less everything that stands in it, as one closed mesh; its
waterline is the dip-stick. What stands proud of the rim, or reaches into a wall, counts only where it is
inside the tank.
"""

from __future__ import annotations

import math

from fitcheck.geometry.liquid.fill_level import ROUNDING, _check_over_floor, _litres, room_for_liquid
from fitcheck.geometry.liquid.waterline import Waterline
from fitcheck.questions.fill.answer import FillRow
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM3_PER_LITRE, both_lengths

DEFAULT_STEP_MM = 25.0
# A stick is read to about 1 mm; a finer table only hides its own lines.
FINEST_STEP_MM = 1.0


def fill(
    tank: Tank,
    level_mm: float | None = None,
    liquid_l: float | None = None,
    step_mm: float = DEFAULT_STEP_MM,
) -> tuple[FillRow, ...]:
    """Tell how much liquid is in the tank, blocks and fittings taken off.

    With level_mm (over the tank floor), or with liquid_l, one row. With neither, a dip-stick table from the
    floor to the rim in steps of step_mm. Raises `Refused` for both at once, for a level under the floor or
    over the rim, for less than no liquid or more than the tank holds, and for a step under 1 mm.
    """
    if level_mm is not None and liquid_l is not None:
        raise Refused(f"{tank.name}: both a level and a volume were given", "give one of them")
    room = room_for_liquid(tank)
    if level_mm is not None:
        return _rows(tank, room, [_level_in(tank, level_mm)])
    if liquid_l is not None:
        level = _level_of(tank, room, liquid_l)
        return (FillRow(level, tank.depth_mm - level, liquid_l),)
    return _rows(tank, room, _stick(tank.depth_mm, step_mm))


def _rows(tank: Tank, room: Waterline, levels_mm: list[float]) -> tuple[FillRow, ...]:
    litres = room.volume_below_mm3(levels_mm) / MM3_PER_LITRE
    return tuple(
        FillRow(level, tank.depth_mm - level, float(litre))
        for level, litre in zip(levels_mm, litres, strict=True)
    )


def _stick(depth_mm: float, step_mm: float) -> list[float]:
    """Return the levels of a table: even steps from the floor, and the rim."""
    if not step_mm >= FINEST_STEP_MM:
        raise Refused(
            f"a step of {step_mm:g} mm", f"a stick is read in steps of {FINEST_STEP_MM:g} mm or more"
        )
    # Inches turned to mm are off by roundings: a last step shorter than a millionth of one is the rim itself.
    steps = math.ceil(depth_mm / step_mm - 1e-6)
    return [step * step_mm for step in range(steps)] + [depth_mm]


def _level_in(tank: Tank, level_mm: float) -> float:
    _check_over_floor(tank, level_mm)
    if level_mm > tank.depth_mm:
        raise Refused(
            f"{tank.name}: a level of {both_lengths(level_mm)} is over the rim",
            f"the rim is {both_lengths(tank.depth_mm)} over the floor",
        )
    return level_mm


def _level_of(tank: Tank, room: Waterline, liquid_l: float) -> float:
    volume = liquid_l * MM3_PER_LITRE
    if not 0.0 <= volume <= room.volume_mm3 * (1.0 + ROUNDING):
        raise Refused(
            f"{tank.name}: {_litres(volume)} of liquid",
            f"it holds from none to {_litres(room.volume_mm3)}, full to the rim",
        )
    return room.level_mm(min(volume, room.volume_mm3))
