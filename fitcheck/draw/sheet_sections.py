"""Sections and pages of a sheet, in the words of the shop, before the paper is known.

A page is a pure function of answers. `paper.py` lays it out in points, `web.py` puts the same into a
browser's page; whoever has more to print (a ladder, blocks to build, a plan of a room) adds a page or a
section.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Protocol

from fitcheck.draw.ink import Marks

# How a value or a line is meant; paper and browser have a colour and a weight for each.
Tone = Literal["plain", "faint", "liquid", "air", "care", "no", "go"]
Kind = Literal["cover", "lift", "pass", "dip-stick", "build", "room", "other"]


@dataclass(frozen=True, slots=True)
class Lead:
    """One line in the largest print: what to do."""

    name: str
    words: str


@dataclass(frozen=True, slots=True)
class Value:
    """One number that is worked by, with the name of what it is over it, and a word more under it."""

    name: str
    words: str
    more: str = ""
    tone: Tone = "plain"


@dataclass(frozen=True, slots=True)
class Values:
    """Numbers side by side in large print."""

    values: tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class Facts:
    """Names and words in two columns, a row each."""

    title: str
    rows: tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells under heads; widths: shares of the page. tones: of each cell, plain where left out."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[float, ...] = ()
    tones: tuple[tuple[Tone, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Notes:
    """Lines of text, each with a mark before it."""

    title: str
    lines: tuple[str, ...]
    tone: Tone = "plain"


@dataclass(frozen=True, slots=True)
class Ticks:
    """Boxes to tick and lines to write on, each with its words."""

    boxes: tuple[str, ...]
    blanks: tuple[str, ...] = ()


class Sketch(Protocol):
    """Something that can draw itself as large as it is asked to, its origin at its lower left corner."""

    def marks(self, width_pt: float, height_pt: float) -> Marks:
        """Return the drawing."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture that takes what height the words leave, between two heights. says: what it shows."""

    sketch: Sketch
    says: str
    least_pt: float
    most_pt: float


@dataclass(frozen=True, slots=True, eq=False)
class Picture:
    """A picture drawn at its size. exact: it is true to size and may not be made smaller."""

    marks: Marks
    size_pt: tuple[float, float]
    says: str
    exact: bool = False


Section = Lead | Values | Facts | Table | Notes | Ticks | Drawing | Picture


@dataclass(frozen=True, slots=True)
class Page:
    """One page. tag: what is chalked on the part. verdict: in a box beside it, with its tone.

    part, tank: whose page it is, empty where it is nobody's. foot: what every page of the set says.
    """

    kind: Kind
    tag: str
    title: str
    under: str
    sections: tuple[Section, ...]
    verdict: str = ""
    tone: Tone = "plain"
    part: str = ""
    tank: str = ""
    foot: str = ""
