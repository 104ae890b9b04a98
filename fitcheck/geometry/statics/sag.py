"""Sag of a long thin part as it hangs."""

from __future__ import annotations

import math

import numpy as np

from fitcheck.geometry.mesh.measure import volume_mm3
from fitcheck.geometry.statics.beam import Beam, droop_mm, weakest_mm4
from fitcheck.things.metals import METALS, MODULI_GPA
from fitcheck.things.part import Part
from fitcheck.things.solid import Floats
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM2_PER_M2, MM3_PER_LITRE

# A beam so many times longer than deep sags by bending alone; a stubbier one hardly sags (common practice for
# the simple beam formula is 10 and more). One nearer to as wide as long bends both ways, as a sheet.
SLENDER, NARROW = 15.0, 4.0
# Alloys of one metal agree in density to this share.
ALLOYS = 0.05
_N_MM2_PER_GPA = 1e9 / MM2_PER_M2


def sag_of(part: Part, up: Floats, picks_mm: Floats, force_n: float) -> float | None:
    """Return how far the part sinks under the line of its picks, hung with `up` and weighing force_n, in mm.

    The load is taken as even along it. Picks between the outermost two are left out, so that three legs sag
    less than this. None where the part is not much longer than deep, its metal is not known, or its mesh
    cannot be cut.
    """
    across = math.hypot(float(up[1]), float(up[2]))
    if across == 0.0:
        return 0.0
    down = -np.array([float(up[1]), float(up[2])]) / across
    low, high = (
        float(end) for end in (part.solid.vertices_mm[:, 0].min(), part.solid.vertices_mm[:, 0].max())
    )
    length = high - low
    stiffness = _modulus_gpa(part) if _is_beam(part, down, length) else None
    if stiffness is None:
        return None
    second = _second_mm4(part, down)
    if second <= 0.0:
        return None
    beam = Beam(length, force_n * across / length, stiffness * _N_MM2_PER_GPA * second)
    along = np.unique(np.clip(picks_mm[:, 0] - low, 0.0, length))
    return droop_mm(beam, [float(along[0])] if len(along) == 1 else [float(along[0]), float(along[-1])])


def _second_mm4(part: Part, down: Floats) -> float:
    """Return the second moment that counts; 0 for a mesh that cannot be cut."""
    try:
        return weakest_mm4(part.solid, down)
    except Refused:
        return 0.0


def _is_beam(part: Part, down: Floats, length_mm: float) -> bool:
    sideways = np.array([down[1], -down[0]])
    deep, wide = (float(np.ptp(part.solid.vertices_mm[:, 1:] @ way)) for way in (down, sideways))
    return length_mm > SLENDER * deep and length_mm > NARROW * wide


def _modulus_gpa(part: Part) -> float | None:
    """Return the modulus of the metal of that density, the least where there are more.

    A heavier part of no metal known here is taken as aluminium, the least stiff of them: it sags less.
    """
    density = part.mass_kg / (volume_mm3(part.solid) / MM3_PER_LITRE)
    alike = [MODULI_GPA[metal] for metal, of in METALS.items() if abs(density - of) <= ALLOYS * of]
    if alike:
        return min(alike)
    least = min(MODULI_GPA, key=lambda metal: MODULI_GPA[metal])
    return MODULI_GPA[least] if density > METALS[least] else None
