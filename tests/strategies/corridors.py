"""Corridors with a corner, and an L-shaped part with a post in its way."""

from __future__ import annotations

import math

from strategies.solids import box, joined, part_of

from fitcheck.things.part import Part
from fitcheck.things.route import Route, Stand


def corner(a: float, b: float, length: float, headroom: float | None = None, tilt_deg: float = 0.0) -> Route:
    """Return a right-angle corner of corridors a and b wide, with room for the part at both ends."""
    far = 1.3 * length + 60.0
    floor = ((0.0, 0.0), (far, 0.0), (far, b), (a, b), (a, far), (0.0, far))
    start = Stand((a / 2.0, far - length / 2.0 - 1.0), math.pi / 2.0)
    goal = Stand((far - length / 2.0 - 1.0, b / 2.0), math.pi)
    return Route("corner", floor, start, goal, headroom, math.radians(tilt_deg))


def ell_in_a_hall(low: float, high: float) -> tuple[Part, Route]:
    """Return an L of 100 mm bars, 600 by 600, and a hall 900 wide with a post from low to high across it."""
    ell = part_of(joined(box((600.0, 100.0, 10.0)), box((100.0, 500.0, 10.0), (0.0, 100.0, 0.0))))
    floor = ((0.0, 0.0), (4000.0, 0.0), (4000.0, 900.0), (0.0, 900.0))
    post = ((1900.0, low), (2100.0, low), (2100.0, high), (1900.0, high))
    return ell, Route("hall", floor, Stand((600.0, 450.0), 0.0), Stand((3400.0, 450.0)), posts=(post,))
