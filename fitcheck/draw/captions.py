"""Captions of a drawing: the verdict, how to hang the part, how much liquid, what to beware of."""

from __future__ import annotations

import math
from dataclasses import dataclass

from fitcheck.draw import ink
from fitcheck.things.pose import Angles, Pose
from fitcheck.words.units import RAD_PER_DEGREE, show_angle

STANDING_CAUTION = (
    "On paper: prove it in plain water first. The safety sheet and local codes outrank this sheet."
)

DASHED = "Dashed: the room that the clearances leave. Hatched: what of the part lies outside it."


# Angles are printed to 0.1 degree; less than half of that reads as none.
LEAST_RAD = 0.05 * RAD_PER_DEGREE


@dataclass(frozen=True, slots=True)
class Fact:
    """One line of the panel: what it is, and its value in large print."""

    name: str
    words: str
    colour: str = ink.INK
    leading: bool = False


def pose_words(pose: Pose) -> str:
    """Return how the part hangs, as drawn otherwise: "+x end up 4.6 deg, rolled 49.5 deg, +y side up"."""
    return attitude_words(pose.angles)


def attitude_words(angles: Angles) -> str:
    """Return the same for its three angles."""
    tilt, roll, swing = angles
    words = []
    if abs(tilt) >= LEAST_RAD:
        words.append(tilt_words(tilt))
    if abs(roll) >= LEAST_RAD:
        side = "" if _is_half(roll) else f", {'+y' if roll > 0.0 else '-y'} side up"
        words.append(f"{roll_words(roll)}{side}")
    if abs(swing) >= LEAST_RAD:
        way = "" if _is_half(swing) else f" {'counter-clockwise' if swing > 0.0 else 'clockwise'}"
        words.append(f"swung {show_angle(abs(swing))}{way}")
    return ", ".join(words) if words else "level, as drawn"


def _is_half(angle: float) -> bool:
    """Whether an angle is half a turn, either way round."""
    return math.pi - abs(angle) < LEAST_RAD


def tilt_words(tilt_rad: float) -> str:
    """Return a tilt as "+x end up 4.6 deg"."""
    return f"{'+x' if tilt_rad > 0.0 else '-x'} end up {show_angle(abs(tilt_rad))}"


def roll_words(roll_rad: float) -> str:
    """Return a roll as "rolled 49.5 deg"."""
    return f"rolled {show_angle(abs(roll_rad))}"
