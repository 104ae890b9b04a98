"""Marks of a drawing: areas, strokes, labels and photographs, placed on the sheet in points.

A drawing is a tuple of these marks. They know nothing of parts and tanks; `paint.py` puts them on paper.
A point is 1/72 in of the printed sheet; x runs to the right and y up from the sheet's lower left corner.
"""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from fitcheck.things.pockets import PocketKind
from fitcheck.things.solid import Floats

if TYPE_CHECKING:
    from matplotlib.ft2font import FT2Font

# Chosen so that each pair that touches differs in lightness too: it must read on a grey copy and
# without red-green sight. Lightness (CIE L*, about): paper 98, liquid 88, air 79, part 60, ink 12.
PAPER = "#fbfaf7"
INK = "#1b1f24"
FAINT = "#6b737b"
WALL = "#c9c5bb"
LIQUID = "#c5dff0"
SURFACE = "#0b4f86"
AIR = "#eebb55"
AIR_LINE = "#7d4a00"
METAL = "#8d99a6"
WARNING = "#b8400a"
# What reaches where a clearance forbids it, and a tank's walls seen through.
PAST = "#f6c9a8"
GLASS = "#f1eee6"
BLOCK = "#e9e3d3"
GO = "#0b5d4e"
CARE = "#8a5a00"
UNKNOWN = "#4d545b"
# What fills a pocket, and its outline and words.
POCKET_COLOURS: dict[PocketKind, tuple[str, str]] = {"air": (AIR, AIR_LINE), "liquid": (LIQUID, SURFACE)}

LINE_HEIGHT = 1.22
# Words are measured at this size, without rounding to dots, and the widths scaled.
_MEASURED_PT = 100.0
# A sheet asks for the same words again and again, and a live one at every step.
_KEPT_WIDTHS = 8192
# FreeType gives unhinted advances in 1/65536 of a dot (FreeType API reference, 16.16 fixed point).
_ADVANCES = 65536.0

_BREAKS = re.compile(r"(?<!\d) |(?<=\d) (?![a-z\d])")
# Feet stay with their inches, and a coordinate with its axis, where there is room for both.
_WHOLE_BREAKS = re.compile(r" (?!(?<=\d )[a-z\d]|(?<=\d ft )\d|(?<=\b[xyz] )\d)")
_KEPT = re.compile(r"(?<=\d) (?=[a-z\d])")

Align = Literal["left", "centre", "right"]


@dataclass(frozen=True, slots=True, eq=False)
class Area:
    """Closed rings (n, 2), filled by the winding rule, so that a hole runs the other way round."""

    rings: tuple[Floats, ...]
    fill: str | None = None
    line: str | None = None
    width_pt: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """Open lines (n, 2) of one colour and width."""

    lines: tuple[Floats, ...]
    colour: str = INK
    width_pt: float = 0.8
    dashed: bool = False


@dataclass(frozen=True, slots=True)
class Label:
    """Words with their middle height at `at`; a newline starts the next line."""

    words: str
    at: tuple[float, float]
    size_pt: float = 14.0
    bold: bool = False
    colour: str = INK
    align: Align = "centre"


@dataclass(frozen=True, slots=True, eq=False)
class Photo:
    """Pixels (rows, columns, 3), the first row at the top, between two corners of the sheet."""

    pixels: NDArray[np.uint8]
    low: tuple[float, float]
    high: tuple[float, float]


