"""How the words of a picture stand to its lines and to each other, measured on its marks."""

from __future__ import annotations

import itertools
from collections.abc import Collection
from dataclasses import replace

import numpy as np

from fitcheck.draw.ink import Area, Box, Label, Marks, Stroke, box_of
from fitcheck.things.solid import Floats

# Small letters are some six tenths of the print high, and the line is 1.22 of it: what is nearer touches.
_LETTERS = 0.6
_NEAR_PT = 0.5


def touched(marks: Marks, on_lines: Collection[str] = ()) -> list[tuple[str, str]]:
    """Return words that stand on a line or on other words, with what they stand on.

    on_lines: sizes, which stand in a gap of their own line, as on any drawing.
    """
    labels = [mark for mark in marks if isinstance(mark, Label)]
    boxes = [(label.words, box_of(replace(label, size_pt=_LETTERS * label.size_pt))) for label in labels]
    # The width of the print is what it is: only the height is taken smaller.
    boxes = [
        (words, Box(box_of(label).left, box.low, box_of(label).right, box.high))
        for label, (words, box) in zip(labels, boxes, strict=True)
    ]
    on_words = [(a, b) for (a, one), (b, two) in itertools.combinations(boxes, 2) if one.overlaps(two)]
    points = _points(marks)
    on_line = [
        (words, f"a line at {points[hit][0].round().tolist()}")
        for words, box in boxes
        if words not in on_lines and (hit := _inside(points, box)).any()
    ]
    return [*on_words, *on_line]


def words_on_things(marks: Marks, fill: str) -> list[str]:
    """Return words that stand partly on an area of that colour: wholly in one, or clear of it, is well."""
    shapes = [ring for mark in marks if isinstance(mark, Area) and mark.fill == fill for ring in mark.rings]
    found = []
    for label in (mark for mark in marks if isinstance(mark, Label)):
        box = box_of(replace(label, size_pt=0.75 * label.size_pt))
        for ring in shapes:
            (left, low), (right, high) = ring.min(axis=0), ring.max(axis=0)
            within = left <= box.left and box.right <= right and low <= box.low and box.high <= high
            if not within and box.overlaps(Box(left, low, right, high)):
                found.append(label.words)
    return found


def _points(marks: Marks) -> Floats:
    """Return the places (n, 2) of all strokes, so close that no words slip between them."""
    lines = [np.asarray(line) for mark in marks if isinstance(mark, Stroke) for line in mark.lines]
    ends = np.vstack([np.stack([line[:-1], line[1:]], axis=1) for line in lines])
    counts = np.ceil(np.hypot(*(ends[:, 1] - ends[:, 0]).T) / _NEAR_PT).astype(int) + 1
    owner = np.repeat(np.arange(len(ends)), counts)
    share = (np.arange(len(owner)) - np.repeat(np.cumsum(counts) - counts, counts)) / np.maximum(
        counts[owner] - 1, 1
    )
    return np.asarray(ends[owner, 0] + share[:, None] * (ends[owner, 1] - ends[owner, 0]))


def _inside(points: Floats, box: Box) -> np.ndarray:
    x, y = points.T
    return np.asarray((box.left < x) & (x < box.right) & (box.low < y) & (y < box.high))
