"""Deflection of a board under liquid: a strip held at two ends, or a plate held all round.

S. Timoshenko, S. Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed., articles 28 to 31 (Navier's double
sine series for a simply supported rectangular plate); from memory, checked against its printed tables.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

# Terms each way: deflections settle with n^-4, moments with n^-2; odd ones across, all of them up the load.
_TERMS = 81
_POISSON = 0.3
# Where on the plate it is evaluated, each way.
_STATIONS = 41


@dataclass(frozen=True, slots=True)
class Bent:
    """The largest bending stress in MPa and the largest sag in mm."""

    stress_mpa: float
    sag_mm: float


def strip_bent(pressure_mpa: float, span_mm: float, thick_mm: float, modulus_mpa: float) -> Bent:
    """Return how a strip 1 mm wide, held at its two ends, bends under an even pressure.

    q w^2 / 8 over t^2 / 6, and 5 q w^4 / (384 E I) with I = t^3 / 12.
    """
    second = thick_mm**3 / 12.0
    return Bent(
        0.75 * pressure_mpa * (span_mm / thick_mm) ** 2,
        5.0 * pressure_mpa * span_mm**4 / (384.0 * modulus_mpa * second),
    )


def plate_bent(
    pressures_mpa: tuple[float, float], size_mm: tuple[float, float], thick_mm: float, modulus_mpa: float
) -> Bent:
    """Return how a plate held along all four edges bends under a pressure that falls evenly up its height.

    pressures_mpa: at its foot and at its top. size_mm: width and height. Poisson's ratio is taken as 0.3, as
    the printed tables do, and the board as alike both ways.
    """
    foot, top = pressures_mpa
    width, height = size_mm
    stiffness = modulus_mpa * thick_mm**3 / (12.0 * (1.0 - _POISSON**2))
    m, n = np.arange(1, _TERMS + 1, 2)[:, None], np.arange(1, _TERMS + 1)[None, :]
    # q(y) = foot + (top - foot) y / height as a double sine series.
    up = 2.0 / (np.pi * n) * (foot - top * (-1.0) ** n)
    load = 4.0 / (np.pi * m) * up
    square = (m / width) ** 2 + (n / height) ** 2
    depth = load / (np.pi**4 * stiffness * square**2)
    at = np.linspace(0.0, 1.0, _STATIONS)
    across = np.sin(np.pi * np.arange(1, _TERMS + 1, 2)[:, None] * at[None, :])
    along = np.sin(np.pi * np.arange(1, _TERMS + 1)[:, None] * at[None, :])
    sag = np.einsum("mn,mx,ny->xy", depth, across, along)
    curve_x = np.einsum("mn,mx,ny->xy", depth * (np.pi * m / width) ** 2, across, along)
    curve_y = np.einsum("mn,mx,ny->xy", depth * (np.pi * n / height) ** 2, across, along)
    moment = stiffness * np.maximum(curve_x + _POISSON * curve_y, curve_y + _POISSON * curve_x)
    return Bent(float(6.0 * moment.max() / thick_mm**2), float(sag.max()))
