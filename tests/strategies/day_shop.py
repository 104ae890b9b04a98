"""A small shop with a day: two kinds of tank, a rack of two rails, plates that go through, a boom too long."""

from __future__ import annotations

SHOP = """
[shop]
name = "Yard"
[rules]
part_gap = "10 mm"
side_clearance = "10 mm"
bottom_clearance = "20 mm"
[liquids.bath]
specific_gravity = 1.0
[tanks.etch]
inside = ["1000 mm", "300 mm", "400 mm"]
liquid = "bath"
[tanks.rinse]
inside = ["1000 mm", "400 mm", "400 mm"]
liquid = "bath"
[tanks.trough]
inside = ["1000 mm", "200 mm", "400 mm"]
liquid = "bath"
[racks.line]
kind = "rail"
rails = [{ length = "3 m", height = "2 m" }, { length = "1 m", height = "2 m" }]
part_gap = "50 mm"
[parts.plate]
shape = "block"
size = ["800 mm", "80 mm", "20 mm"]
metal = "aluminium"
count = 6
tilt_at_most = "0 deg"
roll_at_most = "0 deg"
swing_at_most = "0 deg"
[parts.boom]
shape = "block"
size = ["2400 mm", "80 mm", "20 mm"]
metal = "aluminium"
"""
STEPS = """
[steps.etch]
tank = "etch"
dwell = "8 min"
drip = "1 min"
wait_at_most = "3 min"
[steps.rinse]
tanks = ["rinse", "trough"]
dwell = "3 min"
[steps.dry]
rack = "line"
dwell = "20 min"
"""
DAY = '[day]\npeople = 2\npeople_per_load = 2\ntransfer = "1 min"\nstart = "8:00"\nhours = "2 h"\n'
