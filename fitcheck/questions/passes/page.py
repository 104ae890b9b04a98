"""The pages of a part that goes in more than once: a page for each pass, the turn between on the second."""

from __future__ import annotations

from fitcheck.draw.captions import STANDING_CAUTION
from fitcheck.draw.sheet_sections import Drawing, Facts, Lead, Notes, Page, Section, Value
from fitcheck.questions.dip.page import liquid_values, own_cautions, ticks, under_words
from fitcheck.questions.passes.answer import Pass, PassAnswer
from fitcheck.questions.passes.draw import SEVERAL
from fitcheck.questions.passes.draw_bands import banded, stacked
from fitcheck.questions.passes.draw_sketch import BandsSketch, PassSketch
from fitcheck.questions.passes.draw_view import pass_scene
from fitcheck.questions.passes.say import TURN_WORDS, overlap_words, sprung_rows
from fitcheck.say.attitude_words import attitude, heights
from fitcheck.say.cautions import sentences
from fitcheck.things.part import Part
from fitcheck.things.shop import Show
from fitcheck.things.tank import Tank

_LEAST_PICTURE_PT, _MOST_PICTURE_PT = 130.0, 300.0
_LEAST_BANDS_PT, _MOST_BANDS_PT = 80.0, 210.0
# About the width of a page between its margins.
_WIDTH_PT = 540.0


def pass_pages(answer: PassAnswer, part: Part, tank: Tank, show: Show, shop_name: str) -> tuple[Page, ...]:
    """Return a page for each pass."""
    return tuple(_page(answer, k, part, tank, show, shop_name) for k in range(len(answer.passes)))


def _page(answer: PassAnswer, k: int, part: Part, tank: Tank, show: Show, shop_name: str) -> Page:
    each, count = answer.passes[k], len(answer.passes)
    turn = (
        () if k == 0 or answer.turn is None else (Lead("Between the passes", f"{TURN_WORDS[answer.turn]}"),)
    )
    sections: tuple[Section, ...] = (
        *turn,
        *(_springing(answer, show) if k == 0 else ()),
        Lead("Hang it", attitude(each.pose.angles, part, show)),
        _picture(each, k, part, tank, show),
        liquid_values(each.fill, tank, show),
        Facts("", _facts(answer, k, part, show)),
        *((_bands(answer, part, show),) if k == 0 and count > 1 else ()),
        ticks(None, show),
        Notes("More than one pass", sentences(SEVERAL, show), "care"),
        *own_cautions(answer.cautions, tank, show),
    )
    return Page(
        kind="pass",
        tag=part.name,
        title=f"in {tank.name}, {tank.liquid.name}: pass {k + 1} of {count}",
        under=under_words(part, show, shop_name),
        sections=sections,
        verdict=_count(count) if answer.verdict == "fits" else answer.verdict,
        tone="go" if answer.verdict == "fits" else "care",
        part=part.name,
        tank=tank.name,
        foot=STANDING_CAUTION,
    )


def _springing(answer: PassAnswer, show: Show) -> tuple[Section, ...]:
    """Return how the sheet is sprung before it goes in."""
    if answer.sprung is None:
        return ()
    rows = sprung_rows(answer.sprung, show)
    return (Notes("Spring it first", tuple(f"{name} {words}".strip() for name, words in rows), "care"),)


def _count(count: int) -> str:
    return "one pass" if count == 1 else f"{count} passes"


def _picture(each: Pass, k: int, part: Part, tank: Tank, show: Show) -> Drawing:
    says = f"{part.name} let down into {tank.name} from one end, seen from the side, to scale"
    sketch = PassSketch(pass_scene(each, k + 1, part, tank, show))
    most = max(_LEAST_PICTURE_PT, min(_MOST_PICTURE_PT, sketch.useful_pt(_WIDTH_PT)))
    return Drawing(sketch, says, _LEAST_PICTURE_PT, most)


def _bands(answer: PassAnswer, part: Part, show: Show) -> Drawing:
    faces = banded(answer, part)
    sketch = BandsSketch(faces, show)
    says = f"the faces of {part.name} as drawn, with what is treated twice"
    most = max(_LEAST_BANDS_PT, sketch.useful_pt(_WIDTH_PT, _MOST_BANDS_PT))
    # Long faces, one under the other, have no smaller size: words take most of their height.
    return Drawing(sketch, says, most if stacked(faces) else _LEAST_BANDS_PT, most)


def _facts(answer: PassAnswer, k: int, part: Part, show: Show) -> tuple[Value, ...]:
    each = answer.passes[k]
    rows = [
        Value("Let down to", heights(each.pose, part, show)),
        Value("Wets", f"{each.covers:.1%} of the surface in this pass, {answer.covered:.1%} in all"),
    ]
    if answer.overlap_mm is not None:
        words = overlap_words(answer.overlap_mm, answer.band_mm, part, show)
        rows.append(Value("Passes share", words, tone="no" if answer.overlap_mm < 0.0 else "plain"))
    rows.append(Value("Slings", "not sized here: one to each end, from two hoists"))
    return tuple(rows)
