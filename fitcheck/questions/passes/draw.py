"""The picture of passes: each from the side to scale, and the part's faces with what is treated twice."""

from __future__ import annotations

import math
from pathlib import Path

from fitcheck.draw import ink, layout
from fitcheck.draw.captions import Fact
from fitcheck.draw.ink import Box, Mark, Marks
from fitcheck.draw.layout import SHEET_PT, body_of_sheet
from fitcheck.draw.paint import blank, checked_path, put, write
from fitcheck.draw.svg import svg as svg_of
from fitcheck.geometry.statics.sprung_sheet import bent_part
from fitcheck.questions.passes.answer import PassAnswer, count_words
from fitcheck.questions.passes.draw_bands import banded, faces_height, faces_marks, key_marks
from fitcheck.questions.passes.draw_view import (
    PassScene,
    columns_for,
    in_few_words,
    pass_marks,
    pass_scene,
    scale_in,
)
from fitcheck.questions.passes.say import TURN_WORDS
from fitcheck.say.cautions import sentences
from fitcheck.things.caution import Caution
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop, Show
from fitcheck.things.tank import Tank
from fitcheck.words.rounding import at_least, is_under_a_mark
from fitcheck.words.units import show_angle, show_length

COLOURS = {
    "fits": ink.GO,
    "does not fit": ink.WARNING,
    "measure again": ink.CARE,
    "not found": ink.UNKNOWN,
}
# The cautions that stand on the sheet.
SEVERAL = (Caution("band shows"), Caution("end stands out"))
SPRUNG = Caution("sprung sheet")
_FACTS_PT = 58.0
_AIR_PT = 8.0
_KEY_PT = 16.0
# The faces take no more of the sheet than this.
_FACES_SHARE, _FEWER_FACES_SHARE = 0.4, 0.3
# Of more passes than this there is no room for dimensions beside each.
MOST_DIMENSIONED = 2
# More passes than this would be too small to read; the printed answer has them all.
MOST_DRAWN = 6


def draw(answer: PassAnswer, shop: Shop, path: Path) -> tuple[str, ...]:
    """Draw an answer about a part and a tank of this shop; see `draw_passes`."""
    part, tank = _as_it_goes_in(answer, shop), shop.tanks[answer.tank]
    draw_passes(answer, part, tank, shop.show, path, shop.name)
    return ()


def svg(answer: PassAnswer, shop: Shop) -> str:
    """Return the sheet as SVG."""
    part, tank = _as_it_goes_in(answer, shop), shop.tanks[answer.tank]
    marks = passes_marks(answer, part, tank, shop.show, shop.name)
    return svg_of(marks, SHEET_PT, f"{answer.part} in {answer.tank}")


def _as_it_goes_in(answer: PassAnswer, shop: Shop) -> Part:
    """Return the part, sprung where the answer has it so."""
    part = shop.parts[answer.part]
    return part if answer.sprung is None else bent_part(part, answer.sprung.chord_mm)


def draw_passes(
    answer: PassAnswer, part: Part, tank: Tank, show: Show, path: Path | str, shop_name: str = ""
) -> None:
    """Draw an answer to `path` (.png, .svg or .pdf).

    part: as it goes in: sprung, where the answer has it so. Raises `Refused` where the folder does not exist
    or the kind of file is unknown.
    """
    target = checked_path(Path(path))
    paper = blank(SHEET_PT)
    put(passes_marks(answer, part, tank, show, shop_name), paper)
    write(paper, target)


