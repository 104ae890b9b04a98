"""What is dimensioned in the picture of a dip, and in which words."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.dimension import Span, chain_below, chain_beside
from fitcheck.draw.flat import WALL_PT, Frame
from fitcheck.draw.ink import Box, Marks, text_size
from fitcheck.draw.layout import Beside
from fitcheck.draw.scene import Gap, Scene, Side, gaps
from fitcheck.things.shop import Show
from fitcheck.words.units import show_length

_TIER_PT = 12.0
# Over a view: the row where its tag stands.
_TAG_ROW_PT = 25.0
# From a tier to the far edge of its words: the gap to them, a leader, and air.
_WORDS_AIR_PT = 22.0
_PRINT_PT = 14.0
_FILL_PT = 17.0
# Under a view, beside the words of its gaps: wall, two tiers, the inside size and the view's name.
_BELOW_PT = 72.0
# What of that is the tier of the inside size.
_TIER_BELOW_PT = 29.0


@dataclass(frozen=True, slots=True)
class Measured:
    """Every size that the views show: in words, and the gap on each side of the part.

    whole: the inside length and width are dimensioned too, on a tier of their own.
    """

    show: Show
    depth: str
    level: str
    fill_line: str
    cover: str
    gaps: tuple[tuple[Side, Gap], ...]
    whole: bool = True

    def gap(self, side: Side) -> Gap | None:
        """Return the gap to one side, None where the tank has no such side."""
        return next((gap for name, gap in self.gaps if name == side), None)

    def words(self, side: Side) -> str:
        """Return the words of the gap to one side."""
        seen = self.gap(side)
        return gap_words(seen, side, self.show) if seen else ""


def measured(scene: Scene, show: Show) -> Measured:
    """Return the sizes of a scene."""
    found = gaps(scene)
    depth = f"{show_length(scene.tank.depth_mm, show)}\ndeep"
    if scene.fill is None:
        return Measured(show, depth, "", "", "", found)
    top = float(scene.part.vertices_mm[:, 2].max())
    return Measured(
        show,
        depth,
        f"{show_length(scene.fill.level_mm, show)}\nlevel",
        f"FILL LINE\n{show_length(scene.fill.from_rim_mm, show)}",
        f"{show_length(scene.fill.level_mm - top, show)} cover",
        found,
    )


def gap_words(seen: Gap, side: Side, show: Show) -> str:
    """Return a gap as "2 in to floor", and where it is short of its clearance what it needs."""
    name = side if side in ("floor", "rim") else ""
    if seen.mm < 0.0:
        return f"{show_length(-seen.mm, show)}\npast {name or 'wall'}"
    kept = f"{show_length(seen.mm, show)}{f' to {name}' if name else ''}"
    return f"{kept}\nneeds {show_length(seen.needed_mm, show)}" if seen.short_mm else kept


def beside(sizes: Measured) -> Beside:
    """Return how much of the sheet the words beside the two views take."""

    def wide(words: str, size_pt: float = _PRINT_PT, *, bold: bool = False) -> float:
        return text_size(words, size_pt, bold=bold)[0] if words else 0.0

    tier = WALL_PT + _TIER_PT + _WORDS_AIR_PT
    half = {side: wide(sizes.words(side), bold=bool(found.short_mm)) / 2.0 for side, found in sizes.gaps}
    heights = (
        wide(sizes.fill_line, _FILL_PT, bold=True) or wide(sizes.words("rim"), bold=True),
        wide(sizes.cover),
        wide(sizes.words("floor"), bold=True),
    )
    return Beside(
        left=max(tier + wide(sizes.depth), half.get("left", 0.0)),
        between=max(tier + 20.0 + wide(sizes.level), 30.0 + half.get("right", 0.0) + half.get("near", 0.0)),
        right=max(tier + max(heights), half.get("far", 0.0)),
        below=_BELOW_PT
        - (0.0 if sizes.whole else _TIER_BELOW_PT)
        + max(_lines(sizes.words(side)) for side in ("left", "right", "near", "far")),
    )


def _lines(words: str) -> float:
    """Return the height of words, 0 for none."""
    return text_size(words, _PRINT_PT)[1] if words else 0.0


def side_dimensions(scene: Scene, sizes: Measured, frame: Frame, box: Box) -> tuple[Marks, float]:
    """Return the depth, the gaps to both ends and the inside length, and where they end below."""
    wall = frame.left - WALL_PT
    depth = Span(frame.height(0.0), frame.height(scene.tank.depth_mm), wall, wall, sizes.depth)
    tier = min(wall, _extent(scene, frame, 0)[0]) - _TIER_PT
    below, low = _below(scene, sizes, frame, box)
    return (*chain_beside([depth], tier, box.low, box.high, right=False), *below), low


def end_dimensions(scene: Scene, sizes: Measured, frame: Frame, box: Box) -> tuple[Marks, float]:
    """Return the heights, the gaps to both walls and the inside width, and where they end below."""
    below, low = _below(scene, sizes, frame, box)
    marks = [*below]
    wall = frame.left - WALL_PT
    if scene.fill is not None:
        level = Span(frame.height(0.0), frame.height(scene.fill.level_mm), wall, wall, sizes.level)
        tier = min(wall, _extent(scene, frame, 0)[0]) - _TIER_PT
        marks += chain_beside([level], tier, box.low, box.high, right=False)
    right = frame.across(scene.tank.size_mm[frame.view.across]) + WALL_PT
    tier = max(right, _extent(scene, frame, 0)[1]) + _TIER_PT
    # The words may reach down beside the tiers under the view, but not to its name.
    return (
        *marks,
        *chain_beside(_heights(scene, sizes, frame, right), tier, low + 20.0, box.high - _TAG_ROW_PT),
    ), low


def _heights(scene: Scene, sizes: Measured, frame: Frame, wall: float) -> list[Span]:
    """Return rim to fill line to part to floor; without a fill, rim to part to floor."""
    spans = []
    rim, floor = sizes.gap("rim"), sizes.gap("floor")
    top = scene.tank.depth_mm
    if rim is not None and scene.fill is not None:
        level = scene.fill.level_mm
        line = Span(frame.height(level), frame.height(top), wall, wall, sizes.fill_line)
        spans.append(_printed(line, _FILL_PT, ink.SURFACE))
        foot = _foot(frame, rim)
        spans.append(Span(frame.height(rim.at_mm[2]), frame.height(level), foot, wall, sizes.cover))
    elif rim is not None:
        spans.append(_upright(sizes, "rim", rim, frame, (rim.at_mm[2], top)))
    if floor is not None:
        z = floor.at_mm[2]
        spans.append(_upright(sizes, "floor", floor, frame, (z - floor.mm, z)))
    return spans


def _printed(span: Span, size_pt: float, colour: str) -> Span:
    return Span(
        span.start, span.end, span.start_foot, span.end_foot, span.words, size_pt, bold=True, colour=colour
    )


def _upright(sizes: Measured, side: Side, seen: Gap, frame: Frame, ends_mm: tuple[float, float]) -> Span:
    foot = _foot(frame, seen)
    span = Span(frame.height(ends_mm[0]), frame.height(ends_mm[1]), foot, foot, sizes.words(side))
    return _printed(span, _PRINT_PT, ink.WARNING) if seen.short_mm else span


def _foot(frame: Frame, seen: Gap) -> float:
    return float(frame.place(np.array([seen.at_mm]))[0, 0])


def _extent(scene: Scene, frame: Frame, axis: int) -> tuple[float, float]:
    """Return from where to where the part reaches on the sheet: across (0) or up (1)."""
    places = frame.place(scene.part.vertices_mm)[:, axis]
    return float(places.min()), float(places.max())


def _below(scene: Scene, sizes: Measured, frame: Frame, box: Box) -> tuple[Marks, float]:
    """Return the gaps at both sides of the part, the inside size under them, and where they end."""
    size = scene.tank.size_mm[frame.view.across]
    sides: tuple[Side, Side] = ("left", "right") if frame.view.across == 0 else ("near", "far")
    floor = frame.floor - WALL_PT
    spans = []
    for side, sign in zip(sides, (-1.0, 1.0), strict=True):
        seen = sizes.gap(side)
        if seen is None:
            continue
        at = seen.at_mm[frame.view.across]
        place, wall, foot = frame.across(at), frame.across(at + sign * seen.mm), frame.height(seen.at_mm[2])
        span = Span(place, wall, foot, floor, sizes.words(side))
        spans.append(_printed(span, _PRINT_PT, ink.WARNING) if seen.short_mm else span)
    low = min(floor, _extent(scene, frame, 1)[0])
    gaps, low = chain_below(spans, low - 14.0, box.left, box.right)
    if not sizes.whole:
        return gaps, low
    length = f"{show_length(size, sizes.show)} inside"
    inside = Span(frame.across(0.0), frame.across(size), floor, floor, length)
    whole, low = chain_below([inside], low - 6.0, box.left, box.right)
    # The lines of the lower tier pass under the words of the upper.
    return (*whole, *gaps), low
