"""Part as it hangs, with the space that its pockets fill: what all pictures of it are made from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.liquid.pocket_shape import SHOWN_L, pocket_shapes
from fitcheck.geometry.mesh.hole_caps import NARROW_MM, holes_capped
from fitcheck.things.part import Part
from fitcheck.things.pockets import Held, Pocket, PocketKind, PocketShape
from fitcheck.things.pose import Pose
from fitcheck.things.solid import Floats, Solid

# Pockets drawn, largest first: more of them would be dots, and each is cut out by itself.
_MOST_DRAWN = 40


@dataclass(frozen=True, slots=True, eq=False)
class Hung:
    """One part at one pose, everything placed by it.

    ends_mm (2, 3): the middles of the part's -x and +x ends. pockets: largest first.
    """

    part: Solid
    pose: Pose
    ends_mm: Floats
    pockets: tuple[PocketShape, ...]


def hung(part: Part, pose: Pose, held: Held) -> Hung:
    """Return a part at a pose, with the pockets of what is held there (at any swing)."""
    low, high = part.solid.vertices_mm.min(axis=0), part.solid.vertices_mm.max(axis=0)
    middle = (low + high) / 2.0
    ends = np.array([[low[0], middle[1], middle[2]], [high[0], middle[1], middle[2]]])
    shapes = tuple(
        PocketShape(shape.pocket, shape.solid.moved(pose.rotation, pose.shift_mm))
        for shape in _shapes(part, pose.rotation, held)
    )
    return Hung(part.solid.moved(pose.rotation, pose.shift_mm), pose, pose.apply(ends), shapes)


def only(held: Held, kind: PocketKind) -> Held:
    """Return the pockets of one kind."""
    return Held(tuple(pocket for pocket in held.pockets if pocket.kind == kind))


def left_out(here: Hung, held: Held) -> tuple[Pocket, ...]:
    """Return the pockets of what is held, large enough to be seen, that the picture does not show."""
    drawn = [shape.pocket for shape in here.pockets]
    return tuple(pocket for pocket in held.pockets if pocket.volume_l >= SHOWN_L and pocket not in drawn)


def _shapes(part: Part, rotation: Floats, held: Held) -> tuple[PocketShape, ...]:
    drawn = [pocket for pocket in held.pockets if pocket.volume_l >= SHOWN_L][:_MOST_DRAWN]
    if not drawn:
        return ()
    # The surface that was asked: water closes narrow holes.
    return pocket_shapes(holes_capped(part.skin, NARROW_MM), rotation, Held(tuple(drawn)))
