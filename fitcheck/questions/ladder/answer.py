"""The order of loads on ever more liquid, and what is mixed for them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from fitcheck.questions.lot.answer import LeftOut, Lot, firmest, why_left_out
from fitcheck.things.answer import Answer, Verdict
from fitcheck.things.gist import Noun
from fitcheck.things.stock import Piece


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class LadderStep(Noun):
    """One load of some work in its turn: add_l of liquid, stand the blocks, and liquid_l is in the tank.

    without_l: what it would take without blocks. hold_down_n: what straps are to hold the blocks with.
    can_do: on the amount that was said to be mixed; None where none was.
    """

    work: str
    tank: str
    lot: Lot
    blocks: tuple[Piece, ...]
    level_mm: float
    liquid_l: float
    add_l: float
    without_l: float
    hold_down_n: float
    can_do: bool | None = None


@dataclass(frozen=True, slots=True, repr=False)
class Bath(Noun):
    """What is mixed for some work, in all its tanks together; bound_l: proven that no less will do.

    tanks: that are used, of those that it may_use. without_blocks_l: the same for the parts one by one, each
    at that of its ways tried that takes least, no blocks in the tanks.
    """

    work: str
    may_use: tuple[str, ...]
    tanks: tuple[str, ...]
    mix_at_most_l: float
    bound_l: float
    without_blocks_l: float


@dataclass(frozen=True, slots=True, repr=False)
class Built(Noun):
    """A block that is built once: its outside size as it stands, length, width, height; its mass empty."""

    size_mm: tuple[float, float, float]
    mass_kg: float


@dataclass(frozen=True, slots=True, repr=False)
class Build(Noun):
    """The few blocks to build for a tank and work, in the order to build them.

    mix_l: what is mixed at most with none of them, with the first, with the first two, and so on.
    """

    work: str
    tank: str
    blocks: tuple[Built, ...]
    mix_l: tuple[float, ...]


@dataclass(frozen=True, slots=True, repr=False)
class Sums(Noun):
    """What follows from the loads and baths of all the work together.

    mix_at_most_l: what is mixed; a tank that is used for several pieces of work is filled once. bound_l:
    proven that all the work takes no less. without_blocks_l: the same without blocks. verdict: as for loads;
    "does not fit" too where what is mixed does not do for all of them.
    """

    mix_at_most_l: float
    bound_l: float
    without_blocks_l: float
    verdict: Verdict

    @classmethod
    def of(cls, steps: Sequence[LadderStep], baths: Sequence[Bath], left_out: Sequence[LeftOut]) -> Sums:
        """Return what follows from loads, baths and what is left out."""
        short = any(step.can_do is False for step in steps)
        return cls(
            sum(held_at_most_l(steps).values()),
            sum_apart([(bath.may_use, bath.bound_l) for bath in baths]),
            sum_apart([(bath.may_use, bath.without_blocks_l) for bath in baths]),
            "does not fit" if short else firmest(left_out),
        )


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class LadderAnswer(Answer):
    """Loads in an order in which liquid is only ever added to a tank; mixed_l: what was said to be there.

    sums: of all of it. builds: where only a few blocks are built for all loads of a tank; empty where each
    load has its own.
    """

    kind: ClassVar[str] = "ladder"
    steps: tuple[LadderStep, ...]
    baths: tuple[Bath, ...]
    left_out: tuple[LeftOut, ...]
    sums: Sums
    mixed_l: float | None = None
    builds: tuple[Build, ...] = ()

    @classmethod
    def of(
        cls,
        steps: tuple[LadderStep, ...],
        baths: tuple[Bath, ...],
        left_out: tuple[LeftOut, ...],
        mixed_l: float | None = None,
        builds: tuple[Build, ...] = (),
    ) -> LadderAnswer:
        """Return the answer with the sums that follow from its rows."""
        return cls(steps, baths, left_out, Sums.of(steps, baths, left_out), mixed_l, builds)

    @property
    def mix_at_most_l(self) -> float:
        """What is mixed for all the work."""
        return self.sums.mix_at_most_l

    @property
    def bound_l(self) -> float:
        """Proven: all the work takes no less."""
        return self.sums.bound_l

    @property
    def without_blocks_l(self) -> float:
        """The same without blocks."""
        return self.sums.without_blocks_l

    @property
    def verdict(self) -> Verdict:
        """The verdict: as for loads; "does not fit" too where what is mixed does not do for all of them."""
        return self.sums.verdict

    @property
    def reason(self) -> str:
        """Why: how many loads cannot be done on what is mixed, else what is left out, or that nothing is."""
        short = sum(step.can_do is False for step in self.steps)
        return f"{short} loads need more than is mixed" if short else why_left_out(self.left_out)


def held_at_most_l(steps: Sequence[LadderStep]) -> dict[str, float]:
    """Return the most that each tank holds at any load, in the order in which tanks are used."""
    most: dict[str, float] = {}
    for step in steps:
        most[step.tank] = max(most.get(step.tank, 0.0), step.liquid_l)
    return most


def sum_apart(rows: Sequence[tuple[Sequence[str], float]]) -> float:
    """Return amounts added up; of those whose tanks are partly the same only the largest counts."""
    groups: list[tuple[set[str], float]] = []
    for tanks, amount in rows:
        together, most = set(tanks), amount
        for group in [group for group in groups if group[0] & together]:
            groups.remove(group)
            together, most = together | group[0], max(most, group[1])
        groups.append((together, most))
    return sum(amount for _, amount in groups)
