"""The largest rectangles left over in a plan."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fitcheck.things.solid import Indices, Mask

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
    full = _summed(xs, ys, taken)
    (left, right), (low, high) = (_spans(sides, thinnest) for sides in (xs, ys))
    a, b = (np.repeat(each, len(low)) for each in (left, right))
    c, d = (np.tile(each, len(left)) for each in (low, high))

    def is_free(a: Indices, b: Indices, c: Indices, d: Indices) -> Mask:
        inside = (a >= 0) & (b < len(xs)) & (c >= 0) & (d < len(ys))
        a, b = np.maximum(a, 0), np.minimum(b, len(xs) - 1)
        c, d = np.maximum(c, 0), np.minimum(d, len(ys) - 1)
        return np.asarray(inside & (full[b, d] - full[a, d] - full[b, c] + full[a, c] == 0))

    kept = is_free(a, b, c, d)
    a, b, c, d = a[kept], b[kept], c[kept], d[kept]
    # One that can grow by a line to no side is the largest there.
    grows = (
        is_free(a - 1, b, c, d) | is_free(a, b + 1, c, d) | is_free(a, b, c - 1, d) | is_free(a, b, c, d + 1)
    )
    places = zip(*(each[~grows].tolist() for each in (a, b, c, d)), strict=True)
    return [(xs[left], ys[low], xs[right], ys[high]) for left, right, low, high in places]


def _summed(xs: Sequence[float], ys: Sequence[float], taken: Sequence[Rectangle]) -> Indices:
    """Return how many cells between the lines are taken, from the low corner up to each crossing."""
    middle_x, middle_y = (np.array(sides[:-1]) + np.diff(sides) / 2.0 for sides in (xs, ys))
    full = np.zeros((len(middle_x), len(middle_y)), dtype=np.int64)
    for x0, y0, x1, y1 in taken:
        full |= ((middle_x > x0) & (middle_x < x1))[:, None] & ((middle_y > y0) & (middle_y < y1))
    return np.pad(full.cumsum(axis=0).cumsum(axis=1), ((1, 0), (1, 0)))


def _spans(sides: Sequence[float], thinnest: float) -> tuple[Indices, Indices]:
    """Return the first and last line of each span that is thick enough."""
    first, last = np.triu_indices(len(sides), 1)
    lines = np.array(sides)
    thick = lines[last] - lines[first] >= thinnest
    return first[thick], last[thick]
