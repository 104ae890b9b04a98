"""What the picture of a dip answer shows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitcheck.draw.posed_part import hung, only
from fitcheck.questions.dip.answer import DipAnswer, Fits, MeasureAgain
from fitcheck.things.part import Part
from fitcheck.things.pockets import Held
from fitcheck.things.tank import Tank

if TYPE_CHECKING:
    pass
from fitcheck.draw.scene import Scene


def scene_of(answer: DipAnswer, part: Part, tank: Tank) -> Scene:
    """Return what the picture of an answer shows: the pose advised, or the nearest where none is."""
    if isinstance(answer, Fits | MeasureAgain):
        pose, fill, held = answer.advice.pose, answer.advice.fill, answer.advice.held
    else:
        pose, fill, held = answer.nearest, None, Held(())
    # The part is under: what is caught there is air.
    here = hung(part, pose, only(held, "air"))
    return Scene(here.part, here.pose, here.ends_mm, here.pockets, tank, fill)
