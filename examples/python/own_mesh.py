"""A wedge in a box, made of plain numbers, with no shop file; and in a longer one.

Prints, among others: 600 mm long inside: does not fit.
"""

from dataclasses import replace

import fitcheck as fc

# Triangles counter-clockwise, seen from outside.
CORNERS = [(0, 0, 0), (700, 0, 0), (700, 200, 0), (0, 200, 0), (0, 0, 150), (0, 200, 150)]
FACES = [(0, 2, 1), (0, 3, 2), (0, 1, 4), (2, 3, 5), (0, 4, 5), (0, 5, 3), (1, 2, 5), (1, 5, 4)]
# 10 mm clear at the sides, 20 over the floor, 30 of cover, 40 of freeboard.
RULES = fc.Rules(10.0, 20.0, 30.0, 40.0)


def tank_of(length: float) -> fc.Tank:
    """Return a box tank of this length inside."""
    return fc.Tank.box("tank", (length, 300.0, 500.0), rules=RULES)


part = fc.Part.from_mesh((CORNERS, FACES), "mm", density_kg_l=2.7, name="wedge")
for length in (600.0, 680.0, 800.0):
    print(f"{length:g} mm long inside: {fc.dip(part, tank_of(length)).verdict}")
level = replace(part, attitude=replace(part.attitude, tilt_rad=0.0))
print(f"kept level, 680 mm long inside: {fc.dip(level, tank_of(680.0)).verdict}")
