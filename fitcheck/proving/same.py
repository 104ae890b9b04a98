"""Tolerances within which two ways to work out one number agree."""

from __future__ import annotations

import math

# Two ways to work out one number differ by rounding of sums of metres, and by what the search forgives.
SAME_MM = 1e-5
SAME_SHARE = 1e-6


def same(one: float, other: float) -> bool:
    """Tell whether two ways to work out one number agree."""
    if not (math.isfinite(one) and math.isfinite(other)):
        return one == other
    return abs(one - other) <= SAME_MM + SAME_SHARE * max(abs(one), abs(other))
