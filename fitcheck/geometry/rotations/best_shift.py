"""Best shift of a part at a given rotation: the one that an envelope asks least of."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.rotations.envelope import Envelope
from fitcheck.geometry.rotations.small_lp import highest
from fitcheck.things.solid import Floats

# Enough pivots to end for a few hundred planes; stopping early would only loosen a bound.
PIVOTS = 300
# A face that faces this little along an axis does not limit a move along it.
STEEP = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class BestShift:
    """For B rotations: the least tau_mm (inf: no shift will do), the shift, and weights (B, m) proving it.

    shift_mm: (B, 3).
    """

    tau_mm: Floats
    shift_mm: Floats
    weights: Floats


def best_shift(envelope: Envelope, room_mm: Floats, yields: Floats) -> BestShift:
    """Return the best shift where each plane k leaves room_mm (B, m).

    That is the shift of least tau with n_k . shift <= room_k + yields_k tau for every plane.
    """
    longest = longest_mm(envelope)
    slopes = np.broadcast_to(-envelope.normals * longest, (len(room_mm), *envelope.normals.shape))
    found = highest(room_mm, slopes, yields, PIVOTS)
    weights = np.zeros(room_mm.shape)
    rows = np.arange(len(weights))[:, None]
    np.add.at(weights, (rows, found.planes), np.where(np.isfinite(found.bound)[:, None], found.weights, 0.0))
    return BestShift(-found.bound, found.at * longest, weights)


def longest_mm(envelope: Envelope) -> float:
    """Return a length that no useful shift exceeds, even in a tank made much longer or deeper."""
    return 20.0 * envelope.size_mm


def hung_low(envelope: Envelope, room_mm: Floats) -> Floats:
    """Return the shift (3,) that holds a part as low as the envelope lets it, in the middle in plan.

    room_mm (m,): offset less the part's reach, at its rotation; the part must fit.
    """
    rim = np.where(envelope.is_rim, 1.0, 0.0)
    shift = best_shift(envelope, room_mm[None, :], rim).shift_mm[0]
    for axis in (0, 1, 0, 1):
        slope = envelope.normals[:, axis]
        left = room_mm - envelope.normals @ shift
        ahead = (left[slope > STEEP] / slope[slope > STEEP]).min()
        back = (left[slope < -STEEP] / slope[slope < -STEEP]).max()
        shift[axis] += (ahead + back) / 2.0
    return np.asarray(shift)
