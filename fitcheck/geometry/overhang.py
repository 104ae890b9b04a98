"""How deep a part can go that stands out over the rim of a tank with upright walls.

Seen from the side, the wall beyond which the part stands out is everything at or past `wall` and at or under
`rim`. To keep a straight-line distance from it, the underside of the part must stay over a limit: a quarter
circle about the rim's inner edge, and a level line beyond.
"""

from __future__ import annotations

import itertools
import math

import numpy as np

from fitcheck.things.solid import Floats


def underside(points: Floats) -> Floats:
    """Return the lower hull (k, 2) of points (n, 2) = along, up, from low to high along.

    A. M. Andrew, Another efficient algorithm for convex hulls in two dimensions, Inf. Proc. Letters 9 (1979)
    216-219.
    """
    ordered = points[np.lexsort((points[:, 1], points[:, 0]))]
    chain: list[Floats] = []
    for point in ordered:
        while len(chain) > 1 and _turn(chain[-2], chain[-1], point) <= 0.0:
            chain.pop()
        if chain and chain[-1][0] == point[0]:
            continue
        chain.append(point)
    return np.array(chain)


def lowest_lift_mm(outline: Floats, rim_mm: tuple[float, float], clearance_mm: float) -> float:
    """Return by how much an outline must be raised at least to keep clear of a wall and its rim.

    outline (n, 2): along and up, in the tank. rim_mm: along and up, the inner edge of the rim; the wall is
    under it. -inf where the outline does not reach so far.
    """
    chain = underside(outline)
    if len(chain) == 1:
        return _limit(chain[0, 0], rim_mm, clearance_mm) - float(chain[0, 1])
    lifts = (_segment_lift(start, end, rim_mm, clearance_mm) for start, end in itertools.pairwise(chain))
    return max(lifts)


def _turn(a: Floats, b: Floats, c: Floats) -> float:
    return float((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))


def _limit(x: float, rim: tuple[float, float], clearance: float) -> float:
    """Return how high a point must stay at least, this far along."""
    if x <= rim[0] - clearance:
        return -math.inf
    if x >= rim[0]:
        return rim[1] + clearance
    return rim[1] + math.sqrt(max(clearance**2 - (x - rim[0]) ** 2, 0.0))


def _segment_lift(low: Floats, high: Floats, rim: tuple[float, float], clearance: float) -> float:
    """Return the most by which the limit stands over a straight piece of the underside."""
    start, end = max(float(low[0]), rim[0] - clearance), float(high[0])
    if end <= start:
        return -math.inf
    slope = float((high[1] - low[1]) / (high[0] - low[0]))
    places = [math.nextafter(start, math.inf), end, min(max(rim[0], start), end)]
    # On the quarter circle the limit stands out most where its slope is that of the underside.
    touch = rim[0] - clearance * slope / math.hypot(1.0, slope)
    if start < touch < min(end, rim[0]):
        places.append(touch)
    return max(_limit(x, rim, clearance) - (float(low[1]) + slope * (x - float(low[0]))) for x in places)
