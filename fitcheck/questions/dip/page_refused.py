"""The page of a part that does not go under as it is asked about: how it was tried, what is in the way."""

from __future__ import annotations

from fitcheck.draw.captions import DASHED, STANDING_CAUTION
from fitcheck.draw.sheet_sections import Drawing, Facts, Lead, Notes, Page, Value, Values
from fitcheck.questions.dip.answer import DoesNotFit, NotFound
from fitcheck.questions.dip.draw_lift import LiftSketch
from fitcheck.questions.dip.draw_scene import scene_of
from fitcheck.questions.dip.page import LEAST_PICTURE_PT, MOST_PICTURE_PT, own_cautions, under_words
from fitcheck.questions.dip.say import cure_line
from fitcheck.say.attitude_words import attitude
from fitcheck.things.part import Part
from fitcheck.things.shop import Show
from fitcheck.things.tank import Tank
from fitcheck.words.rounding import at_least


def refused_page(answer: DoesNotFit | NotFound, part: Part, tank: Tank, show: Show, shop_name: str) -> Page:
    """Return the page of an answer without a pose: the nearest is drawn, with what of it is in the way."""
    says = f"{part.name} in {tank.name} as near as it comes, to scale, what is in the way hatched"
    sketch = LiftSketch(scene_of(answer, part, tank), show)
    return Page(
        kind="other",
        tag=part.name,
        title=f"in {tank.name}, {tank.liquid.name}",
        under=under_words(part, show, shop_name),
        sections=(
            Lead("Tried like this", attitude(answer.nearest.angles, part, show)),
            Drawing(sketch, says, LEAST_PICTURE_PT, MOST_PICTURE_PT),
            _short(answer, show),
            Facts("", _facts(answer, show)),
            Notes("", (DASHED,)),
            *own_cautions(answer.cautions, tank, show),
        ),
        verdict=answer.verdict,
        tone="no" if isinstance(answer, DoesNotFit) else "care",
        part=part.name,
        tank=tank.name,
        foot=STANDING_CAUTION,
    )


def _short(answer: DoesNotFit | NotFound, show: Show) -> Values:
    if isinstance(answer, NotFound):
        return Values((Value("No way to hang it was found", "try on", answer.next_try, "care"),))
    by = at_least(max(0.0, -answer.spare.at_most_mm), show)
    return Values((Value("Short, at best, by", by, "at every clearance, proven", "no"),))


def _facts(answer: DoesNotFit | NotFound, show: Show) -> tuple[Value, ...]:
    why = Value("Why", answer.reason)
    if isinstance(answer, NotFound):
        return (why, Value("Left open", f"{answer.effort.open_share:.2%} of all ways to hang it"))
    return (why, *(Value("Would do", cure_line(cure, show)) for cure in answer.cures))
