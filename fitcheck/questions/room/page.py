"""The pages of a room: its plan to scale with what is short, and tape figures of what stands there."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.draw.ink import Box, Label, Marks
from fitcheck.draw.sheet_sections import Drawing, Facts, Lead, Notes, Page, Section, Table, Tone, Value
from fitcheck.questions.room.answer import Conflict, RoomAnswer
from fitcheck.questions.room.draw import BEFORE, framed
from fitcheck.questions.room.draw_plan import plan_marks
from fitcheck.questions.room.draw_tape import CORNERS
from fitcheck.questions.room.say import (
    aisle_words,
    aisles_alike,
    conflict_words,
    move_words,
    taped,
    turn_words,
    verdict_words,
)
from fitcheck.say.cautions import sentences
from fitcheck.things.shop import Show

_LEAST_PT, _MOST_PT = 450.0, 560.0
_NAME_PT = 11.0
# Fixtures told on a page.
_ROWS = 16
_TONES: dict[str, Tone] = {"fits": "go", "does not fit": "no", "not found": "care"}


@dataclass(frozen=True, slots=True, eq=False)
class _PlanSketch:
    """The plan of a room, to a scale that drawings are made to."""

    answer: RoomAnswer
    show: Show

    def marks(self, width_pt: float, height_pt: float) -> Marks:
        """Return the plan in a box of that size, its scale named under it."""
        frame, scale = framed(self.answer, Box(0.0, _NAME_PT, width_pt, height_pt))
        name = Label(f"1 : {scale} on this paper", (0.0, _NAME_PT / 2.0), _NAME_PT, align="left")
        return (*plan_marks(self.answer, frame, self.show), name)


def room_pages(answer: RoomAnswer, show: Show, shop_name: str) -> tuple[Page, ...]:
    """Return the page of a room's plan, and pages of where everything stands by tape."""
    rows = _rows(answer, show)
    says = f"plan of room {answer.room.name} to scale: walls, doors, fixtures and the ways to them"
    first: tuple[Section, ...] = (
        Lead("So laid out", verdict_words(answer, show)),
        Drawing(_PlanSketch(answer, show), says, _LEAST_PT, _MOST_PT),
        *_found(answer, show),
        Notes("Cautions", sentences(answer.cautions, show), "care"),
    )
    more = (_page(answer, shop_name, _table(rows[at : at + _ROWS])) for at in range(0, len(rows), _ROWS))
    return (_page(answer, shop_name, first), *more)


def _page(answer: RoomAnswer, shop_name: str, sections: tuple[Section, ...]) -> Page:
    return Page(
        kind="room",
        tag=answer.room.name,
        title="plan of the room",
        under=shop_name,
        sections=sections,
        verdict=answer.verdict,
        tone=_TONES[answer.verdict],
        foot=BEFORE,
    )


def _found(answer: RoomAnswer, show: Show) -> tuple[Section, ...]:
    """Return what is in the way with its cure, or else the aisles."""
    rows = [
        Value(
            conflict.kind,
            ": ".join([conflict_words(conflict, show), *_cure(conflict, show)]),
            tone="no",
        )
        for conflict in answer.conflicts
    ]
    if answer.best is not None and not rows:
        rows = [
            Value(f"aisle to {to}", aisle_words(aisle, show))
            for to, aisle in aisles_alike(answer.best.aisles)
        ]
    return (Facts("", tuple(rows)),) if rows else ()


def _cure(conflict: Conflict, show: Show) -> tuple[str, ...]:
    return () if conflict.cure is None else (move_words(conflict.cure, show),)


def _rows(answer: RoomAnswer, show: Show) -> tuple[tuple[str, ...], ...]:
    if answer.best is None:
        return ()
    rows = []
    for fixture, place, corners in taped(answer.room, answer.best, show):
        words = tuple(f"{x}, {y}" for x, y in corners[: len(CORNERS)])
        rows.append((f"{fixture.name}, {turn_words(place.turn_rad)}", *words))
    return tuple(rows)


def _table(rows: tuple[tuple[str, ...], ...]) -> tuple[Section, ...]:
    if not rows:
        return ()
    heads = ("by tape from the west, the south side", *(f"at {name}" for name in CORNERS))
    return (Table("F front, B back, L left, R right, as drawn", heads, rows, (1.5, 1.3, 1.3, 1.3, 1.3)),)
