"""What pulls on the hook, and where on the part: in air, under the liquid, and lifted out with liquid in it.

Air and liquid are those caught as it hangs in air. When the part turns a little under the liquid, or swings
with the liquid it carries, they are taken as staying where they are in it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.liquid.held_pockets import held_in
from fitcheck.geometry.liquid.pockets import UPSIDE_DOWN, Vessel
from fitcheck.geometry.liquid.pool_centre import moments_of
from fitcheck.geometry.mesh.hole_caps import NARROW_MM, holes_capped
from fitcheck.geometry.mesh.measure import measures, skin_of
from fitcheck.things.part import Part
from fitcheck.things.pockets import Held
from fitcheck.things.solid import Floats
from fitcheck.words.units import MM3_PER_LITRE, STANDARD_GRAVITY_M_S2


@dataclass(frozen=True, slots=True, eq=False)
class Load:
    """A force down (below 0: up) in N, and the point (3,) of the part, in its frame, where it acts."""

    force_n: float
    at_mm: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Loads:
    """The three loads of one part at one attitude, and what it holds there."""

    dry: Load
    under: Load
    breakout: Load
    held: Held


def loads_of(part: Part, rotation: Floats, density_kg_l: float) -> Loads:
    """Return the loads of a part turned by a rotation (3, 3), in a liquid of a density.

    Under the liquid it displaces its skin, spaces whose holes are too narrow to let water by, and the air it
    catches (Archimedes).
    """
    closed = holes_capped(part.skin, NARROW_MM)
    vessel = Vessel(closed)
    air, air_moment = moments_of(vessel, rotation, vessel.pools(rotation))
    turned = UPSIDE_DOWN @ rotation
    liquid, liquid_moment = moments_of(vessel, turned, vessel.pools(turned))
    skin = measures(skin_of(closed))
    weigh = density_kg_l * STANDARD_GRAVITY_M_S2 / MM3_PER_LITRE
    weight = part.mass_kg * STANDARD_GRAVITY_M_S2
    dry = Load(weight, part.centre_mm)
    return Loads(
        dry,
        _sum(dry, -weigh * (skin.volume_mm3 + air), -weigh * (skin.volume_mm3 * skin.centre_mm + air_moment)),
        _sum(dry, weigh * liquid, weigh * liquid_moment),
        held_in(vessel, part, rotation),
    )


def _sum(dry: Load, more_n: float, moment: Floats) -> Load:
    """Return the load with another force, and its first moment in N mm, joined to it."""
    force = dry.force_n + more_n
    if force == 0.0:
        return Load(0.0, dry.at_mm)
    return Load(force, np.asarray((dry.force_n * dry.at_mm + moment) / force))
