"""Parts that go into a tank together, and the order of such loads on ever more liquid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fitcheck.things.answers import Verdict
from fitcheck.things.block_design import Piece
from fitcheck.things.pose import Pose


@dataclass(frozen=True, slots=True, eq=False)
class LotPart:
    """One piece of a part, its number of that kind from 1, at its pose (tank from part).

    hook_mm: how high the hook over it must go at least to lift it out over the rim on its own picks, over the
    shop floor; None where the shop has not said enough.
    """

    part: str
    number: int
    pose: Pose
    hook_mm: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Lot:
    """Pieces that go in together.

    work: what it is done for (a step, a liquid, or the tank asked about). level_mm: surface over the tank
    floor with all of them in; rise_mm: by how much they raise it; liquid_l: in the tank for that. air_l: what
    they catch under that level. wet_kg: what hangs at lift-out. gap_mm: the least from one of them to
    another, by exact distance; None for a part alone.
    """

    work: str
    tank: str
    parts: tuple[LotPart, ...]
    level_mm: float
    rise_mm: float
    liquid_l: float
    air_l: float
    wet_kg: float
    gap_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Work:
    """One thing that is done to all parts: its tanks, the loads it takes, and how many it takes at least.

    at_least: proven for every way that the parts are allowed to hang. steps: of the shop, that it stands for.
    """

    name: str
    tanks: tuple[str, ...]
    lots: int
    at_least: int
    steps: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A part that goes into none of the tanks of some work, so many of it, and why."""

    part: str
    count: int
    work: str
    verdict: Verdict
    why: str


@dataclass(frozen=True, slots=True, eq=False)
class LotAnswer:
    """The loads, work by work, and what is left out."""

    lots: tuple[Lot, ...]
    works: tuple[Work, ...]
    left_out: tuple[LeftOut, ...]
    cautions: tuple[str, ...] = ()

    @property
    def at_least_lots(self) -> int:
        """Proven: no fewer loads do for all the work."""
        return sum(work.at_least for work in self.works)

    @property
    def verdict(self) -> Verdict:
        """The verdict: "fits" where every part has its loads, else the firmest of what is left out."""
        return _firmest(self.left_out)


@dataclass(frozen=True, slots=True, eq=False)
class LadderStep:
    """One load in its turn: add_l of liquid, stand the blocks, and liquid_l is in the tank.

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


@dataclass(frozen=True, slots=True)
class Bath:
    """What is mixed for some work, in all its tanks together; bound_l: proven that no less will do.

    tanks: that are used, of those that may be. without_blocks_l: the same for the parts one by one, each at
    that of its ways tried that takes least, no blocks in the tanks.
    """

    work: str
    may_use: tuple[str, ...]
    tanks: tuple[str, ...]
    mix_at_most_l: float
    bound_l: float
    without_blocks_l: float


@dataclass(frozen=True, slots=True)
class Built:
    """A block that is built once: its outside size as it stands, length, width, height; its mass empty."""

    size_mm: tuple[float, float, float]
    mass_kg: float


@dataclass(frozen=True, slots=True)
class Build:
    """The few blocks to build for a tank, in the order to build them.

    mix_l: what is mixed at most with none of them, with the first, with the first two, and so on.
    """

    work: str
    tank: str
    blocks: tuple[Built, ...]
    mix_l: tuple[float, ...]


@dataclass(frozen=True, slots=True, eq=False)
class LadderAnswer:
    """Loads in an order in which liquid is only ever added to a tank; mixed_l: what was said to be there.

    builds: where only a few blocks are built for all loads of a tank; empty where each load has its own.
    """

    steps: tuple[LadderStep, ...]
    baths: tuple[Bath, ...]
    left_out: tuple[LeftOut, ...]
    mixed_l: float | None = None
    builds: tuple[Build, ...] = ()
    cautions: tuple[str, ...] = ()

    @property
    def mix_at_most_l(self) -> float:
        """What is mixed for all the work; a tank that is used for several pieces of it is filled once."""
        most: dict[str, float] = {}
        for step in self.steps:
            most[step.tank] = max(most.get(step.tank, 0.0), step.liquid_l)
        return sum(most.values())

    @property
    def bound_l(self) -> float:
        """Proven: all the work takes no less."""
        return sum_apart([(bath.may_use, bath.bound_l) for bath in self.baths])

    @property
    def without_blocks_l(self) -> float:
        """The same without blocks."""
        return sum_apart([(bath.may_use, bath.without_blocks_l) for bath in self.baths])

    @property
    def verdict(self) -> Verdict:
        """The verdict: as for loads; "does not fit" too where what is mixed does not do for all of them."""
        short = any(step.can_do is False for step in self.steps)
        return "does not fit" if short else _firmest(self.left_out)


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


def _firmest(left_out: tuple[LeftOut, ...]) -> Verdict:
    out = {each.verdict for each in left_out}
    order: tuple[Verdict, ...] = ("does not fit", "measure again", "not found")
    return next((verdict for verdict in order if verdict in out), "fits")
