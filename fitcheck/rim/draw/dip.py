"""The picture of one dip: how the part hangs in the tank, to hang beside it and read from two steps away."""

from __future__ import annotations

from pathlib import Path

from fitcheck.rim.draw import captions, layout
from fitcheck.rim.draw.dip_dimensions import Measured, beside, end_dimensions, measured, side_dimensions
from fitcheck.rim.draw.flat import flat_view, roll_mark, tilt_mark
from fitcheck.rim.draw.ink import Marks, Photo
from fitcheck.rim.draw.layout import Plan, planned
from fitcheck.rim.draw.paint import DOTS_PER_POINT, checked_path, painted
from fitcheck.rim.draw.scene import Scene, scene_of
from fitcheck.rim.draw.space_photo import HOW_TO_DRAW_IN_SPACE, Photographer, space_scene
from fitcheck.things.answers import Answer
from fitcheck.things.part import Part
from fitcheck.things.shop import Show
from fitcheck.things.tank import Tank

# The photograph is taken larger than it is printed, then shrunk: that smooths its edges.
_LARGER = 1.6
_TAG_DOWN = 14.0


def draw_dip(
    answer: Answer, part: Part, tank: Tank, show: Show, path: Path | str, shop_name: str = ""
) -> tuple[str, ...]:
    """Draw an answer to `path` (.png, .svg or .pdf) and return notes on what could not be drawn.

    A part that does not go under is drawn at its nearest pose, with what is in the way hatched and no
    fill line. The view in space is left out where there is no OpenGL; the note says what to install.
    Raises `Refused` where the folder does not exist or the kind of file is unknown.
    """
    target = checked_path(Path(path))
    with Photographer() as photographer:
        scene = scene_of(answer, part, tank)
        sizes = measured(scene, show)
        facts = captions.facts(answer, tank, show)
        plan = planned(scene, beside(sizes), facts, with_space=True)
        box = plan.space_box
        dots = (round(box.width * _LARGER * DOTS_PER_POINT), round(box.height * _LARGER * DOTS_PER_POINT))
        in_space = space_scene(scene, dots[0] / dots[1])
        photograph = photographer.take(in_space, dots)
        marks = dip_marks(answer, scene, sizes, plan, shop_name)
        pixels = photograph()
    if pixels is None:
        plan = planned(scene, beside(sizes), facts, with_space=False)
        painted(dip_marks(answer, scene, sizes, plan, shop_name), layout.SHEET_PT, target)
        return (HOW_TO_DRAW_IN_SPACE,)
    photo = Photo(pixels, (box.left, box.low), (box.right, box.high))
    name = layout.space_name(box, cut_short=in_space.cut_short)
    painted((photo, *marks, name), layout.SHEET_PT, target)
    return ()


def dip_marks(answer: Answer, scene: Scene, sizes: Measured, plan: Plan, shop_name: str = "") -> Marks:
    """Return everything on the sheet but the view in space."""
    return (
        *layout.frame_of_sheet(),
        *layout.header(
            answer.verdict, captions.verdict_colour(answer), f"{answer.part} in {answer.tank}", shop_name
        ),
        *_side_view(scene, sizes, plan),
        *_end_view(scene, sizes, plan),
        *layout.panel(captions.facts(answer, scene.tank, sizes.show), plan.words_box),
        *layout.footer(answer.cautions),
    )


def _swung_across(scene: Scene) -> bool:
    """Whether the part's length runs across the tank rather than along it."""
    return abs(float(scene.pose.rotation[0, 0])) < abs(float(scene.pose.rotation[1, 0]))


def _side_view(scene: Scene, sizes: Measured, plan: Plan) -> Marks:
    frame, box = plan.side, plan.side_box
    turn = roll_mark if _swung_across(scene) else tilt_mark
    dimensions, low = side_dimensions(scene, sizes, frame, box)
    return (
        *flat_view(scene, frame),
        *turn(scene, frame, box.high - _TAG_DOWN, box),
        *dimensions,
        layout.view_name("Side view", frame, low),
    )


def _end_view(scene: Scene, sizes: Measured, plan: Plan) -> Marks:
    frame, box = plan.end, plan.end_box
    turn = tilt_mark if _swung_across(scene) else roll_mark
    dimensions, low = end_dimensions(scene, sizes, frame, box)
    return (
        *flat_view(scene, frame),
        *turn(scene, frame, box.high - _TAG_DOWN, box),
        *dimensions,
        layout.view_name(layout.end_view_name(plan.end_times), frame, low),
    )
