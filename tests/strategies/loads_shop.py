"""A small shop for loads and ladders: two cases in one tank under a hoist, and a bar that is too long."""

from __future__ import annotations

SHOP = """
[rules]
side_clearance = "25 mm"
bottom_clearance = "50 mm"
cover = "50 mm"
freeboard = "100 mm"
part_gap = "25 mm"
[liquids.bath]
specific_gravity = 1.0
[tanks.T]
liquid = "bath"
inside = ["2 m", "500 mm", "600 mm"]
hoist = "70 kg"
[parts.case]
shape = "block"
size = ["600 mm", "200 mm", "100 mm"]
metal = "aluminium"
tilt_at_most = "0 deg"
roll_at_most = "0 deg"
swing_at_most = "0 deg"
count = 2
[parts.long]
shape = "block"
size = ["3 m", "20 mm", "20 mm"]
metal = "aluminium"
"""