def passes_marks(answer: PassAnswer, part: Part, tank: Tank, show: Show, shop_name: str = "") -> Marks:
    """Return everything on the sheet of an answer."""
    several = SEVERAL if len(answer.passes) > 1 else ()
    notes = (*several, *((SPRUNG,) if answer.sprung is not None else ()))
    foot, high = layout.footer(sentences(notes, show))
    body = body_of_sheet(high)
    marks: list[Mark] = [
        *layout.frame_of_sheet(),
        *layout.header(answer.verdict, COLOURS[answer.verdict], f"{answer.part} in {answer.tank}", shop_name),
        *foot,
    ]
    facts = _facts(answer, part, show)
    if not answer.passes:
        reason = Fact("", answer.reason, COLOURS[answer.verdict], leading=True)
        return (*marks, *layout.panel((reason, *facts), body))
    faces = banded(answer, part)
    below = body.low + _FACTS_PT
    share = _FACES_SHARE if len(answer.passes) <= MOST_DIMENSIONED else _FEWER_FACES_SHARE
    tall = faces_height(faces, body.width, share * body.height)
    shown = Box(body.left, below + _KEY_PT, body.right, below + _KEY_PT + tall)
    marks += layout.strip(facts, Box(body.left, body.low, body.right, below - _AIR_PT))
    marks += faces_marks(faces, shown, show)
    marks += key_marks((body.left, below + _KEY_PT / 2.0), is_dry=not all(f.dry.is_empty() for f in faces))
    scenes = _scenes(answer, part, tank, show)
    return (*marks, *_views(scenes, Box(body.left, shown.high + _AIR_PT, body.right, body.high)))


def _scenes(answer: PassAnswer, part: Part, tank: Tank, show: Show) -> tuple[PassScene, ...]:
    drawn = answer.passes[:MOST_DRAWN]
    scenes = tuple(pass_scene(each, k + 1, part, tank, show) for k, each in enumerate(drawn))
    if len(drawn) <= MOST_DIMENSIONED:
        return scenes
    return tuple(in_few_words(scene, each, show) for scene, each in zip(scenes, drawn, strict=True))


def _views(scenes: tuple[PassScene, ...], box: Box) -> Marks:
    """Return the passes at one scale, in as many columns as make them largest."""
    plans = [_cells(len(scenes), columns, box) for columns in columns_for(len(scenes))]
    scales = [min(scale_in(*pair) for pair in zip(scenes, cells, strict=True)) for cells in plans]
    scale = max(scales)
    cells = plans[scales.index(scale)]
    return tuple(
        mark for scene, cell in zip(scenes, cells, strict=True) for mark in pass_marks(scene, cell, scale)
    )


def _cells(count: int, columns: int, box: Box) -> list[Box]:
    rows = math.ceil(count / columns)
    wide, tall = box.width / columns, box.height / rows
    return [
        Box(
            box.left + k % columns * wide,
            box.high - (k // columns + 1) * tall,
            box.left + (k % columns + 1) * wide - _AIR_PT,
            box.high - k // columns * tall,
        )
        for k in range(count)
    ]


def _facts(answer: PassAnswer, part: Part, show: Show) -> tuple[Fact, ...]:
    how = "how often" if answer.verdict in {"fits", "measure again"} else "the best that was found"
    count = count_words(len(answer.passes)) if answer.passes else "none"
    facts = [Fact(how, count, COLOURS[answer.verdict], leading=True)]
    if answer.turn is not None:
        facts.append(Fact("between", TURN_WORDS[answer.turn]))
    if answer.overlap_mm is not None and answer.overlap_mm > max(part.size_mm):
        facts.append(Fact("treated twice", f"a band {at_least(answer.band_mm or 0.0, show)} wide or more"))
    elif answer.overlap_mm is not None and not is_under_a_mark(answer.overlap_mm, show):
        facts.append(Fact("treated twice", f"{at_least(answer.overlap_mm, show)} at least"))
    elif answer.overlap_mm is not None and is_under_a_mark(-answer.overlap_mm, show):
        facts.append(Fact("treated twice", "none: they only just meet", ink.WARNING))
    if answer.covered < 1.0 - 1e-9:
        facts.append(Fact("wet in all", f"{answer.covered:.1%} of the surface", ink.WARNING))
    for window in answer.windows[:1]:
        low, high = show_angle(window.low_rad), show_angle(window.high_rad)
        facts.append(Fact("two passes do, tilted", f"{low} to {high}"))
    if answer.sprung is not None:
        chord, rise = show_length(answer.sprung.chord_mm, show), show_length(answer.sprung.rise_mm, show)
        facts.append(Fact("sprung to an arc", f"{chord} across, {rise} high"))
    return tuple(facts)
