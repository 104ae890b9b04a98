"""A tank as it was built: what a plain-water test says of its plan, and which answers that changes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from fitcheck.things.answer import Figures, Verdict
from fitcheck.things.gist import Noun
from fitcheck.things.reading import Reading
from fitcheck.things.tank import Tank


@dataclass(frozen=True, slots=True, repr=False)
class Change(Noun):
    """One part's answer as built, its verdict_was with the tank as taped.

    Levels and litres are None without a pose.
    """

    part: str
    verdict_was: Verdict
    verdict: Verdict
    level_was_mm: float | None
    level_mm: float | None
    liquid_was_l: float | None
    liquid_l: float | None

    @property
    def is_one(self) -> bool:
        """Whether the answer is another: the verdict, or a level by 1 mm or more."""
        if self.verdict != self.verdict_was:
            return True
        if self.level_mm is None or self.level_was_mm is None:
            return False
        return abs(self.level_mm - self.level_was_mm) >= 1.0


@dataclass(frozen=True, slots=True, repr=False)
class AsBuilt(Figures):
    """The fit and the corrected tank.

    floor_mm2: plan area at the floor, with its standard error. bow_mm: by how much the plan is wider at the
    highest level read than at the floor, both long walls together and on the average of their length, with
    its standard error; 0 where the readings do not show any (shows_bow). misfit: of the readings, in stated
    errors (about 1 is as stated). left_l: of each reading, water poured less the fit.
    """

    kind: ClassVar[str] = "as-built"

    tank: Tank
    corrected: Tank
    readings: tuple[Reading, ...]
    floor_mm2: float
    floor_error_mm2: float
    bow_mm: float
    bow_error_mm: float
    shows_bow: bool
    misfit: float | None
    left_l: tuple[float, ...]
    changes: tuple[Change, ...] = ()

    @property
    def card(self) -> str:
        """The lines that stand for the tank's own in the shop file."""
        sides = ", ".join(f'"{side:.1f} mm"' for side in self.corrected.size_mm)
        name = self.tank.name
        heading = name if name.isidentifier() else f'"{name}"'
        tape = self.corrected.rules.tape_tank_mm
        return f'[tanks.{heading}]\ninside    = [{sides}]\ntape_tank = "{tape:.1f} mm"'


def corrected_tank(tank: Tank, size_mm: tuple[float, float, float], tape_tank_mm: float) -> Tank:
    """Return a box tank, its inside corners rounded or not, with other inside sizes and another tape.

    What stands in it stays where it is. Raises `Refused` where its fillet does not go into the new sizes.
    """
    rules = replace(tank.rules, tape_tank_mm=tape_tank_mm)
    box = Tank.box(tank.name, size_mm, tank.liquid, rules, tank.rim, tank.fillet_mm)
    return replace(tank, inside=box.inside, size_mm=size_mm, chord_mm=box.chord_mm, rules=rules)
