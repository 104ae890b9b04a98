"""Widest clear path over a floor: the largest disc that gets from one place to another.

A disc of radius r goes wherever its middle keeps r from every wall and body: the floor less the bodies grown
by r. Straight sides are grown exactly; round corners by tangents, so that a way found is surely there, or by
chords, so that a way not found is surely not. Bisection on r with both gives the width from both sides.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fitcheck.geometry.plan.convex_outlines import grown
from fitcheck.things.solid import Floats

if TYPE_CHECKING:
    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry

# Widths are told to this; a tape does not see it.
WIDTH_MM = 0.01
# A disc this near to what it should touch touches: above the rounding of grown polygons, far under WIDTH_MM.
_NEAR_MM = 1e-5


@dataclass(frozen=True, slots=True, eq=False)
class Thing:
    """A wall (2, 2) or the convex outline (n, 2) of a body, with its name."""

    name: str
    ring_mm: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Floor:
    """A floor (n, 2), counter-clockwise, its walls, and the bodies on it."""

    outline_mm: Floats
    walls: tuple[Thing, ...]
    bodies: tuple[Thing, ...]

    @property
    def things(self) -> tuple[Thing, ...]:
        """Everything a disc must keep clear of."""
        return self.walls + self.bodies


@dataclass(frozen=True, slots=True, eq=False)
class Way:
    """A side (2, 2) to be reached: a disc touches it from the left of start to end, its middle beside it."""

    name: str
    side_mm: Floats

    def middles_mm(self, radius_mm: float) -> Floats:
        """Return the line (2, 2) on which the middle of a disc lies that touches the side."""
        start, end = self.side_mm
        step = (end - start) / np.hypot(*(end - start))
        return self.side_mm + radius_mm * np.array([-step[1], step[0]])


@dataclass(frozen=True, slots=True, eq=False)
class Widest:
    """The widest way: within at_least_mm and at_most_mm; where it is pinched, between which things."""

    start: str
    width_mm: float
    at_least_mm: float
    at_most_mm: float
    pinch: tuple[str, str] | None = None
    pinch_mm: Floats | None = None


def pieces(floor: Floor, width_mm: float, *, sure: bool = True) -> tuple[Polygon, ...]:
    """Return the connected pieces of floor where the middle of a disc may be.

    sure: all of each piece is truly free; else the pieces have all that is.
    """
    import shapely

    radius = width_mm / 2.0
    rings = [grown(thing.ring_mm, radius, outside=sure) for thing in floor.things] if radius > 0.0 else []
    taken = shapely.union_all([shapely.Polygon(ring) for ring in rings])
    # Where two grown sides just touch, the way between is a line and has no area: they are drawn in by less
    # than is told apart.
    free = shapely.Polygon(floor.outline_mm).difference(taken.buffer(-_NEAR_MM / 4.0, join_style="mitre"))
    return tuple(part for part in shapely.get_parts(free) if part.geom_type == "Polygon" and part.area > 0.0)


def joined(starts: Sequence[Way], way: Way, width_mm: float, found: Sequence[Polygon]) -> Way | None:
    """Return the first start from which a disc reaches a side; found: the pieces of floor for that width."""
    for piece in found:
        if _touches(piece, way, width_mm):
            for start in starts:
                if _touches(piece, start, width_mm):
                    return start
    return None


class Passages:
    """The ways from some starts over one floor; the pieces for a width are made once for all sides."""

    def __init__(self, floor: Floor, starts: Sequence[Way]) -> None:
        self.floor = floor
        self.starts = tuple(starts)
        self._pieces: dict[tuple[float, bool], tuple[Polygon, ...]] = {}

    def start_of(self, way: Way, width_mm: float, *, sure: bool = True) -> Way | None:
        """Return the first start from which a disc of a width reaches a side."""
        if (width_mm, sure) not in self._pieces:
            self._pieces[width_mm, sure] = pieces(self.floor, width_mm, sure=sure)
        return joined(self.starts, way, width_mm, self._pieces[width_mm, sure])

    def widest(self, way: Way) -> Widest:
        """Return the widest way from any of the starts to a side; 0 where even a thread does not get by."""
        most = float(np.ptp(self.floor.outline_mm, axis=0).min()) + WIDTH_MM
        sure = self._bisected(way, (0.0, most), sure=True)
        start = self.start_of(way, sure) if sure > 0.0 else None
        if start is None:
            return Widest("", 0.0, 0.0, WIDTH_MM)
        # Tangents reach beyond a round corner by this share of the radius at most.
        near = sure * 1.001 + 2.0 * WIDTH_MM
        bound = self._bisected(way, (sure, near), sure=False) + WIDTH_MM
        return _pinched(self.floor, way, start, (sure, bound))

    def _bisected(self, way: Way, between: tuple[float, float], *, sure: bool) -> float:
        """Return the largest width that was seen to go; one WIDTH_MM larger does not, as far as is known."""
        low, high = between
        while high - low > WIDTH_MM:
            middle = (low + high) / 2.0
            if self.start_of(way, middle, sure=sure) is not None:
                low = middle
            else:
                high = middle
        return low


def _touches(piece: BaseGeometry, way: Way, width_mm: float) -> bool:
    from shapely import LineString

    return bool(piece.distance(LineString(way.middles_mm(width_mm / 2.0))) <= _NEAR_MM)


def _pinched(floor: Floor, way: Way, start: Way, between: tuple[float, float]) -> Widest:
    """Return the widest way with its pinch: the two things whose distance lies in the bracket, on the way.

    The width is critical only where two things stand so far apart, or where a side itself has no more room.
    """
    import shapely

    low, high = between
    on_way = shapely.union_all(
        [piece for piece in pieces(floor, low) if _touches(piece, way, low) and _touches(piece, start, low)]
    )
    best: tuple[float, Widest] | None = None
    for one, other in itertools.combinations(floor.things, 2):
        apart = _apart_mm(one.ring_mm, other.ring_mm)
        if apart is None or not low - WIDTH_MM <= apart[0] <= high + WIDTH_MM:
            continue
        middle = shapely.Point(*apart[1].mean(axis=0))
        off = float(on_way.distance(middle))
        found = Widest(start.name, apart[0], min(low, apart[0]), max(high, apart[0]), (one.name, other.name))
        if off <= 0.05 * low + 1.0 and (best is None or off < best[0]):
            best = off, Widest(*_values(found), apart[1])
    if best is not None:
        return best[1]
    return Widest(start.name, low, low, high)


def _values(found: Widest) -> tuple[str, float, float, float, tuple[str, str] | None]:
    return found.start, found.width_mm, found.at_least_mm, found.at_most_mm, found.pinch


def _apart_mm(one: Floats, other: Floats) -> tuple[float, Floats] | None:
    """Return how far two things are apart and their nearest places (2, 2), in the middle of where they face.

    None where they touch: nothing goes between.
    """
    import shapely

    shapes = [shapely.LineString(ring) if len(ring) == 2 else shapely.Polygon(ring) for ring in (one, other)]
    line = shapely.shortest_line(*shapes)
    length = float(line.length)
    if length <= WIDTH_MM:
        return None
    ends = np.asarray(line.coords)
    along = np.array([ends[0, 1] - ends[1, 1], ends[1, 0] - ends[0, 0]]) / length
    # Parallel sides face each other along a stretch: its middle says more than its end.
    spans = []
    for ring, end in zip((one, other), ends, strict=True):
        off = np.abs((ring - end) @ (ends[1] - ends[0])) / length
        at = (ring - ends[0]) @ along
        spans.append((at[off <= WIDTH_MM].min(initial=0.0), at[off <= WIDTH_MM].max(initial=0.0)))
    middle = (max(span[0] for span in spans) + min(span[1] for span in spans)) / 2.0
    return length, ends + middle * along
