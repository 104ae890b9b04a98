"""Where in a tank with things in it a part may go without going round any of them.

Each thing is convex, so a part on the outer side of one of its faces is clear of it. Choosing a face for
each thing leaves a convex bay of the tank, and the certified search works in a bay as in an empty tank. A
part that straddles a thing is in no bay: from the bays comes "fits", never "does not fit".
"""

from __future__ import annotations

import itertools

import numpy as np

from fitcheck.geometry.envelope import Envelope, faces_of
from fitcheck.geometry.place import place
from fitcheck.things.tank import Tank

# Bays beyond this many are left out, the least roomy first; "not found" is the answer then, not "no".
MOST_BAYS = 24


def bays(tank: Tank, outer: Envelope) -> tuple[Envelope, ...]:
    """Return the bays of a tank, roomiest first; the whole envelope where nothing stands in it."""
    if not tank.standing:
        return (outer,)
    found = [outer]
    for thing in tank.standing:
        normals, offsets = faces_of(thing.solid)
        # Outside a face is behind the same plane turned round, further off by the clearance.
        behind, limits = -normals, -(offsets + tank.rules.side_clearance_mm)
        split = [
            bay.also(behind[[k]], limits[[k]]) for bay, k in itertools.product(found, range(len(normals)))
        ]
        wide = [(_widest_mm(bay), i) for i, bay in enumerate(split)]
        best = sorted((entry for entry in wide if entry[0] > 0.0), reverse=True)[:MOST_BAYS]
        found = [split[i] for _, i in best]
    return tuple(found)


def _widest_mm(bay: Envelope) -> float:
    """Return the radius of the largest ball in a bay; below 0 where it is empty."""
    ball = place(bay, bay.offsets_mm[None, :], np.ones(len(bay.normals)))
    return -float(ball.tau_mm[0])
