"""The largest rectangles left over in a plan."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

# Low x, low y, high x, high y.
Rectangle = tuple[float, float, float, float]


def largest_left(
    plan: Rectangle, taken: Sequence[Rectangle], gap: float, thinnest: float, most: int
) -> tuple[Rectangle, ...]:
    """Return up to `most` rectangles clear of those taken and of each other by a gap, of the most area.

    The first is tried as each of the rectangles that cannot grow, the next ones are then the largest that is
    left; so up to two, the answer is the best there is. None is thinner than `thinnest`.
    """
    best: tuple[Rectangle, ...] = ()
    for first in _maximal(plan, taken, thinnest):
        found = [first]
        while len(found) < most:
            grown = [_grown(rectangle, gap) for rectangle in found]
            left = _maximal(plan, [*taken, *grown], thinnest)
            if not left:
                break
            found.append(max(left, key=area))
        if sum(map(area, found)) > sum(map(area, best)):
            best = tuple(found)
    return best


def area(rectangle: Rectangle) -> float:
    """Return the area of a rectangle; below 0 never."""
    return max(rectangle[2] - rectangle[0], 0.0) * max(rectangle[3] - rectangle[1], 0.0)


def _grown(rectangle: Rectangle, by: float) -> Rectangle:
    return (rectangle[0] - by, rectangle[1] - by, rectangle[2] + by, rectangle[3] + by)


def _maximal(plan: Rectangle, taken: Sequence[Rectangle], thinnest: float) -> list[Rectangle]:
    """Return the free rectangles, thick enough, whose sides all lie on sides of what is there."""
    xs = sorted(
        {plan[0], plan[2], *(side for r in taken for side in (r[0], r[2]) if plan[0] < side < plan[2])}
    )
    ys = sorted(
        {plan[1], plan[3], *(side for r in taken for side in (r[1], r[3]) if plan[1] < side < plan[3])}
    )
    free = [
        (x0, y0, x1, y1)
        for (x0, x1), (y0, y1) in itertools.product(
            itertools.combinations(xs, 2), itertools.combinations(ys, 2)
        )
        if min(x1 - x0, y1 - y0) >= thinnest and not any(_meet((x0, y0, x1, y1), other) for other in taken)
    ]
    return [one for one in free if not any(other != one and _holds(other, one) for other in free)]


def _meet(one: Rectangle, other: Rectangle) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _holds(one: Rectangle, other: Rectangle) -> bool:
    return one[0] <= other[0] and one[1] <= other[1] and one[2] >= other[2] and one[3] >= other[3]
