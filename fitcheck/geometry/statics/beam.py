"""Sag of a long thin part between and beyond the places where it is held (beam formula).

Euler-Bernoulli beam under its own even weight, by double integration (S. Timoshenko, Strength of Materials,
part I, chapter V, from memory). With unlike second moments about two axes the beam bends towards the weaker
one too; what is told is how far it goes down.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fitcheck.shapes.manifold import manifold_of
from fitcheck.things.solid import Floats, Solid

# Stations along the part where its section is taken; the weakest counts. None is at the middle or a third,
# where baffles like to stand.
STATIONS = (0.22, 0.39, 0.47, 0.61, 0.78)
# Rotation (x, y, z) -> (y, z, x): a slice square to z is then one square to the part's length.
LENGTH_UP = np.array([[0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]])


@dataclass(frozen=True, slots=True, eq=False)
class Section:
    """A cross-section: its area, and its second moments (2, 2) about its own centre, in (y, z)."""

    area_mm2: float
    second_mm4: Floats


@dataclass(frozen=True, slots=True)
class Beam:
    """A beam of even weight: its length, weight in N for each mm across its length, and stiffness E I."""

    length_mm: float
    load_n_mm: float
    stiffness_n_mm2: float


def section_at(solid: Solid, x_mm: float) -> Section:
    """Return the section of the metal square to x.

    Exact for the mesh, by Green's theorem round the section's outlines. An area of 0 where there is no metal.
    """
    cut = manifold_of(solid.moved(LENGTH_UP, np.zeros(3))).slice(x_mm)
    rings = [np.asarray(ring, dtype=np.float64) for ring in cut.to_polygons()]
    if not rings:
        return Section(0.0, np.zeros((2, 2)))
    start = np.vstack(rings)
    end = np.vstack([np.roll(ring, -1, axis=0) for ring in rings])
    about = start.mean(axis=0)
    start, end = start - about, end - about
    cross = start[:, 0] * end[:, 1] - start[:, 1] * end[:, 0]
    area = float(cross.sum()) / 2.0
    centre = cross @ (start + end) / (6.0 * area)
    total = start + end
    second = sum((row * cross[:, None]).T @ row for row in (total, start, end)) / 24.0
    return Section(area, np.asarray(second - area * np.outer(centre, centre)))


def weakest_mm4(solid: Solid, down: Floats) -> float:
    """Return the second moment that counts against a load along `down` (y, z), least of all stations.

    For an even section it is the usual one; for a lopsided one, that which gives the deflection along the
    load: 1 / (d . J^-1 d), with J the tensor of second moments (unsymmetrical bending). 0 where the part is
    cut through somewhere.
    """
    low, high = float(solid.vertices_mm[:, 0].min()), float(solid.vertices_mm[:, 0].max())
    sections = [section_at(solid, low + share * (high - low)) for share in STATIONS]
    if any(section.area_mm2 <= 0.0 for section in sections):
        return 0.0
    return min(1.0 / float(down @ np.linalg.solve(section.second_mm4, down)) for section in sections)


def droop_mm(beam: Beam, supports_mm: Sequence[float]) -> float:
    """Return how far the beam sinks under the line of its one or two supports, at its lowest.

    supports_mm: their distances from the beam's low end, the nearer first. One support holds it level there.
    0 where no part of it is lower than that line.
    """
    low = -min(float(_deflection(beam, supports_mm, at).min()) for at in _looked_at(beam, supports_mm))
    return max(low, 0.0)


def _looked_at(beam: Beam, supports_mm: Sequence[float]) -> list[Floats]:
    """Return where the lowest point may be: both ends, and where the slope is 0 between the supports."""
    ends = np.array([0.0, beam.length_mm])
    if len(supports_mm) == 1:
        return [ends]
    first, second = supports_mm
    # Between them the deflection is a polynomial of the fourth degree; five of its values tell it.
    nodes = np.linspace(first, second, 5)
    centre, half = (first + second) / 2.0, (second - first) / 2.0
    fit = np.polynomial.Polynomial.fit(
        (nodes - centre) / half, _deflection(beam, supports_mm, nodes), 4, domain=[-1.0, 1.0]
    )
    roots = fit.deriv().roots()
    level = np.real(roots[np.abs(np.imag(roots)) < 1e-9])
    inside = level[np.abs(level) <= 1.0]
    return [ends, *([centre + half * inside] if len(inside) else [])]


def _deflection(beam: Beam, supports_mm: Sequence[float], at_mm: Floats) -> Floats:
    """Return the height over the line of the supports at places along the beam, upward."""
    load, stiff, length = beam.load_n_mm, beam.stiffness_n_mm2, beam.length_mm
    if len(supports_mm) == 1:
        arm = np.where(at_mm < supports_mm[0], supports_mm[0], length - supports_mm[0])
        out = np.abs(at_mm - supports_mm[0])
        # Cantilever under even load: w x^2 (6 a^2 - 4 a x + x^2) / 24 E I.
        sunk: Floats = load * out**2 * (6.0 * arm**2 - 4.0 * arm * out + out**2) / (24.0 * stiff)
        return -sunk
    first, second = supports_mm
    push_second = load * length * (length / 2.0 - first) / (second - first)
    push_first = load * length - push_second

    def bent(x: Floats) -> Floats:
        bend: Floats = (
            push_first * np.maximum(x - first, 0.0) ** 3 / 6.0
            + push_second * np.maximum(x - second, 0.0) ** 3 / 6.0
            - load * x**4 / 24.0
        ) / stiff
        return bend

    at_first, at_second = (float(bent(np.array(x))) for x in (first, second))
    slope = (at_second - at_first) / (second - first)
    height: Floats = bent(at_mm) - at_first - slope * (at_mm - first)
    return height
