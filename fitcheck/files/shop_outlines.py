"""The outline of a floor in a shop file: corners in plan, counter-clockwise, no edge across another."""

from __future__ import annotations

import itertools
import math

from fitcheck.files.shop_words import any_length
from fitcheck.files.toml_table import Entry
from fitcheck.things.room import Point, Ring, signed_area_mm2

_AT = '["5 ft", "8 ft"]'
_OUTLINE = '[["0 ft", "0 ft"], ["14 ft", "0 ft"], ["14 ft", "20 ft"], ["0 ft", "20 ft"]]'
# Sums of lengths in double precision are right to far less than this, and no tape sees it.
_ROUNDING_MM = 1e-6
# More corners than this is a drawing, not a floor measured by tape; checking it would take long.
_MOST_CORNERS = 400

Edge = tuple[Point, Point]


def read_outline(entry: Entry) -> Ring | None:
    """Return the corners of a floor counter-clockwise; None, and a fault, where they bound none."""
    items = entry.items(_OUTLINE)
    read = [item.read_all(any_length, 2, _AT) for item in items]
    corners = [(point[0], point[1]) for point in read if point is not None]
    if not isinstance(entry.value, list) or len(corners) < len(read):
        return None
    if not 3 <= len(corners) <= _MOST_CORNERS:
        entry.fault(f"{len(corners)} corners do not make a floor", f"write 3 to {_MOST_CORNERS}: {_OUTLINE}")
        return None
    ring = tuple(corners)
    edges = _edges(ring)
    for i, (a, b) in enumerate(edges):
        if math.dist(a, b) <= _ROUNDING_MM:
            items[i].fault(f"corner {i + 1} and the next are the same place", "take one of them out")
            return None
    for i, k in itertools.combinations(range(len(edges)), 2):
        if _crosses(edges, i, k):
            items[k].fault(
                f"the outline crosses itself: the wall from corner {i + 1} meets the one from corner {k + 1}",
                "write the corners in the order in which you walk along the walls",
            )
            return None
    if signed_area_mm2(ring) <= 0.0:
        entry.fault("the outline runs clockwise", "write its corners in the other order")
        return None
    return ring


def _edges(ring: Ring) -> list[Edge]:
    return list(zip(ring, (*ring[1:], ring[0]), strict=True))


def _crosses(edges: list[Edge], i: int, k: int) -> bool:
    """Return whether two walls meet elsewhere than in the corner that neighbours share."""
    (a, b), (c, d) = edges[i], edges[k]
    if k == i + 1 or (i == 0 and k == len(edges) - 1):
        # Neighbours cross only where one folds back over the other.
        shared, one, other = (b, a, d) if k == i + 1 else (a, b, c)
        back = _side(shared, one, other) == 0.0
        return (
            back
            and (one[0] - shared[0]) * (other[0] - shared[0]) + (one[1] - shared[1]) * (other[1] - shared[1])
            > 0.0
        )
    if _side(a, b, c) * _side(a, b, d) < 0.0 and _side(c, d, a) * _side(c, d, b) < 0.0:
        return True
    return any(
        _side(*line, point) == 0.0 and _within(line, point)
        for line, point in (((a, b), c), ((a, b), d), ((c, d), a), ((c, d), b))
    )


def _side(a: Point, b: Point, c: Point) -> float:
    """Return -1, 0 or 1: on which side of the line from a to b the point c lies."""
    cross = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    # Nearer to the line than this it lies on it.
    return 0.0 if abs(cross) <= _ROUNDING_MM * math.dist(a, b) else math.copysign(1.0, cross)


def _within(line: Edge, point: Point) -> bool:
    (ax, ay), (bx, by) = line
    return min(ax, bx) - _ROUNDING_MM <= point[0] <= max(ax, bx) + _ROUNDING_MM and (
        min(ay, by) - _ROUNDING_MM <= point[1] <= max(ay, by) + _ROUNDING_MM
    )
