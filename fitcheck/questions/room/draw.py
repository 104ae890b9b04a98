"""The plan of a room to a scale of the shop: walls, doors, what stands there, aisles, and tape figures."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from fitcheck.draw import ink, layout
from fitcheck.draw.captions import Fact
from fitcheck.draw.ink import Box, Label, Marks
from fitcheck.draw.layout import SHEET_PT, body_of_sheet
from fitcheck.draw.paint import blank, checked_path, put, write
from fitcheck.draw.svg import svg as svg_of
from fitcheck.questions.room.answer import RoomAnswer
from fitcheck.questions.room.draw_plan import PlanFrame, plan_marks
from fitcheck.questions.room.draw_tape import tape_height, tape_marks
from fitcheck.questions.room.say import aisle_words, aisles_alike, conflict_words, move_words, verdict_words
from fitcheck.say.cautions import sentence
from fitcheck.things.caution import Caution
from fitcheck.things.shop import Shop, Show
from fitcheck.words.units import MM_PER_INCH, show_area

COLOURS = {"fits": ink.GO, "does not fit": ink.WARNING, "not found": ink.UNKNOWN}
BEFORE = "Tape it on the floor before anything is moved. Local codes outrank this sheet."
# Scales that drawings are made to; the first that finds room is taken.
SCALES = (5, 10, 12, 20, 24, 25, 32, 40, 48, 50, 64, 75, 96, 100, 150, 192, 200, 250, 400, 500, 1000)
# Round the plan: for walls, sizes and their words.
_AROUND_PT = 46.0
_WORDS_PT = 300.0
_AIR_PT = 14.0
_MOST_FACTS = 5


def draw(answer: RoomAnswer, shop: Shop, path: Path) -> tuple[str, ...]:
    """Draw the best layout of an answer, or the room alone, to `path` (.png, .svg or .pdf).

    All of it can be drawn, so there are no notes. Raises `Refused` where the folder does not exist or the
    kind of file is unknown.
    """
    target = checked_path(path)
    paper = blank(SHEET_PT)
    put(room_marks(answer, shop.show, shop.name), paper)
    write(paper, target)
    return ()


def svg(answer: RoomAnswer, shop: Shop) -> str:
    """Return the sheet as SVG."""
    return svg_of(room_marks(answer, shop.show, shop.name), SHEET_PT, f"room {answer.room.name}")


def room_marks(answer: RoomAnswer, show: Show, shop_name: str = "") -> Marks:
    """Return everything on the sheet of an answer."""
    foot, high = layout.footer((sentence(Caution("local code"), show),), BEFORE)
    body = body_of_sheet(high)
    plan = Box(body.left, body.low, body.right - _WORDS_PT - _AIR_PT, body.high - 8.0)
    frame, scale = framed(answer, plan)
    tall = min(tape_height(answer, show), 0.55 * body.height)
    beside = Box(body.right - _WORDS_PT, body.low + tall + _AIR_PT, body.right, body.high - 6.0)
    under = Box(beside.left, body.low, body.right, body.low + tall)
    name = f"Plan, 1 : {scale} on a sheet of 11 x 8 1/2 in"
    return (
        *layout.frame_of_sheet(),
        *layout.header(answer.verdict, COLOURS[answer.verdict], f"room {answer.room.name}", shop_name),
        *plan_marks(answer, frame, show),
        Label(name, (plan.left, body.low + 6.0), 11.0, colour=ink.FAINT, align="left"),
        *layout.panel(_facts(answer, show), beside),
        *tape_marks(answer, show, under),
        *foot,
    )


def framed(answer: RoomAnswer, box: Box) -> tuple[PlanFrame, int]:
    """Return where the plan lies in a box, and its scale, 1 to so many."""
    ring = np.array(answer.room.outline_mm)
    low, high = ring.min(axis=0), ring.max(axis=0)
    wide, tall = (high - low).tolist()
    room = box.width - 2.0 * _AROUND_PT, box.height - 2.0 * _AROUND_PT
    least = max(wide / room[0], tall / room[1]) * 72.0 / MM_PER_INCH
    scale = next((each for each in SCALES if each >= least), round(least) + 1)
    points = 72.0 / MM_PER_INCH / scale
    middle = np.array([(box.left + box.right) / 2.0, (box.low + box.high) / 2.0])
    shift = middle - points * (low + high) / 2.0
    return PlanFrame(points, (float(shift[0]), float(shift[1]))), scale


def _facts(answer: RoomAnswer, show: Show) -> tuple[Fact, ...]:
    facts = [Fact("so laid out", verdict_words(answer, show), COLOURS[answer.verdict], leading=True)]
    for conflict in answer.conflicts[:_MOST_FACTS]:
        cure = f": {move_words(conflict.cure, show)}" if conflict.cure else ""
        facts.append(Fact(conflict.kind, f"{conflict_words(conflict, show)}{cure}", ink.WARNING))
    if answer.proof:
        facts.append(Fact("proven", answer.proof))
    best = answer.best
    if best is not None:
        for to, aisle in aisles_alike(best.aisles)[: _MOST_FACTS - 1]:
            facts.append(Fact(f"aisle to {to}", aisle_words(aisle, show)))
        facts.append(Fact("floor free for the aisle's width", show_area(best.free_mm2, show)))
    return tuple(facts)