Mark = Area | Stroke | Label | Photo
Marks = tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle on the sheet."""

    left: float
    low: float
    right: float
    high: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From low to high."""
        return self.high - self.low

    @property
    def ring(self) -> Floats:
        """The four corners, counter-clockwise."""
        return np.array(
            [[self.left, self.low], [self.right, self.low], [self.right, self.high], [self.left, self.high]]
        )

    def overlaps(self, other: Box) -> bool:
        """Whether the two share any of the sheet."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.low < other.high
            and other.low < self.high
        )


def font_file(*, bold: bool) -> Path:
    """Return the file of the one typeface of all drawings; it comes with matplotlib."""
    import matplotlib as mpl

    return Path(mpl.get_data_path(), "fonts", "ttf", "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf")


@functools.cache
def _font(*, bold: bool) -> FT2Font:
    """Open the typeface once: a sheet asks for the width of its words some hundred times."""
    from matplotlib.ft2font import FT2Font

    font = FT2Font(str(font_file(bold=bold)))
    font.set_size(_MEASURED_PT, 72.0)
    return font


def text_size(words: str, size_pt: float, *, bold: bool = False) -> tuple[float, float]:
    """Return the width and height that `words` take on the sheet, in points."""
    lines = words.split("\n")
    wide = max(_width(line, bold=bold) for line in lines)
    return wide * size_pt / _MEASURED_PT, LINE_HEIGHT * size_pt * len(lines)


@functools.lru_cache(_KEPT_WIDTHS)
def _width(line: str, *, bold: bool) -> float:
    """Return the width of a line at the measured size: a page asks for the same words in many prints."""
    return sum(_advance(char, bold=bold) for char in line)


@functools.cache
def _advance(char: str, *, bold: bool) -> float:
    """Return how far one letter moves the pen, in points at the measured size.

    Letters that are set closer in pairs take a little less: what is measured is never too little.
    """
    from matplotlib.ft2font import LoadFlags

    glyph = _font(bold=bold).load_char(ord(char), flags=LoadFlags.NO_HINTING)
    return float(glyph.linearHoriAdvance) / _ADVANCES


def box_of(label: Label) -> Box:
    """Return the rectangle that a label covers."""
    width, height = text_size(label.words, label.size_pt, bold=label.bold)
    left = label.at[0] - {"left": 0.0, "centre": 0.5, "right": 1.0}[label.align] * width
    return Box(left, label.at[1] - height / 2.0, left + width, label.at[1] + height / 2.0)


def lines_of(label: Label) -> tuple[tuple[float, str], ...]:
    """Return the lines of a label, each with the height its letters stand on."""
    lines = label.words.split("\n")
    step = LINE_HEIGHT * label.size_pt
    # Capitals are 0.73 of the print size high (DejaVu Sans): their middle goes to the line's middle.
    first = label.at[1] + step * (len(lines) - 1) / 2.0 - 0.365 * label.size_pt
    return tuple((first - i * step, line) for i, line in enumerate(lines))


def shrunk(marks: Marks, share: float, to: tuple[float, float] = (0.0, 0.0)) -> Marks:
    """Return marks drawn at a share of their size, their origin put to a place of the sheet."""
    at = np.array(to)

    def placed(point: tuple[float, float]) -> tuple[float, float]:
        return share * point[0] + to[0], share * point[1] + to[1]

    def smaller(mark: Mark) -> Mark:
        match mark:
            case Area():
                rings = tuple(share * ring + at for ring in mark.rings)
                return replace(mark, rings=rings, width_pt=share * mark.width_pt)
            case Stroke():
                lines = tuple(share * np.asarray(line) + at for line in mark.lines)
                return replace(mark, lines=lines, width_pt=share * mark.width_pt)
            case Label():
                return replace(mark, at=placed(mark.at), size_pt=share * mark.size_pt)
            case Photo():
                return replace(mark, low=placed(mark.low), high=placed(mark.high))

    return tuple(smaller(mark) for mark in marks)


def fitted(label: Label, width_pt: float, least_pt: float = 9.0) -> Label:
    """Return the label in the largest print, at most its own, in which it is no wider than `width_pt`.

    Where even the least print is too wide, the words are cut and end in three dots.
    """
    wide, _ = text_size(label.words, label.size_pt, bold=label.bold)
    if wide <= width_pt:
        return label
    # A hair less than just fitting, so that rounding does not make it too wide again.
    size = max(least_pt, 0.999 * label.size_pt * width_pt / wide)
    words = label.words
    while len(words) > 1 and text_size(words, size, bold=label.bold)[0] > width_pt:
        words = words.removesuffix("...")[:-1].rstrip() + "..."
        if words == "...":
            break
    return replace(label, words=words, size_pt=size)


def kept(words: str) -> str:
    """Return words with the spaces that no line may be broken at made hard: a number stays with its unit."""
    return "\u00a0".join(" ".join(_BREAKS.split(piece)) for piece in _KEPT.split(words))


@functools.lru_cache(_KEPT_WIDTHS)
def wrapped(words: str, width_pt: float, size_pt: float, *, bold: bool = False) -> str:
    """Return `words` with newlines where spaces were, so that no line is wider where that can be helped.

    A number stays with its unit; feet with their inches where both find room on a line.
    """

    def pieces(word: str) -> list[str]:
        too_wide = text_size(word, size_pt, bold=bold)[0] > width_pt
        return _BREAKS.split(word) if too_wide else [word]

    lines: list[str] = []
    for word in (piece for whole in _WHOLE_BREAKS.split(words) for piece in pieces(whole)):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_size(longer, size_pt, bold=bold)[0] <= width_pt:
            lines[-1] = longer
        else:
            lines.append(word)
    return "\n".join(lines)
