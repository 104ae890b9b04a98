"""Least height of a part that stands out over the rims of a tank with upright walls.

Seen along a wall, that wall is everything at or past its inner face and at or under its rim. To keep a
straight-line distance from it, the underside of the part must stay over a limit: a quarter circle about the
rim's inner edge, and a level line beyond. Walls across from one another are seen in one view, so length and
width can be evaluated one after the other: the part must be raised as far as the worse of the two asks.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fitcheck.things.solid import Floats

# Halvings of the place between two rims: a metre comes down to what a double can tell apart.
HALVINGS = 40
# Places between two rims at which it is checked first whether lying over both can be deeper.
PLACES = 17
# Sums of metres in double precision are out by less than this, in mm; what just fits is not over a rim.
ROUNDING_MM = 1e-9


@dataclass(frozen=True, slots=True)
class Between:
    """Where a part lies between two walls: shifted by shift_mm, raised by lift_mm at least.

    lift_mm: -inf where it lies wholly between them. over_low, over_high: it stands out over that wall's rim.
    """

    shift_mm: float
    lift_mm: float
    over_low: bool = False
    over_high: bool = False


def underside(points: Floats) -> Floats:
    """Return the lower hull (k, 2) of points (n, 2) = along, up, from low to high along.

    A. M. Andrew, Another efficient algorithm for convex hulls in two dimensions, Inf. Proc. Letters 9 (1979)
    216-219.
    """
    chain: list[tuple[float, float]] = []
    for x, z in points[np.lexsort((points[:, 1], points[:, 0]))].tolist():
        while len(chain) > 1:
            (ax, az), (bx, bz) = chain[-2], chain[-1]
            if (bx - ax) * (z - az) - (bz - az) * (x - ax) > 0.0:
                break
            chain.pop()
        if not (chain and chain[-1][0] == x):
            chain.append((x, z))
    return np.array(chain)


def lowest_lift_mm(outline: Floats, rim_mm: tuple[float, float], clearance_mm: float) -> float:
    """Return by how much an outline must be raised at least to keep clear of a wall and its rim.

    outline (n, 2): along and up, in the tank. rim_mm: along and up, the inner edge of the rim; the wall is
    under it. -inf where the outline does not reach so far.
    """
    from fitcheck.geometry.kernels.rim_clearance import lift_mm

    return lift_mm(underside(outline), 0.0, *rim_mm, clearance_mm)


def lowest_between(outline: Floats, apart_mm: float, rim_mm: float, clearance_mm: float) -> Between:
    """Return where an outline goes deepest between two walls apart_mm apart, their rims at rim_mm.

    outline (n, 2): along and up. It goes between them where it can, in the middle; else out over one rim, its
    other end near the other wall; else, where its underside is hollow enough, out over both.
    """
    from fitcheck.geometry.kernels.rim_clearance import alike_at_mm, lift_mm

    low, high = float(outline[:, 0].min()), float(outline[:, 0].max())
    near, far = clearance_mm - low, apart_mm - clearance_mm - high
    if far - near >= -ROUNDING_MM:
        return Between((near + far) / 2.0, -math.inf)
    chain = underside(outline)
    mirrored = chain[::-1] * [-1.0, 1.0]

    def over_high(shift: float) -> float:
        return lift_mm(chain, shift, apart_mm, rim_mm, clearance_mm)

    def over_low(shift: float) -> float:
        return lift_mm(mirrored, -shift, 0.0, rim_mm, clearance_mm)

    one = Between(near, over_high(near), over_high=True)
    other = Between(far, over_low(far), over_low=True)
    best = one if one.lift_mm <= other.lift_mm + ROUNDING_MM else other
    if _over_both_at_least_mm(chain, np.linspace(far, near, PLACES), apart_mm) + rim_mm + clearance_mm >= (
        best.lift_mm - ROUNDING_MM
    ):
        return best
    # Further along, the far rim asks for more and the near one for less: where they ask alike is the best.
    at = alike_at_mm(chain, mirrored, (far, near), apart_mm, rim_mm, clearance_mm, HALVINGS)
    both = Between(at, max(over_high(at), over_low(at)), over_low=True, over_high=True)
    return both if both.lift_mm < best.lift_mm - ROUNDING_MM else best


def _over_both_at_least_mm(chain: Floats, shifts_mm: Floats, apart_mm: float) -> float:
    """Return how deep under its own zero an underside lies over both walls at best, shifted anywhere between.

    Between two shifts the far wall asks for what it asks at the lower one at least, the near wall for what it
    asks at the higher one. chain is convex: what is lowest past a wall is at the wall or at its lowest point.
    """
    x, z = chain.T
    lowest = float(x[z.argmin()])
    past_high = -np.interp(np.maximum(apart_mm - shifts_mm, lowest), x, z)
    past_low = -np.interp(np.minimum(-shifts_mm, lowest), x, z)
    return float(np.maximum(past_high[:-1], past_low[1:]).min())
