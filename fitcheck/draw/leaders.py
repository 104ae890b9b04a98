"""Labels in a row under a view, each joined by a thin leader to its thing; and the mark of a hole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.dimension import spread
from fitcheck.draw.ink import Area, Label, Mark, Marks, Stroke, text_size
from fitcheck.things.solid import Floats

_PRINT_PT = 14.0
_AIR_PT = 9.0
_THIN_PT = 0.9
_DOT_PT = 1.9
_HOLE_PT = 4.5


@dataclass(frozen=True, slots=True)
class Said:
    """Words about a place on the sheet. must: they are there even where others find no room."""

    words: str
    at: tuple[float, float]
    colour: str = ink.INK
    must: bool = False


def said_below(said: Sequence[Said], high: float, within: tuple[float, float]) -> Marks:
    """Return words in a row under the height `high`, between the two ends of `within`, with leaders.

    The last ones are left out where there is no room for all.
    """
    kept = _with_room(said, within[1] - within[0])
    widths = [text_size(each.words, _PRINT_PT, bold=True)[0] for each in kept]
    middles = spread([each.at[0] for each in kept], [w + _AIR_PT for w in widths], *within) if kept else []
    marks: list[Mark] = []
    for each, x in zip(kept, middles, strict=True):
        leader = np.array([each.at, (x, high + 2.0)])
        marks.append(Stroke((leader,), each.colour, _THIN_PT))
        marks.append(Area((_ring(each.at, _DOT_PT),), fill=each.colour))
        height = text_size(each.words, _PRINT_PT)[1]
        at = (x, high - height / 2.0)
        marks.append(Label(each.words, at, _PRINT_PT, bold=True, colour=each.colour))
    return tuple(marks)


def _with_room(said: Sequence[Said], width: float) -> list[Said]:
    kept = list(said)
    while sum(text_size(each.words, _PRINT_PT, bold=True)[0] + _AIR_PT for each in kept) > width:
        spare = [k for k, each in enumerate(kept) if not each.must]
        if not spare:
            break
        del kept[spare[-1]]
    return kept


def hole_mark(at: tuple[float, float]) -> Marks:
    """Return a hole seen end on: a ring with the cross of its middle lines."""
    x, y = at
    reach = 2.0 * _HOLE_PT
    cross = (np.array([[x - reach, y], [x + reach, y]]), np.array([[x, y - reach], [x, y + reach]]))
    return (
        Area((_ring(at, _HOLE_PT),), line=ink.INK, width_pt=1.4),
        Stroke(cross, ink.INK, 0.9),
    )


def _ring(at: tuple[float, float], radius: float) -> Floats:
    turn = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)
    ring: Floats = np.array(at) + radius * np.column_stack([np.cos(turn), np.sin(turn)])
    return ring
