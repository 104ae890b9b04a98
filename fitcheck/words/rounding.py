"""Lengths rounded to the tape's marks on the side that keeps a statement true."""

from __future__ import annotations

import math

from fitcheck.words.units import MM_PER_INCH, Show, show_length

# Sums of a few hundred terms of a shop's sizes are out by less than this; it must not cost a whole mark.
ROUNDING_MM = 1e-6


def mark_mm(show: Show) -> float:
    """Return the finest step that answers are printed in: 1/16 in, or 0.1 mm."""
    return MM_PER_INCH / 16 if show == "ft-in" else 0.1


def at_least(mm: float, show: Show) -> str:
    """Return a length that there is at least: rounded down to a mark."""
    mark = mark_mm(show)
    return show_length(math.floor((mm + ROUNDING_MM) / mark) * mark, show)


def at_most(mm: float, show: Show) -> str:
    """Return a length that there is at most, or that is surely enough: rounded up to a mark."""
    mark = mark_mm(show)
    return show_length(math.ceil((mm - ROUNDING_MM) / mark) * mark, show)


def enough(mm: float, show: Show) -> str:
    """Return a change that cures: rounded up to a mark, however little is over it."""
    mark = mark_mm(show)
    return show_length(math.ceil(mm / mark) * mark, show)


def is_under_a_mark(mm: float, show: Show) -> bool:
    """Whether `mm` would be printed as nothing when rounded down."""
    return mm + ROUNDING_MM < mark_mm(show)


def some(mm: float, show: Show) -> str:
    """Return what there is at least; where that is no whole mark of the tape, say so."""
    if is_under_a_mark(mm, show):
        return f"less than {show_length(mark_mm(show), show)}"
    return at_least(mm, show)
