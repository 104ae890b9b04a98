"""How a part hangs, in words: which end is up, how it is rolled and swung, between which heights."""

from __future__ import annotations

import math

from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, Pose
from fitcheck.words.units import RAD_PER_DEGREE, Show, show_angle, show_length

# Angles are printed to 0.1 deg; what would be printed as 0 is called level or square.
SHOWN_RAD = 0.05 * RAD_PER_DEGREE
QUARTER_RAD = math.pi / 2.0


def hanging(pose: Pose, part: Part, show: Show) -> str:
    """Return the pose in words, for somebody who has the part as drawn before him."""
    return attitude(pose.angles, part, show)


def attitude(angles: Angles, part: Part, show: Show) -> str:
    """Return the same for its three angles."""
    words = [
        _tilt(angles.tilt_rad, part.size_mm[0], show),
        _roll(angles.roll_rad),
        _swing(angles.swing_rad),
    ]
    if words == [_tilt(0.0, 0.0, show), "", ""]:
        return "level, as drawn"
    return "; ".join(word for word in words if word)


def heights(pose: Pose, part: Part, show: Show) -> str:
    """Return the lowest and highest point over the tank floor."""
    z_mm = pose.apply(part.solid.vertices_mm)[:, 2]
    return heights_between(float(z_mm.min()), float(z_mm.max()), show)


def heights_between(low_mm: float, high_mm: float, show: Show) -> str:
    """Return the same for two heights that are known."""
    low, high = show_length(low_mm, show), show_length(high_mm, show)
    return f"lowest point {low}, highest {high} over the tank floor"


def _near(angle_rad: float, to_rad: float) -> bool:
    return abs(angle_rad - to_rad) < SHOWN_RAD


def _tilt(tilt_rad: float, length_mm: float, show: Show) -> str:
    size = abs(tilt_rad)
    if size < SHOWN_RAD:
        return "level end to end"
    end = "+x" if tilt_rad > 0.0 else "-x"
    if _near(size, QUARTER_RAD):
        return f"stood on end, its {end} end up"
    rise = show_length(length_mm * math.sin(size), show)
    return f"tilted {show_angle(size)}, its {end} end up by {rise}"


def _roll(roll_rad: float) -> str:
    size = abs(roll_rad)
    if size < SHOWN_RAD:
        return ""
    if _near(size, 2.0 * QUARTER_RAD):
        return "rolled upside down"
    side = "+y" if roll_rad > 0.0 else "-y"
    if _near(size, QUARTER_RAD):
        return f"rolled onto its edge, its {side} side up"
    over = ", past its edge" if size > QUARTER_RAD else ""
    return f"rolled {show_angle(size)} about its length, its {side} side up{over}"


def _swing(swing_rad: float) -> str:
    size = abs(swing_rad)
    if size < SHOWN_RAD:
        return ""
    if _near(size, 2.0 * QUARTER_RAD):
        return "turned end for end"
    if _near(size, QUARTER_RAD):
        return "swung across the tank"
    way = "counter-clockwise" if swing_rad > 0.0 else "clockwise"
    return f"swung {show_angle(size)} {way} in plan, seen from above"
