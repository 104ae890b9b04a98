"""Densities, stiffness and yield of metals: for a part's mass, its sag, and how far sheet may be sprung."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
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


@dataclass(frozen=True, slots=True)
class Alloy:
    """One alloy in one temper: what METALS calls it, its yield strength (0.2 % set) and its stiffness."""

    metal: str
    yield_mpa: float
    modulus_gpa: float
    poisson: float = 0.33

    @property
    def yield_strain(self) -> float:
        """The strain at which it begins to keep a set."""
        return self.yield_mpa / (1000.0 * self.modulus_gpa)


# Typical values, not the least that a maker warrants; all from memory. Aluminium: The Aluminum Association,
# Aluminum Standards and Data, typical mechanical properties. Stainless: EN 10088-2, cold-rolled strip, least
# 0.2 % proof strength. Steel: EN 10025-2 (S235), ASTM A1008 CS (typical), least and typical.
ALLOYS: Mapping[str, Alloy] = MappingProxyType(
    {
        "1100-H14": Alloy("aluminium", 117.0, 68.9),
        "2024-T3": Alloy("aluminium", 345.0, 73.1),
        "3003-H14": Alloy("aluminium", 145.0, 68.9),
        "5005-H34": Alloy("aluminium", 138.0, 68.9),
        "5052-H32": Alloy("aluminium", 193.0, 70.3),
        "5052-H34": Alloy("aluminium", 214.0, 70.3),
        "5083-H116": Alloy("aluminium", 228.0, 71.0),
        "5086-H32": Alloy("aluminium", 207.0, 71.0),
        "6061-T4": Alloy("aluminium", 145.0, 68.9),
        "6061-T6": Alloy("aluminium", 276.0, 68.9),
        "7075-T6": Alloy("aluminium", 503.0, 71.7),
        "304": Alloy("stainless", 230.0, 193.0, 0.3),
        "316": Alloy("stainless", 240.0, 193.0, 0.3),
        "S235": Alloy("steel", 235.0, 200.0, 0.3),
    }
)
