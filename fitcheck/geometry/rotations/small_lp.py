"""Many small linear programmes at once: the greatest z under a few planes, inside a box.

For each of B programmes with K planes, find the highest z with lift_k z <= c_k + g_k . y for some y in
[-1, 1]^n, all lift_k >= 0. Planes with lift 0 do not bound z; they say where y may be. Solved by the dual
simplex method (Lemke, Naval Research Logistics Quarterly 1, 1954), all programmes pivoting together.

Weights w >= 0 of the planes with sum w lift = 1 prove z <= sum w c + sum_i |sum w g_i|; with
sum w lift = 0 and the right side below zero they prove that no y is allowed. Both are computed afresh from
the weights, so rounding in the pivots can loosen a bound but never make it wrong.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.things.solid import Floats, Indices


@dataclass(frozen=True, slots=True, eq=False)
class Highest:
    """bound (B,): proven upper bounds of z (-inf: no y is allowed). at (B, n): where it is reached.

    planes, weights (B, n + 1): the planes that bound it, and by how much (0 for a side of the box).
    """

    bound: Floats
    at: Floats
    planes: Indices
    weights: Floats


def highest(c: Floats, g: Floats, lift: Floats, pivots: int = 12) -> Highest:
    """Return upper bounds of z for every programme: c (B, K), g (B, K, n), lift (K,), some of it above 0.

    pivots: the most pivots; fewer only loosen the bound.
    """
    from fitcheck.geometry.kernels.dual_simplex import programmes

    return Highest(*programmes(np.ascontiguousarray(c), np.ascontiguousarray(g), lift, pivots))
