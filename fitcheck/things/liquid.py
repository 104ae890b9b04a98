"""What is in the tank."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.words.errors import Refused


@dataclass(frozen=True, slots=True)
class Liquid:
    """A bath, by its specific gravity (kg/l against water's 1.0)."""

    name: str
    specific_gravity: float = 1.0

    def __post_init__(self) -> None:
        if not 0.5 <= self.specific_gravity <= 3.0:
            raise Refused(
                f"specific_gravity of {self.name} is {self.specific_gravity}",
                "water is 1.0; read the bath's own from its safety sheet",
            )
