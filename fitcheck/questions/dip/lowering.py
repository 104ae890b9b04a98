"""How the liquid rises while a part is let down into it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.liquid.fill_level import room_for_liquid
from fitcheck.geometry.liquid.waterline import Waterline
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.tank import Tank
from fitcheck.words.units import MM3_PER_LITRE

# Halvings of the depth: a metre is then known to 1e-9 mm.
HALVINGS = 40


@dataclass(frozen=True, slots=True)
class Lowered:
    """The part so far above where it is to hang, and the surface over the tank floor then."""

    raised_mm: float
    level_mm: float


def lowering(
    part: Part, pose: Pose, tank: Tank, liquid_l: float, air_l: float = 0.0, steps: int = 40
) -> tuple[Lowered, ...]:
    """Tell how the surface rises as the part is let down, straight and at its attitude, to `pose`.

    From over the rim, in even steps, to the pose. liquid_l is in the tank all along and none runs over: a
    level over the rim stands as if the walls went straight on up. air_l, caught at the pose, is shared out in
    proportion to what is under.
    """
    room = room_for_liquid(tank)
    placed = pose.apply(part.skin.vertices_mm)
    body = Waterline.of(placed, part.skin.triangles)
    over_rim = float(room.plane_area_mm2(tank.depth_mm))
    swell = 1.0 + air_l * MM3_PER_LITRE / body.volume_mm3
    wanted = liquid_l * MM3_PER_LITRE
    low, high = float(placed[:, 2].min()), float(placed[:, 2].max())
    raised = np.linspace(tank.depth_mm - min(low, 0.0), 0.0, steps)
    under = np.zeros(steps)
    over = np.full(steps, tank.depth_mm + high + wanted / over_rim)
    for _ in range(HALVINGS):
        level = (under + over) / 2.0
        holds = room.volume_below_mm3(level) + over_rim * np.maximum(level - tank.depth_mm, 0.0)
        holds = holds - swell * body.volume_below_mm3(level - raised)
        under, over = np.where(holds < wanted, level, under), np.where(holds < wanted, over, level)
    return tuple(Lowered(float(r), float(z)) for r, z in zip(raised, over, strict=True))
