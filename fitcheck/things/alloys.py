"""Yield strain and stiffness of common sheet, for springing where the shop has not said."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


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
