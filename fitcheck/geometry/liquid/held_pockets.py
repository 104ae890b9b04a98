"""Pockets of air and of liquid that a part holds at one attitude.

What is held is exact for the part's mesh (`pockets`); the error told is what the flats that stand for round
faces can make of it, and rounding.
"""

from __future__ import annotations

import numpy as np

from fitcheck.geometry.liquid.attitude_map import vessel_of
from fitcheck.geometry.liquid.pockets import UPSIDE_DOWN, Vessel
from fitcheck.things.part import Part
from fitcheck.things.pockets import Held, Pocket, PocketKind
from fitcheck.things.solid import Floats
from fitcheck.words.units import MM2_PER_M2, MM3_PER_LITRE

# Pockets smaller than this are given as one, at the largest of them.
LISTED_L = 0.001
# Volumes are sums of some thousands of products; this share of the part's box covers their rounding.
ROUNDING = 1e-12


def held_at(part: Part, rotation: Floats) -> Held:
    """Return the pockets of air and of liquid of a part turned by a rotation, largest first.

    Parameters
    ----------
    part : Part
        The part.
    rotation : array, shape (3, 3)
        Tank from part: of a pose, `pose.rotation`.

    Returns
    -------
    Held
        Litres, and places in the part's frame in mm. None of either: it has no pockets.

    Raises
    ------
    ValueError
        For a rotation that is not of that shape.

    Notes
    -----
    Exact for the mesh, with holes under 3 mm shut: air stays under the metal up to the level at which it
    finds a way out and up, and liquid stays in it likewise, upside down. What the flats that stand for round
    faces may make of it is told beside each volume.

    Examples
    --------
    >>> import numpy as np
    >>> import fitcheck as fc
    >>> pan = fc.demo_shop().parts["P05"]
    >>> fc.held_at(pan, np.eye(3))
    <Held 0 l of air, 8.248 l of liquid>
    >>> fc.held_at(pan, np.diag([1.0, -1.0, -1.0]))
    <Held 8.248 l of air, 0 l of liquid>
    """
    return held_in(vessel_of(part), part, rotation)


def held_in(vessel: Vessel, part: Part, rotation: Floats) -> Held:
    """Return the same where the part's vessel is at hand."""
    found = _pockets(vessel, part, rotation, "air") + _pockets(vessel, part, rotation, "liquid")
    found += _shut(vessel, part, rotation)
    return Held(tuple(sorted(found, key=lambda pocket: -pocket.volume_l)))


def _pockets(vessel: Vessel, part: Part, rotation: Floats, kind: PocketKind) -> list[Pocket]:
    turned = rotation if kind == "air" else UPSIDE_DOWN @ rotation
    pools = vessel.pools(turned)
    rounding = ROUNDING * float(np.prod(np.ptp(vessel.vertices_mm, axis=0)))
    # Flats are off by the chord all over the metal touched, and the mouth is no more off in height.
    error = part.chord_mm * (pools.touched_mm2 + pools.level_mm2) + rounding
    sign = 1.0 if kind == "air" else -1.0
    small = pools.volume_mm3 < LISTED_L * MM3_PER_LITRE
    groups = [np.array([k]) for k in np.flatnonzero(~small)]
    if pools.volume_mm3[small].sum() > 0.0:
        groups.append(np.flatnonzero(small)[np.argsort(-pools.volume_mm3[small], kind="stable")])
    return [
        Pocket(
            kind,
            volume_l=float(pools.volume_mm3[group].sum()) / MM3_PER_LITRE,
            error_l=float(error[group].sum()) / MM3_PER_LITRE,
            touched_m2=float(pools.touched_mm2[group].sum()) / MM2_PER_M2,
            top_mm=place_of(vessel.vertices_mm[pools.top[group[0]]]),
            spill_mm=sign * float(pools.spill_mm[group[0]]),
        )
        for group in groups
    ]


def _shut(vessel: Vessel, part: Part, rotation: Floats) -> list[Pocket]:
    """Return the space whose only holes are too narrow to let water by, as a pocket of air."""
    if vessel.shut_mm3 <= 0.0:
        return []
    heights = vessel.shut_points_mm @ rotation[2]
    return [
        Pocket(
            "air",
            volume_l=vessel.shut_mm3 / MM3_PER_LITRE,
            error_l=part.chord_mm * vessel.shut_mm2 / MM3_PER_LITRE,
            touched_m2=vessel.shut_mm2 / MM2_PER_M2,
            top_mm=place_of(vessel.shut_points_mm[heights.argmax()]),
            spill_mm=float(heights.min()),
        )
    ]


def place_of(point: Floats) -> tuple[float, float, float]:
    """Return a point (3,) as x, y, z."""
    x, y, z = point.tolist()
    return x, y, z
