"""What the live sheet shows and changes: a shop file being edited, and one part in one tank of it.

Every change is made to the text of the shop file and read as the file is: what the reader refuses is refused
here, and what was there before stays.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

import tomlkit

from fitcheck.draw.paper_sizes import PaperName
from fitcheck.draw.sheet_sections import Page
from fitcheck.files.shop_file import shop_from, shop_text
from fitcheck.files.written import write_text
from fitcheck.geometry.liquid.attitude_map import vessel_of
from fitcheck.geometry.liquid.pockets import Vessel
from fitcheck.questions.dip.answer import DipAnswer, Fits, MeasureAgain, Prefer
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.dip.page import lift_page
from fitcheck.questions.dip.page_lifted import Lifted
from fitcheck.questions.dip.page_refused import refused_page
from fitcheck.questions.dip.say import verdict_line
from fitcheck.sheet.lifted import lifted, with_holes
from fitcheck.sheet.paper import laid_over
from fitcheck.sheet.web import page_html
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Tank
from fitcheck.words.errors import Fault, InputFault, Refused

CLEARANCES = ("side_clearance", "bottom_clearance", "cover", "freeboard")
Where = tuple[str | int, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Live:
    """A shop file as it is being changed. on_disk: its text when it was read; text: as it is now."""

    path: Path
    on_disk: str
    text: str
    shop: Shop

    @classmethod
    def of(cls, path: Path) -> Live:
        """Read the file; raises `InputFault` as `read_shop` does, and where it has no part or no tank."""
        text = shop_text(path)
        shop = shop_from(text, path)
        for kind, things in (("part", shop.parts), ("tank", shop.tanks)):
            if not things:
                raise InputFault([Fault(path.name, f"there is no {kind} in it", f"write [{kind}s.NAME]")])
        return cls(path, text, text, shop)

    @property
    def is_changed(self) -> bool:
        """Whether there is something to save."""
        return self.text != self.on_disk

    def value(self, where: Where) -> str | None:
        """Return what the file says at a place, as it is written there; None where it says nothing."""
        found: Any = tomlkit.parse(self.text)
        try:
            for step in where:
                found = found[step]
        except (KeyError, IndexError):
            return None
        return str(found)

    def changed(self, where: Where, words: str) -> Live:
        """Return the shop with another value at a place, such as ("tanks", "T1", "cover").

        Raises `InputFault` where the file would then not be read, with every fault it would have.
        """
        document: Any = tomlkit.parse(self.text)
        table = document
        for step in where[:-1]:
            table = table[step]
        if where[-1] in table if isinstance(table, Mapping) else True:
            table[where[-1]] = words
        else:
            table.add(where[-1], words)
        text = tomlkit.dumps(document)
        return replace(self, text=text, shop=shop_from(text, self.path))

    def saved(self) -> tuple[Live, Path]:
        """Write the changed file, with a copy of the old one beside it; return its state and the copy's path.

        Raises `Refused` where the file has changed on disk meanwhile, or cannot be written: nothing is lost.
        """
        if shop_text(self.path) != self.on_disk:
            raise Refused(
                f"{self.path.name} has been changed on disk since it was read here",
                "load this page again, then make the changes anew",
            )
        copy = _unused(self.path, datetime.now())
        write_text(copy, self.on_disk)
        # A shop file that is a link stays one.
        write_text(self.path.resolve(), self.text)
        return replace(self, on_disk=self.text), copy


def _unused(path: Path, now: datetime) -> Path:
    """Return a name for a copy that no file has yet."""
    stem = f"{path.stem}.before-{now:%Y-%m-%d-%H%M%S}"
    names = (path.with_name(f"{stem}{more}{path.suffix}") for more in ("", *(f"-{k}" for k in range(2, 100))))
    return next(name for name in names if not name.exists())


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """One part in one tank, hung like this. level_mm: None for the lowest that covers the part."""

    part: str
    tank: str
    angles: Angles
    level_mm: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Shown:
    """The answer to it: its verdict in one line, its page, and the lift where it goes under."""

    answer: DipAnswer
    line: str
    page: Page
    lift: Lifted | None

    @property
    def is_whole(self) -> bool:
        """Whether nothing is still being looked for."""
        return self.lift is None or self.lift.holes is not None


class Desk:
    """Answers for one shop; what belongs to a part alone is made ready once for each."""

    def __init__(self) -> None:
        self._vessels: dict[int, tuple[Part, Vessel]] = {}

    def shown(self, shop: Shop, asked: Asked) -> Shown:
        """Return the answer at one attitude. Raises `Refused` where its level cannot be.

        Holes that would help take longer to find: `whole` gives the same with them.
        """
        part, tank = shop.parts[asked.part], shop.tanks[asked.tank]
        vessel = self._vessel(part)
        answer = dip(
            part, tank, angles=asked.angles, level_mm=asked.level_mm, with_cures=False, vessel=vessel
        )
        line = verdict_line(answer, shop.show)
        if isinstance(answer, Fits | MeasureAgain):
            return _lifted(line, lifted(part, tank, answer), shop)
        told = answer
        if isinstance(told, Fits | MeasureAgain):
            raise TypeError("cautions change no verdict")
        return Shown(told, line, refused_page(told, part, tank, shop.show, shop.name), None)

    def best(self, shop: Shop, part_name: str, tank_name: str, prefer: Prefer) -> Angles:
        """Return the attitude advised, or that of the nearest try: at whole degrees wherever they work."""
        part, tank = shop.parts[part_name], shop.tanks[tank_name]
        answer = dip(part, tank, prefer, with_cures=False, vessel=self._vessel(part))
        found = answer.advice.pose if isinstance(answer, Fits | MeasureAgain) else answer.nearest
        return found.angles

    def _vessel(self, part: Part) -> Vessel:
        if id(part) not in self._vessels:
            # The part is kept with it, so that no other can come to have its id.
            self._vessels[id(part)] = part, vessel_of(part)
        return self._vessels[id(part)][1]


def whole(shown: Shown, shop: Shop) -> Shown:
    """Return an answer with the holes that would help."""
    return shown if shown.lift is None else _lifted(shown.line, with_holes(shown.lift), shop)


def _lifted(line: str, lift: Lifted, shop: Shop) -> Shown:
    return Shown(lift.answer, line, lift_page(lift, shop.show, shop.name), lift)


def printed(page: Page, paper: PaperName) -> str:
    """Return a page as it is printed on paper, for a browser; its style is that of all sheets."""
    return "".join(page_html(laid) for laid in laid_over(page, paper))


def level_span_mm(tank: Tank) -> tuple[float, float]:
    """Return the lowest and highest level that can be chosen in a tank."""
    return math.ceil(tank.rules.bottom_clearance_mm), tank.depth_mm
