"""A tank that is still to be built."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fitcheck.things.answer import Figures, Verdict
from fitcheck.things.gist import Noun
from fitcheck.things.stock import Panel


@dataclass(frozen=True, slots=True, repr=False)
class NewTank(Noun):
    """A box tank: clear inside_mm, liquid_l up to level_mm (parts and all), what it takes, what to cut."""

    inside_mm: tuple[float, float, float]
    level_mm: float
    liquid_l: float
    takes: tuple[str, ...]
    panels: tuple[Panel, ...]


@dataclass(frozen=True, slots=True, repr=False)
class TankForAnswer(Figures):
    """Tanks for a list, the one that takes all of it first; then for fewer and fewer parts on less liquid.

    at_least_l: proven: no box tank that takes the whole list in one pass does with less, up to its level;
    proven_parts has it for each part alone. checked: what `dip` says of each part in the first tank.
    in_two: the best tank found that takes all in two passes or one, each looked at in it, not proven least;
    None where none was found on less than one pass takes. in_two_passes: how many each part takes in it.
    board_mm: thickness of the boards that the panels are cut for.
    """

    kind: ClassVar[str] = "tank-for"

    parts: tuple[str, ...]
    tanks: tuple[NewTank, ...]
    at_least_l: float
    proven_parts: tuple[tuple[str, float], ...]
    checked: tuple[tuple[str, Verdict], ...]
    board_mm: float
    in_two: NewTank | None = None
    in_two_passes: tuple[tuple[str, int], ...] = ()
