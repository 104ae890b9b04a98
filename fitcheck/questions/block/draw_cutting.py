"""How boards are laid on stock sheets: each sheet to scale, a letter on each board."""

from __future__ import annotations

import math
from dataclasses import dataclass
from string import ascii_uppercase

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.ink import Area, Label, Mark, Marks, fitted
from fitcheck.questions.block.answer import Design
from fitcheck.things.shop import Show
from fitcheck.things.solid import Floats
from fitcheck.things.stock import Cut, Panel
from fitcheck.words.units import show_length

_AIR_PT = 12.0
_NAME_PT = 11.0
_LETTER_PT, _LEAST_PT = 13.0, 6.0
_BOARD = "#e6e1d2"


def letter_of(cut: Cut, panels: tuple[Panel, ...]) -> str:
    """Return the letter of a board: that of the panel of its name and size."""
    # Panels are rounded to a tenth of a mm; boards are those panels, turned or not.
    sides = sorted(cut.size_mm)
    for k, panel in enumerate(panels):
        if panel.name == cut.name and sorted(panel.size_mm) == sides:
            return panel_letter(k)
    raise ValueError("a board that is none of the panels")


def panel_letter(k: int) -> str:
    """Return A to Z, then A2 and so on."""
    turn, place = divmod(k, len(ascii_uppercase))
    return ascii_uppercase[place] + (str(turn + 1) if turn else "")


@dataclass(frozen=True, slots=True, eq=False)
class CuttingSketch:
    """The stock sheets of a design, in as few columns as let them be drawn largest."""

    design: Design
    sheet_mm: tuple[float, float]
    show: Show

    def marks(self, width_pt: float, height_pt: float) -> Marks:
        """Return the sheets in a box of that size, the first at its upper left."""
        count = len(self.design.sheets)
        columns = max(range(1, count + 1), key=lambda each: self._scale(each, width_pt, height_pt))
        scale = self._scale(columns, width_pt, height_pt)
        wide, tall = (scale * side for side in self.sheet_mm)
        marks: list[Mark] = []
        for k in range(count):
            row, column = divmod(k, columns)
            left = column * (wide + _AIR_PT)
            low = height_pt - (row + 1) * (tall + _AIR_PT + _NAME_PT) + _AIR_PT / 2.0
            marks += self._sheet(k, (left, low), scale)
        return tuple(marks)

    def _scale(self, columns: int, width_pt: float, height_pt: float) -> float:
        rows = math.ceil(len(self.design.sheets) / columns)
        return min(
            (width_pt - (columns - 1) * _AIR_PT) / (columns * self.sheet_mm[0]),
            (height_pt / rows - _AIR_PT - _NAME_PT) / self.sheet_mm[1],
        )

    def _sheet(self, k: int, at: tuple[float, float], scale: float) -> Marks:
        wide, tall = (scale * side for side in self.sheet_mm)
        size = " x ".join(show_length(side, self.show) for side in self.sheet_mm)
        name = Label(
            f"sheet {k + 1} of {len(self.design.sheets)}, {size}",
            (at[0], at[1] + tall + 0.6 * _NAME_PT),
            _NAME_PT,
            colour=ink.FAINT,
            align="left",
        )
        marks: list[Mark] = [
            fitted(name, wide, _LEAST_PT),
            Area((_ring(at, (wide, tall)),), ink.PAPER, ink.INK, 1.0),
        ]
        for cut in self.design.sheets[k].cuts:
            low = (at[0] + scale * cut.at_mm[0], at[1] + scale * cut.at_mm[1])
            size_pt = (scale * cut.size_mm[0], scale * cut.size_mm[1])
            middle = (low[0] + size_pt[0] / 2.0, low[1] + size_pt[1] / 2.0)
            print_pt = min(_LETTER_PT, max(0.8 * min(size_pt), _LEAST_PT))
            letter = Label(letter_of(cut, self.design.panels), middle, print_pt, bold=True)
            marks += [Area((_ring(low, size_pt),), _BOARD, ink.INK, 0.6), letter]
        return tuple(marks)


def _ring(low: tuple[float, float], size: tuple[float, float]) -> Floats:
    (x, y), (w, h) = low, size
    return np.array([[x, y], [x + w, y], [x + w, y + h], [x, y + h], [x, y]])
