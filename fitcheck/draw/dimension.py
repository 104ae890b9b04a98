"""Dimension lines: arrows between two places, extension lines back to them, and words that never overlap.

Words stand on tiers beside the drawing. Where two would touch they are moved apart and a thin leader
joins each to its dimension.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fitcheck.draw.ink import FAINT, INK, PAPER, Align, Area, Label, Mark, Marks, Stroke, box_of, text_size
from fitcheck.things.solid import Floats

_ARROW_PT = 7.0
_BARB = 0.32
_TICK_PT = 4.0
# Between words on a tier, and from a dimension line to its words.
_AIR_PT = 7.0
_TO_WORDS_PT = 5.0
_THIN_PT = 0.7
# A leader shorter than this only clutters.
_MOVED_PT = 3.0


@dataclass(frozen=True, slots=True)
class Span:
    """One dimension along a tier: from start to end, and the other coordinate of each place measured."""

    start: float
    end: float
    start_foot: float
    end_foot: float
    words: str
    size_pt: float = 14.0
    bold: bool = False
    colour: str = INK


def dimension(start: Floats, end: Floats, colour: str = INK, width_pt: float = 0.9) -> Marks:
    """Return a line with arrowheads at both ends, or slant ticks where it is too short for arrows."""
    step = end - start
    length = float(np.hypot(*step))
    line = Stroke((np.array([start, end]),), colour, width_pt)
    if length < 2.4 * _ARROW_PT:
        slant = np.array([1.0, 1.0]) * _TICK_PT * math.sqrt(0.5)
        return (line, Stroke(tuple(np.array([at - slant, at + slant]) for at in (start, end)), colour, 1.3))
    along = step / length
    return (line, arrowhead(start, -along, colour), arrowhead(end, along, colour))


def arrowhead(tip: Floats, along: Floats, colour: str = INK, size_pt: float = _ARROW_PT) -> Area:
    """Return a filled arrowhead with its tip at `tip`, pointing along the unit vector `along`."""
    across = np.array([-along[1], along[0]])
    back = tip - size_pt * along
    ring = np.array([tip, back + _BARB * size_pt * across, back - _BARB * size_pt * across])
    return Area((ring,), fill=colour)


def chain_below(spans: Sequence[Span], y: float, low: float, high: float) -> tuple[Marks, float]:
    """Return a tier of dimensions across the sheet at height y, words under it between low and high.

    Also returns the height at which the tier ends.
    """
    marks: list[Mark] = []
    sizes = [text_size(span.words, span.size_pt, bold=span.bold) for span in spans]
    wanted = [(span.start + span.end) / 2.0 for span in spans]
    middles = spread(wanted, [width + _AIR_PT for width, _ in sizes], low, high)
    for span in spans:
        marks += _extended((span.start, y), (span.start, span.start_foot))
        marks += _extended((span.end, y), (span.end, span.end_foot))
    for span, (_, height), x in zip(spans, sizes, middles, strict=True):
        marks += dimension(np.array([span.start, y]), np.array([span.end, y]), span.colour)
        top = y - _TO_WORDS_PT
        middle = (span.start + span.end) / 2.0
        if abs(x - middle) > _MOVED_PT + abs(span.end - span.start) / 2.0:
            marks.append(Stroke((np.array([[middle, y], [x, top]]),), span.colour, _THIN_PT))
        label = Label(span.words, (x, top - height / 2.0), span.size_pt, span.bold, span.colour)
        marks += [Area((box_of(label).ring,), fill=PAPER), label]
    return tuple(marks), y - _TO_WORDS_PT - max(height for _, height in sizes)


def chain_beside(spans: Sequence[Span], x: float, low: float, high: float, *, right: bool = True) -> Marks:
    """Return a tier of dimensions up the sheet at x, words to its right (or left) between low and high."""
    marks: list[Mark] = []
    toward = 1.0 if right else -1.0
    heights = [text_size(span.words, span.size_pt, bold=span.bold)[1] for span in spans]
    wanted = [(span.start + span.end) / 2.0 for span in spans]
    middles = spread(wanted, heights, low, high)
    moved = any(abs(a - b) > _MOVED_PT for a, b in zip(middles, wanted, strict=True))
    words_x = x + toward * (_TO_WORDS_PT + (12.0 if moved else 1.0))
    for span, y in zip(spans, middles, strict=True):
        marks += _extended((x, span.start), (span.start_foot, span.start))
        marks += _extended((x, span.end), (span.end_foot, span.end))
        marks += dimension(np.array([x, span.start]), np.array([x, span.end]), span.colour)
        middle = (span.start + span.end) / 2.0
        if moved:
            leader = np.array([[x, middle], [words_x - 2.0 * toward, y]])
            marks.append(Stroke((leader,), span.colour, _THIN_PT))
        align: Align = "left" if right else "right"
        marks.append(Label(span.words, (words_x, y), span.size_pt, span.bold, span.colour, align))
    return tuple(marks)


def _extended(tier: tuple[float, float], foot: tuple[float, float]) -> Marks:
    """Return the extension line from just clear of the place measured to just past the tier."""
    start, end = np.array(foot), np.array(tier)
    step = end - start
    length = float(np.hypot(*step))
    if length < _AIR_PT:
        return ()
    along = step / length
    return (Stroke((np.array([start + 2.0 * along, end + 3.0 * along]),), FAINT, _THIN_PT),)


def spread(wanted: Sequence[float], sizes: Sequence[float], low: float, high: float) -> list[float]:
    """Return middles as near to those wanted as can be (least squares) so that no two things overlap.

    Things keep their order. They stay between low and high where there is room for all of them.
    The sizes are taken off first, so that what is left is to make a list rise: pooled neighbours do it
    (Barlow, Bartholomew, Bremner and Brunk, Statistical Inference under Order Restrictions, 1972).
    """
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    steps = [0.0]
    for a, b in itertools.pairwise(order):
        steps.append(steps[-1] + (sizes[a] + sizes[b]) / 2.0)
    pools: list[tuple[float, int]] = []
    for i, step in zip(order, steps, strict=True):
        pools.append((wanted[i] - step, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (high_one, n), (low_one, m) = pools.pop(), pools.pop()
            pools.append(((low_one * m + high_one * n) / (m + n), m + n))
    flat = [value for value, count in pools for _ in range(count)]
    floor = low + sizes[order[0]] / 2.0
    roof = high - sizes[order[-1]] / 2.0 - steps[-1]
    middles = [0.0] * len(wanted)
    for i, value, step in zip(order, flat, steps, strict=True):
        middles[i] = max(floor, min(value, roof)) + step
    return middles


def arc(centre: Floats, radius: float, start_rad: float, end_rad: float) -> Marks:
    """Return an arc from one direction to another the short way, with an arrowhead at its end."""
    turn = math.remainder(end_rad - start_rad, 2.0 * math.pi)
    angles = start_rad + np.linspace(0.0, turn, max(8, int(abs(turn) * 24.0)))
    points = centre + radius * np.column_stack([np.cos(angles), np.sin(angles)])
    size = min(_ARROW_PT, 0.5 * radius * abs(turn))
    # The head is a chord of the arc: it points along the arc's direction half a head before the tip.
    last = end_rad - math.copysign(size / radius / 2.0, turn)
    along = math.copysign(1.0, turn) * np.array([-math.sin(last), math.cos(last)])
    return (Stroke((points,), INK, 1.1), arrowhead(points[-1], along, INK, size))
