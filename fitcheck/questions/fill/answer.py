"""A dip-stick: how much liquid stands in a tank at which level."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar, overload

from fitcheck.things.answer import Figures
from fitcheck.things.gist import Noun


@dataclass(frozen=True, slots=True, repr=False)
class FillRow(Noun):
    """One line of a dip-stick: height of the surface over the tank floor, down from the rim, and litres."""

    level_mm: float
    from_rim_mm: float
    liquid_l: float


@dataclass(frozen=True, slots=True, repr=False)
class FillAnswer(Figures, Sequence[FillRow]):
    """How much liquid stands in a tank, no part in: one line, or a whole dip-stick from the floor up.

    It is a sequence of its rows.
    """

    kind: ClassVar[str] = "fill"
    tank: str
    rows: tuple[FillRow, ...]

    def __len__(self) -> int:
        return len(self.rows)

    def __iter__(self) -> Iterator[FillRow]:
        return iter(self.rows)

    @overload
    def __getitem__(self, at: int) -> FillRow: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[FillRow, ...]: ...
    def __getitem__(self, at: int | slice) -> FillRow | tuple[FillRow, ...]:
        return self.rows[at]
