"""Densities of metals, for a part's mass where the shop has not weighed it."""

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
