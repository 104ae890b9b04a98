"""Intervals on which a condition holds, by bisection that passes none by."""

from __future__ import annotations

from collections.abc import Callable

# Told of a stretch, by middle and half length: it holds all along it, nowhere on it, or neither is known.
# Of a stretch of no length it must be known.
Judge = Callable[[float, float], bool | None]


def bisected(low: float, high: float, judge: Judge, finest: float) -> list[tuple[float, float]]:
    """Return the stretches of low..high in which something holds, their ends known to `finest`.

    Nothing longer than `finest` is passed by: whatever is left out was judged not to hold anywhere on it, or
    is shorter than that and does not hold at its middle.
    """
    found: list[tuple[float, float]] = []
    ahead = [(low, high)]
    while ahead:
        start, end = ahead.pop()
        middle, half = (start + end) / 2.0, (end - start) / 2.0
        holds = judge(middle, half)
        if holds is None and end - start > finest:
            ahead += [(middle, end), (start, middle)]
            continue
        if holds is None:
            holds = judge(middle, 0.0)
        if holds and found and found[-1][1] == start:
            found[-1] = (found[-1][0], end)
        elif holds:
            found.append((start, end))
    return found
