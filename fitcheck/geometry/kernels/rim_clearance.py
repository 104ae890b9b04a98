"""Least lift of an underside that keeps it clear of a wall and its rim: see `overhang.py`."""

from __future__ import annotations

import math

from fitcheck.geometry.kernels.jit import compiled
from fitcheck.things.solid import Floats


@compiled
def limit_mm(x: float, rim_along: float, rim_up: float, clearance: float) -> float:
    """Return how high a point must stay at least, this far along: past the rim less the clearance."""
    short = max(rim_along - x, 0.0)
    return rim_up + math.sqrt(max(clearance * clearance - short * short, 0.0))


@compiled
def lift_mm(chain: Floats, shift: float, rim_along: float, rim_up: float, clearance: float) -> float:
    """Return the most by which the limit stands over an underside (k, 2) so shifted; -inf out of reach."""
    near = rim_along - clearance
    if len(chain) == 1:
        x = chain[0, 0] + shift
        return limit_mm(x, rim_along, rim_up, clearance) - chain[0, 1] if x > near else -math.inf
    most = -math.inf
    for k in range(len(chain) - 1):
        low, end = chain[k, 0] + shift, chain[k + 1, 0] + shift
        start = max(low, near)
        if end <= start:
            continue
        slope = (chain[k + 1, 1] - chain[k, 1]) / (end - low)
        # On the quarter circle the limit stands out most where its slope is that of the underside.
        touch = rim_along - clearance * slope / math.sqrt(1.0 + slope * slope)
        for place in (start, end, min(max(rim_along, start), end), min(max(touch, start), end)):
            over = limit_mm(place, rim_along, rim_up, clearance) - chain[k, 1] - slope * (place - low)
            most = max(most, over)
    return most


@compiled
def alike_at_mm(
    chain: Floats, mirrored: Floats, shifts: tuple[float, float], apart: float, rim_up: float,
    clearance: float, halvings: int,
) -> float:  # fmt: skip
    """Return the shift, of those between two, at which both walls' rims ask for the same lift.

    mirrored: the chain, seen from the other side of the paper.
    """
    left, right = shifts
    for _ in range(halvings):
        middle = (left + right) / 2.0
        over_high = lift_mm(chain, middle, apart, rim_up, clearance)
        if over_high > lift_mm(mirrored, -middle, 0.0, rim_up, clearance):
            right = middle
        else:
            left = middle
    return left
