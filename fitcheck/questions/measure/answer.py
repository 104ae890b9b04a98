"""What a part is: size, metal, surface, mass and sealed spaces."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fitcheck.things.answer import Figures


@dataclass(frozen=True, slots=True, repr=False)
class Measured(Figures):
    """What a part measures.

    size_mm: length, width and height as drawn. volume_l: metal only. area_m2: surface that the bath reaches,
    so not that of sealed spaces. closed: every edge of its mesh joins two triangles. sealed_l: sealed spaces,
    which displace liquid as if they were metal.
    """

    kind: ClassVar[str] = "measure"
    part: str
    size_mm: tuple[float, float, float]
    volume_l: float
    area_m2: float
    mass_kg: float
    closed: bool
    sealed_l: float
    notes: tuple[str, ...] = ()
