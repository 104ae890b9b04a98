"""What the picture of a lift shows: part, hook, rim and floor, all in the tank's frame."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.draw.posed_part import Hung, hung, only
from fitcheck.questions.hang.answer import HangAnswer
from fitcheck.things.part import Part
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank


@dataclass(frozen=True, slots=True, eq=False)
class Lift:
    """Everything placed; heights are over the tank's own floor.

    picks_mm (k, 3), hook_mm, centre_mm (3,). floor_mm: the shop floor, None where the rim's height is not
    known. highest_mm: how high the hook goes, None where that is not known. low_mm, high_mm (3,): the corners
    of all that is drawn.
    """

    here: Hung
    tank: Tank
    picks_mm: Floats
    hook_mm: Floats
    centre_mm: Floats
    floor_mm: float | None
    highest_mm: float | None
    low_mm: Floats
    high_mm: Floats


def lift_of(answer: HangAnswer, part: Part, tank: Tank) -> Lift:
    """Return what is drawn of an answer: the liquid that it carries out is in it."""
    here = hung(part, answer.pose, only(answer.held, "liquid"))
    hook = np.array(answer.hook_at_mm)
    picks = answer.pose.apply(np.array([leg.pick_mm for leg in answer.legs]))
    rim = tank.rim
    floor = None if rim.height_mm is None else tank.depth_mm - rim.height_mm
    highest = None if floor is None or rim.hook_height_mm is None else floor + rim.hook_height_mm
    points = np.vstack([tank.inside.vertices_mm, here.part.vertices_mm, hook])
    low, high = points.min(axis=0), points.max(axis=0)
    if floor is not None:
        low[2] = min(low[2], floor)
    if highest is not None:
        high[2] = max(high[2], highest)
    centre = answer.pose.apply(part.centre_mm[None, :])[0]
    return Lift(here, tank, picks, hook, centre, floor, highest, low, high)
