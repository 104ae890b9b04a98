"""The tape figures of a plan: each fixture's corners from the west side and from the south side."""

from __future__ import annotations

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.ink import Box, Label, Mark, Marks, Stroke, fitted
from fitcheck.questions.room.answer import RoomAnswer
from fitcheck.questions.room.say import taped, turn_words
from fitcheck.things.shop import Show

# Front left, front right, back right, back left, as the fixture is drawn.
CORNERS = ("FL", "FR", "BR", "BL")
_LINE_PT, _HEAD_PT = 12.0, 30.0
_PRINT_PT, _LEAST_PT = 9.0, 6.0


def tape_height(answer: RoomAnswer, show: Show) -> float:
    """Return the height that the figures take."""
    rows = _rows(answer, show)
    return _HEAD_PT + sum(_LINE_PT * len(row) for row in rows) if rows else 0.0


def tape_marks(answer: RoomAnswer, show: Show, box: Box) -> Marks:
    """Return the figures in a box; in smaller print where there are many."""
    rows = _rows(answer, show)
    if not rows:
        return ()
    share = min(1.0, box.height / tape_height(answer, show))
    line, size = _LINE_PT * share, max(_PRINT_PT * share, _LEAST_PT)
    head = "Corners by tape from the west side, the south side (F front, B back, L left, R right)"
    marks: list[Mark] = [
        fitted(Label(head, (box.left, box.high - 7.0), 10.0, align="left"), 0.98 * box.width, _LEAST_PT),
        Stroke((np.array([[box.left, box.high - 15.0], [box.right, box.high - 15.0]]),), ink.FAINT, 0.6),
    ]
    columns = [box.left, *(box.left + box.width * part for part in (0.22, 0.61))]
    width = 0.37 * box.width
    y = box.high - 15.0 - 0.7 * line
    for row in rows:
        for k, cells in enumerate(row):
            for x, words in zip(columns, cells, strict=True):
                label = Label(words, (x, y), size, k == 0 and x == box.left, align="left")
                marks.append(fitted(label, width if x > box.left else 0.2 * box.width, _LEAST_PT))
            y -= line
    return tuple(marks)


def _rows(answer: RoomAnswer, show: Show) -> list[list[tuple[str, str, str]]]:
    """Return two lines for each fixture: its name and turn, and two corners on each."""
    if answer.best is None:
        return []
    rows = []
    for fixture, place, corners in taped(answer.room, answer.best, show):
        a, b, c, d = (f"{name} {x}, {y}" for name, (x, y) in zip(CORNERS, corners, strict=True))
        rows.append([(fixture.name, a, b), (turn_words(place.turn_rad), d, c)])
    return rows
