"""How much liquid is in the tank at a level, and at which level is so much; with a part in, how it rises.

The room for liquid is the inside of the tank less everything that stands in it, as one closed mesh; its
waterline is the dip-stick. What stands proud of the rim, or reaches into a wall, counts only where it is
inside the tank.
"""

from __future__ import annotations

import math

from fitcheck.geometry.liquid.fill_level import ROUNDING, both_volumes, check_over_floor, room_for_liquid
from fitcheck.geometry.liquid.waterline import Waterline
from fitcheck.questions.fill.answer import FillAnswer, FillRow
from fitcheck.things.shop import Shop
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
) -> FillAnswer:
    """Tell how much liquid stands in a tank at a level, or how high so much stands; no part in.

    Parameters
    ----------
    tank : Tank
        The tank; what stands in it (blocks and fittings) is taken off.
    level_mm : float, optional
        The surface over the tank floor, in mm: one row comes back.
    liquid_l : float, optional
        The liquid, in litres: one row comes back. Without either: a dip-stick from the floor to the rim.
    step_mm : float
        From one line of the dip-stick to the next, in mm.

    Returns
    -------
    FillAnswer
        A sequence of `FillRow`, lowest first: mm over the floor, mm down from the rim, litres. Exact for the
        mesh of the tank's inside. It has no verdict.

    Raises
    ------
    Refused
        For both a level and a volume, for a level under the floor or over the rim, for less than no liquid or
        more than the tank holds, for a step under 1 mm, and where what stands in the tank leaves no room.

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> answer = fc.fill(shop.tanks["T1"], level_mm=400.0)
    >>> round(answer[0].liquid_l), round(answer[0].from_rim_mm, 1)
    (1189, 209.6)
    >>> len(fc.fill(shop.tanks["T1"], step_mm=100.0))
    8
    """
    if level_mm is not None and liquid_l is not None:
        raise Refused(f"{tank.name}: both a level and a volume were given", "give one of them")
    room = room_for_liquid(tank)
    if level_mm is not None:
        rows = _rows(tank, room, [_level_in(tank, level_mm)])
    elif liquid_l is not None:
        level = _level_of(tank, room, liquid_l)
        rows = (FillRow(level, tank.depth_mm - level, liquid_l),)
    else:
        rows = _rows(tank, room, _stick(tank.depth_mm, step_mm))
    return FillAnswer(tank.name, rows, asked=Shop.of(tank))


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
    check_over_floor(tank, level_mm)
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
            f"{tank.name}: {both_volumes(volume)} of liquid",
            f"it holds from none to {both_volumes(room.volume_mm3)}, full to the rim",
        )
    return room.level_mm(min(volume, room.volume_mm3))
