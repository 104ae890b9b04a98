"""A wedge in a box, made of plain numbers, with no shop file; and in a longer one.

Prints, among others: 600 mm long inside: does not fit.
"""

from dataclasses import replace

import numpy as np

import fitcheck as fc
from fitcheck.geometry.mesh.measure import weighed
from fitcheck.things.liquid import Liquid


def box(length: float, width: float, depth: float) -> fc.Solid:
    """Return a box with a corner in the origin: triangles counter-clockwise, seen from outside."""
    corners = np.array([(x, y, z) for x in (0.0, length) for y in (0.0, width) for z in (0.0, depth)])
    quads = np.array([[0, 1, 3, 2], [4, 6, 7, 5], [0, 4, 5, 1], [2, 3, 7, 6], [0, 2, 6, 4], [1, 5, 7, 3]])
    return fc.Solid(corners, np.concatenate([quads[:, [0, 1, 2]], quads[:, [0, 2, 3]]]))


def tank_of(length: float) -> fc.Tank:
    """Return a tank: 10 mm clear at the sides, 20 over the floor, 30 of cover, 40 of freeboard."""
    size = (length, 300.0, 500.0)
    return fc.Tank("tank", box(*size), size, Liquid("water"), fc.Rules(10.0, 20.0, 30.0, 40.0))


wedge = fc.Solid(
    np.array([(0, 0, 0), (700, 0, 0), (700, 200, 0), (0, 200, 0), (0, 0, 150), (0, 200, 150)], dtype=float),
    np.array([(0, 2, 1), (0, 3, 2), (0, 1, 4), (2, 3, 5), (0, 4, 5), (0, 5, 3), (1, 2, 5), (1, 5, 4)]),
)
part = weighed("wedge", wedge, density_kg_l=2.7)
for length in (600.0, 680.0, 800.0):
    print(f"{length:g} mm long inside: {fc.dip(part, tank_of(length)).verdict}")
level = replace(part, attitude=replace(part.attitude, tilt_rad=0.0))
print(f"kept level, 680 mm long inside: {fc.dip(level, tank_of(680.0)).verdict}")
