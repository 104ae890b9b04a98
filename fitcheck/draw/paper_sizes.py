"""Paper sizes of a sheet."""

from __future__ import annotations

from typing import Literal

PaperName = Literal["letter", "a4"]


# US Letter is 8 1/2 x 11 in; A4 is 210 x 297 mm (ISO 216).
SIZES_PT: dict[PaperName, tuple[float, float]] = {"letter": (612.0, 792.0), "a4": (595.276, 841.89)}
