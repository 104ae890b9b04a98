"""The picture of one dip: how the part hangs in the tank, to hang beside it and read from two steps away."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from fitcheck.draw import captions, layout
from fitcheck.draw.flat import flat_view, roll_mark, tilt_mark
from fitcheck.draw.ink import Box, Marks, Photo
from fitcheck.draw.layout import Plan, planned
from fitcheck.draw.paint import DOTS_PER_POINT, blank, checked_path, put, write
from fitcheck.draw.scene import Scene, nearest_standing
from fitcheck.draw.space_photo import HOW_TO_DRAW_IN_SPACE, Photographer, space_scene
from fitcheck.draw.svg import svg as svg_of
from fitcheck.questions.dip import draw_captions
from fitcheck.questions.dip.answer import DipAnswer
from fitcheck.questions.dip.draw_dimensions import Measured, beside, end_dimensions, measured, side_dimensions
from fitcheck.questions.dip.draw_scene import scene_of
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop, Show
from fitcheck.things.tank import Tank

# The photograph is taken larger than it is printed, then shrunk: that smooths its edges.
_LARGER = 1.6
_TAG_DOWN = 14.0


def draw(answer: DipAnswer, shop: Shop, path: Path) -> tuple[str, ...]:
    """Draw an answer about a part and a tank of this shop; see `draw_dip`."""
    return draw_dip(answer, shop.parts[answer.part], shop.tanks[answer.tank], shop.show, path, shop.name)


def svg(answer: DipAnswer, shop: Shop) -> str:
    """Return the sheet as SVG, from above in place of the view in space."""
    drawing = drawn(answer, shop.parts[answer.part], shop.tanks[answer.tank], shop.show, shop.name)
    marks = (*drawing.marks(), *from_above(drawing.scene, drawing.plan.space_box))
    return svg_of(marks, layout.SHEET_PT, f"{answer.part} in {answer.tank}")


def draw_dip(
    answer: DipAnswer, part: Part, tank: Tank, show: Show, path: Path | str, shop_name: str = ""
) -> tuple[str, ...]:
    """Draw an answer to `path` (.png, .svg or .pdf) and return notes on what could not be drawn.

    A part that does not go under is drawn at its nearest pose, with what is in the way hatched and no
    fill line. Where there is no OpenGL a view from above takes the place of the view in space, and the
    note says what to install.
    Raises `Refused` where the folder does not exist or the kind of file is unknown.
    """
    checked_path(Path(path))
    with Photographer() as photographer:
        return put_on_paper(drawn(answer, part, tank, show, shop_name), path, photographer)


def put_on_paper(drawing: Drawing, path: Path | str, photographer: Photographer) -> tuple[str, ...]:
    """Put a sheet that is laid out to `path`, as `draw_dip` does, with a photographer called in before."""
    target = checked_path(Path(path))
    box = drawing.plan.space_box
    dots = (round(box.width * _LARGER * DOTS_PER_POINT), round(box.height * _LARGER * DOTS_PER_POINT))
    in_space = space_scene(drawing.scene, dots[0] / dots[1])
    photograph = photographer.take(in_space, dots)
    paper = blank(layout.SHEET_PT)
    put(drawing.marks(), paper)
    pixels = photograph()
    if pixels is None:
        put(from_above(drawing.scene, box), paper)
    else:
        words = "In space,\ntank cut short" if in_space.cut_short else "In space"
        photo = Photo(pixels, (box.left, box.low), (box.right, box.high))
        put((photo, layout.third_name(words, box)), paper)
    write(paper, target)
    return () if pixels is not None else (HOW_TO_DRAW_IN_SPACE,)


@dataclass(frozen=True, slots=True, eq=False)
class Drawing:
    """A sheet laid out: what it shows, in which words, where."""

    answer: DipAnswer
    scene: Scene
    sizes: Measured
    facts: tuple[captions.Fact, ...]
    plan: Plan
    head: Marks
    foot: Marks

    def marks(self) -> Marks:
        """Return everything on the sheet but the third view."""
        return (
            *layout.frame_of_sheet(),
            *self.head,
            *side_view(self.scene, self.sizes, self.plan),
            *end_view(self.scene, self.sizes, self.plan),
            *layout.panel(self.facts, self.plan.words_box),
            *self.foot,
        )


def drawn(answer: DipAnswer, part: Part, tank: Tank, show: Show, shop_name: str = "") -> Drawing:
    """Return the drawing of an answer, ready to be put on paper."""
    scene = scene_of(answer, part, tank)
    facts = draw_captions.facts(answer, tank, show)
    near = nearest_standing(scene)
    if near is not None:
        facts = (*facts, draw_captions.standing_fact(*near, show))
    notes = draw_captions.own_cautions(answer, show)
    foot, high = layout.footer(notes if scene.fill else (captions.DASHED, *notes))
    sizes = measured(scene, show)
    colour, title = draw_captions.verdict_colour(answer), f"{answer.part} in {answer.tank}"
    head = layout.header(answer.verdict, colour, title, shop_name)
    return Drawing(answer, scene, sizes, facts, planned(scene, beside(sizes), facts, high), head, foot)


def from_above(scene: Scene, box: Box) -> Marks:
    """Return the view from above that takes the place of the view in space."""
    return (*flat_view(scene, layout.plan_frame(scene, box)), layout.third_name("From above", box))


def swung_across(scene: Scene) -> bool:
    """Whether the part's length runs across the tank rather than along it."""
    return abs(float(scene.pose.rotation[0, 0])) < abs(float(scene.pose.rotation[1, 0]))


def side_view(scene: Scene, sizes: Measured, plan: Plan) -> Marks:
    """Return the view from the side with its dimensions."""
    frame, box = plan.side, plan.side_box
    turn = roll_mark if swung_across(scene) else tilt_mark
    dimensions, low = side_dimensions(scene, sizes, frame, box)
    return (
        *flat_view(scene, frame),
        *turn(scene, frame, box.high - _TAG_DOWN, box),
        *dimensions,
        layout.view_name("Side view", frame, low),
    )


def end_view(scene: Scene, sizes: Measured, plan: Plan) -> Marks:
    """Return the view from the end with its dimensions."""
    frame, box = plan.end, plan.end_box
    turn = tilt_mark if swung_across(scene) else roll_mark
    dimensions, low = end_dimensions(scene, sizes, frame, box)
    return (
        *flat_view(scene, frame),
        *turn(scene, frame, box.high - _TAG_DOWN, box),
        *dimensions,
        layout.view_name(layout.end_view_name(plan.end_times), frame, low),
    )
