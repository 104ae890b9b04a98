"""Space that each pocket fills, as a solid: for pictures.

It is what lies over the level at the pocket's mouth and not in the metal, cut out by exact solid modelling.
That shares nothing with the way pockets are found, so a shape whose volume is not the pocket's says that one
of the two is wrong.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from fitcheck.geometry.liquid.pockets import UPSIDE_DOWN
from fitcheck.shapes.manifold import manifold_of, solid_of
from fitcheck.things.pockets import Held, Pocket, PocketKind, PocketShape
from fitcheck.things.solid import Floats, Solid
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM3_PER_LITRE

if TYPE_CHECKING:
    from manifold3d import Manifold

# A pocket smaller than this would be a dot in a picture.
SHOWN_L = 0.001
# A shape that is off by more than this share of its pocket is not shown.
OFF = 0.01
# Of the part's size. A level just through the lip of the pocket would leave it to rounding (1e-16 of the
# size) and to the least gap of the cutting (1e-12 of it) whether the pocket is shut off; this is over both.
LIFT = 1e-9
# A corner that has been turned is found again within this: far over rounding, far under the finest mesh.
SAME_MM = 1e-3


def pocket_shapes(skin: Solid, rotation: Floats, held: Held) -> tuple[PocketShape, ...]:
    """Return the space that each pocket of `held` fills, in the part's frame.

    skin: the surface that was asked what it holds, in the part's frame; rotation (3, 3): the one it was asked
    at. Pockets under SHOWN_L are left out, and so is one whose shape is not found: what has its top over its
    level has not, within OFF, its volume. A skin that cannot be cut gives none.
    """
    shown = [pocket for pocket in held.pockets if pocket.volume_l >= SHOWN_L]
    if not shown:
        return ()
    try:
        shapes = [shape for kind in ("air", "liquid") for shape in _shapes_of(skin, rotation, shown, kind)]
    except Refused:
        return ()
    return tuple(sorted(shapes, key=lambda shape: -shape.pocket.volume_l))


def _shapes_of(skin: Solid, rotation: Floats, shown: list[Pocket], kind: PocketKind) -> Iterator[PocketShape]:
    """Give the shapes of one kind; liquid is air upside down."""
    pockets = [pocket for pocket in shown if pocket.kind == kind]
    if not pockets:
        return
    turned = rotation if kind == "air" else UPSIDE_DOWN @ rotation
    sign = 1.0 if kind == "air" else -1.0
    body = manifold_of(skin.moved(turned, np.zeros(3)))
    tops = np.array([pocket.top_mm for pocket in pockets]) @ turned.T
    pieces: dict[float, list[Manifold]] = {}
    for k, pocket in enumerate(pockets):
        if pocket.spill_mm not in pieces:
            pieces[pocket.spill_mm] = _free_over(body, sign * pocket.spill_mm)
        found = _filling(pieces[pocket.spill_mm], tops, k, pocket.volume_l * MM3_PER_LITRE)
        if found is not None:
            shape = solid_of(found, f"pocket of {kind}")
            yield PocketShape(pocket, shape.moved(turned.T, np.zeros(3)))


def _free_over(body: Manifold, level_mm: float) -> list[Manifold]:
    """Return the free space over a level in pieces that do not hang together, the open air left out."""
    from manifold3d import Manifold

    low_x, low_y, low_z, high_x, high_y, high_z = body.bounding_box()
    size = max(high_x - low_x, high_y - low_y, high_z - low_z)
    corner = np.array([low_x - size, low_y - size, level_mm + LIFT * size])
    reach = np.array([high_x + size, high_y + size, high_z + size]) - corner
    pieces = (Manifold.cube(reach).translate(corner) - body).decompose()
    # All that is open hangs together around the part and over it, and so reaches the top of the box.
    return [piece for piece in pieces if piece.bounding_box()[5] <= high_z]


def _filling(pieces: list[Manifold], tops: Floats, k: int, volume_mm3: float) -> Manifold | None:
    """Return the piece with the k-th of all tops (n, 3), if it has the volume of the pocket.

    Where pockets meet just at their mouths they may have been told as one: then all pieces without any top
    belong to it too. None where neither has its volume.
    """
    from manifold3d import Manifold

    if not pieces:
        return None
    corners = [np.asarray(piece.to_mesh64().vert_properties)[:, :3] for piece in pieces]
    far = np.array([[np.linalg.norm(each - top, axis=1).min() for top in tops] for each in corners])
    own = int(far[:, k].argmin())
    others = [piece for piece, away in zip(pieces, far, strict=True) if away.min() > SAME_MM]
    for found in (pieces[own], Manifold.compose([pieces[own], *others])):
        if abs(found.volume() - volume_mm3) <= OFF * volume_mm3:
            return found
    return None
