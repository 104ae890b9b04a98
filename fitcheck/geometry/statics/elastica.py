"""Curve of a sheet that is sprung until its edges are so far apart, and what holds it there.

Held round all along (by ribs or a former) it is an arc of a circle; past half a turn, a half circle with
straight legs. Held by straps from edge to edge alone it is the elastica, bent tightest in the middle:
S. P. Timoshenko and J. M. Gere, Theory of Elastic Stability, 2nd ed. (1961), article 2.7.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from fitcheck.things.springing import Curve

# Halvings of the half angle: a double cannot tell more apart.
HALVINGS = 60


@dataclass(frozen=True, slots=True)
class Bend:
    """The middle line of a sprung sheet: round over 2 x half_angle_rad, with a straight leg at each end."""

    curve: Curve
    radius_mm: float
    half_angle_rad: float
    leg_mm: float

    @property
    def chord_mm(self) -> float:
        """From edge to edge."""
        return 2.0 * self.radius_mm * math.sin(self.half_angle_rad)

    @property
    def rise_mm(self) -> float:
        """From the chord to the crown."""
        return self.radius_mm * (1.0 - math.cos(self.half_angle_rad)) + self.leg_mm


@dataclass(frozen=True, slots=True)
class Strapped:
    """A sheet held by straps alone: radius_mm in the middle, its rise, and P l^2 / D of the straps."""

    radius_mm: float
    rise_mm: float
    pull: float


def bend_of(flat_mm: float, chord_mm: float) -> Bend:
    """Return the curve of a line flat_mm long whose ends are held chord_mm apart; 0 < chord_mm < flat_mm.

    An arc of half angle phi has sin(phi) / phi = chord / length; beyond phi = 90 degrees it would be wider
    than its chord, so it goes down in straight legs instead.
    """
    if chord_mm * math.pi <= 2.0 * flat_mm:
        radius = chord_mm / 2.0
        return Bend("U", radius, math.pi / 2.0, (flat_mm - math.pi * radius) / 2.0)
    low, high = 0.0, math.pi / 2.0
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if math.sin(middle) * flat_mm > chord_mm * middle else (low, middle)
    return Bend("arc", flat_mm / (2.0 * high), high, 0.0)


def outside_bend(flat_mm: float, thickness_mm: float, chord_mm: float) -> Bend:
    """Return the curve of the middle of a sheet whose outer edges are chord_mm apart.

    The outer face's edges stand out by half the thickness, along the radius; the crown of a U as well.
    """
    low, high = 0.0, chord_mm
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        bend = bend_of(flat_mm, middle)
        over = middle + thickness_mm * math.sin(bend.half_angle_rad)
        low, high = (middle, high) if over < chord_mm else (low, middle)
    return bend_of(flat_mm, low)


def strapped(flat_mm: float, chord_mm: float) -> Strapped:
    """Return how a sheet stands that straps alone hold, its edges chord_mm apart and free to turn.

    With modulus k: chord / length = 2 E(k) / K(k) - 1; pull = D (2 K / length)^2 a unit of breadth; the
    middle is bent to 4 k K / length, and rises by k length / K.
    """
    from scipy.special import ellipe, ellipk

    low, high = 0.0, 1.0
    for _ in range(HALVINGS):
        k = (low + high) / 2.0
        apart = 2.0 * float(ellipe(k * k) / ellipk(k * k)) - 1.0
        low, high = (k, high) if apart * flat_mm > chord_mm else (low, k)
    k, whole = low, float(ellipk(low * low))
    return Strapped(flat_mm / (4.0 * k * whole), k * flat_mm / whole, (2.0 * whole) ** 2)


def plate_stiffness_nmm(thickness_mm: float, modulus_gpa: float, poisson: float) -> float:
    """Return the bending stiffness of a wide sheet for each mm of its breadth, in N mm.

    E t^3 / 12 (1 - nu^2): a wide sheet cannot curl across. S. Timoshenko and S. Woinowsky-Krieger, Theory of
    Plates and Shells, 2nd ed. (1959), equation 3.
    """
    return 1000.0 * modulus_gpa * thickness_mm**3 / (12.0 * (1.0 - poisson**2))
