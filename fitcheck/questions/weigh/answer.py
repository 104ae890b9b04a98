"""Result of a weighing: one part at one attitude, in air, under the liquid and lifted out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fitcheck.things.answer import Figures
from fitcheck.things.pose import Angles


@dataclass(frozen=True, slots=True, repr=False)
class WeighAnswer(Figures):
    """What a part weighs on its way through a bath.

    angles: how it hangs. advised: whether that is the way that `dip` advises, and not one that was asked for.
    dry_kg, dry_n: in air. displaced_l: of the bath by metal, sealed space and the air caught, air_l. under_n:
    on the hook when it is under; below 0 it floats, and so much pushes it up. carry_out_l: of the bath that
    stands in it as it comes out. lift_out_kg, lift_out_n: with that, and without the film that clings.
    """

    kind: ClassVar[str] = "weigh"
    part: str
    tank: str
    angles: Angles
    advised: bool
    dry_kg: float
    dry_n: float
    displaced_l: float
    air_l: float
    under_n: float
    carry_out_l: float
    lift_out_kg: float
    lift_out_n: float

    @property
    def most_n(self) -> float:
        """The most that is on the hook, dry, under or lifted out."""
        return max(self.dry_n, self.under_n, self.lift_out_n)
