"""Densities and stiffness of metals, for a part's mass where it was not weighed, and its sag."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

# kg/l at 20 C, to the digits in which alloys of one kind agree; a shop that knows better writes `density` or
# `mass`. Sources, all from memory. Aluminium, copper, titanium: the elements, CRC Handbook of Chemistry and
# Physics, "Density of the elements". Steel: EN 1991-1-1 Table A.4, the upper end of 77 to 78.5 kN/m3.
# Stainless: EN 10088-1 Annex E, grade 1.4301. Brass: EN 1991-1-1 Table A.4, 83 to 85 kN/m3.
METALS: Mapping[str, float] = MappingProxyType(
    {
        "aluminium": 2.70,
        "aluminum": 2.70,
        "steel": 7.85,
        "stainless": 7.9,
        "stainless steel": 7.9,
        "brass": 8.5,
        "copper": 8.96,
        "titanium": 4.51,
    }
)

# Modulus of elasticity in GPa, the least that alloys of one kind have. Sources, all from memory. Aluminium:
# Aluminum Design Manual, 10,000 ksi (EN 1999-1-1 has 70). Steel: AISC 360, 29,000 ksi. Stainless, brass,
# copper, titanium: ASM Metals Handbook, volume 2, the low end of each.
MODULI_GPA: Mapping[str, float] = MappingProxyType(
    {
        "aluminium": 69.0,
        "aluminum": 69.0,
        "steel": 200.0,
        "stainless": 193.0,
        "stainless steel": 193.0,
        "brass": 97.0,
        "copper": 115.0,
        "titanium": 103.0,
    }
)
