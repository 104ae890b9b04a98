"""The picture of what a part holds at one attitude: air going in, liquid coming out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from fitcheck.draw import layout
from fitcheck.draw.ink import Box, Marks, Photo
from fitcheck.draw.paint import DOTS_PER_POINT, blank, checked_path, put, write
from fitcheck.draw.posed_part import Hung, hung, left_out, only
from fitcheck.draw.space_photo import HOW_TO_DRAW_IN_SPACE, Photographer, in_space_side_by_side
from fitcheck.draw.svg import svg as svg_of
from fitcheck.questions.pocket import draw_words as pocket_words
from fitcheck.questions.pocket.answer import PocketAnswer
from fitcheck.questions.pocket.draw_map import map_sheet
from fitcheck.questions.pocket.draw_plan import BETWEEN_HALVES, NAME_ROW, Half, half_planned
from fitcheck.questions.pocket.draw_views import from_above, half_views, headings
from fitcheck.things.part import Part
from fitcheck.things.pockets import Held, Pocket, PocketKind
from fitcheck.things.pose import Pose, rotation_from
from fitcheck.things.shop import Shop, Show
from fitcheck.words.units import show_volume

# The photograph is taken larger than it is printed, then shrunk: that smooths its edges.
_LARGER = 1.6
# Of the room under the views of a whole sheet, for words; of a sheet in halves, a strip under both.
_WORDS_SHARE = 0.42
_STRIP_PT = 46.0
_AIR_PT = 14.0


def draw(answer: PocketAnswer, shop: Shop, path: Path) -> tuple[str, ...]:
    """Draw an answer about a part of this shop; see `draw_pocket`."""
    checked_path(path)
    with Photographer() as photographer:
        return draw_pocket(answer, shop.parts[answer.part], shop.show, shop.name, path, photographer)


def svg(answer: PocketAnswer, shop: Shop) -> str:
    """Return the sheet as SVG, from above in place of the view in space."""
    part, show = shop.parts[answer.part], shop.show
    if answer.map is not None:
        return svg_of(map_sheet(answer, answer.map, part, show, shop.name), layout.SHEET_PT, answer.part)
    sheet = pocket_sheet(answer, part, show, shop.name)
    third = tuple(mark for half in sheet.halves for mark in _third_view(half, None))
    return svg_of((*sheet.marks, *third), layout.SHEET_PT, answer.part)


def draw_pocket(
    answer: PocketAnswer, part: Part, show: Show, shop_name: str, path: Path | str, photographer: Photographer
) -> tuple[str, ...]:
    """Draw what a part holds to `path` (.png, .svg or .pdf) and return notes on what could not be drawn.

    At one attitude: the part as it hangs, with its pockets. Where none was asked about: the maps over tilt
    and roll, and the part at the best way up. Where there is no OpenGL a view from above takes the place of
    the view in space, and the note says what to install.
    Raises `Refused` where the folder does not exist or the kind of file is unknown.
    """
    target = checked_path(Path(path))
    if answer.map is not None:
        paper = blank(layout.SHEET_PT)
        put(map_sheet(answer, answer.map, part, show, shop_name), paper)
        write(paper, target)
        return ()
    return _printed(pocket_sheet(answer, part, show, shop_name), target, photographer)


@dataclass(frozen=True, slots=True, eq=False)
class DrawnHalf:
    """One half of a sheet: what is held of one kind (None: neither), and where the part is seen in space."""

    kind: PocketKind | None
    here: Hung
    plan: Half
    space_box: Box


@dataclass(frozen=True, slots=True, eq=False)
class PocketSheet:
    """A sheet laid out: everything on it but the views in space, and notes on what is not drawn."""

    halves: tuple[DrawnHalf, ...]
    marks: Marks
    notes: tuple[str, ...]


def pocket_sheet(answer: PocketAnswer, part: Part, show: Show, shop_name: str) -> PocketSheet:
    """Return the sheet of what is held at one attitude, ready to be put on paper."""
    foot, high = layout.footer(pocket_words.notes(answer, show))
    halves, words_box = _placed(_hung(answer, part), high)
    facts = pocket_words.facts(answer, show)
    whole = len(halves) == 1
    marks = [
        *layout.frame_of_sheet(),
        *layout.header(*pocket_words.finding(answer.held, part), pocket_words.title(answer), shop_name),
        *(layout.panel(facts, words_box) if whole else layout.strip(facts, words_box)),
        *foot,
    ]
    for each in halves:
        marks += headings(answer.held, each.kind, each.plan.box, show, whole=whole)
        marks += half_views(each.here, each.plan, answer.holes, show)
    missing = [p for h in halves if h.kind for p in left_out(h.here, only(answer.held, h.kind))]
    return PocketSheet(halves, tuple(marks), _missing(missing, show))


def _hung(answer: PocketAnswer, part: Part) -> list[tuple[PocketKind | None, Hung]]:
    """Return the part as it hangs, once for each kind that it holds; alone where it holds nothing."""
    # Seen along its own length and width: swing makes no difference to what it holds.
    turned = rotation_from(answer.angles._replace(swing_rad=0.0))
    pose = Pose("as hung", "part", turned, np.zeros(3))
    kinds = pocket_words.kinds_held(answer.held)
    if not kinds:
        return [(None, hung(part, pose, Held(())))]
    return [(kind, hung(part, pose, only(answer.held, kind))) for kind in kinds]


def _placed(parts: list[tuple[PocketKind | None, Hung]], foot: float) -> tuple[tuple[DrawnHalf, ...], Box]:
    """Return the halves in their places, and the box for words."""
    body = layout.body_of_sheet(foot)
    points = parts[0][1].part.vertices_mm
    span = points.min(axis=0), points.max(axis=0)
    if len(parts) == 1:
        plan = half_planned(body, span)
        split = plan.rest.right - _WORDS_SHARE * body.width
        seen = replace(plan.rest, low=plan.rest.low + NAME_ROW, right=split - _AIR_PT)
        return (DrawnHalf(*parts[0], plan, seen),), replace(plan.rest, left=split)
    words = replace(body, high=body.low + _STRIP_PT)
    width = (body.width - BETWEEN_HALVES) / 2.0
    halves = []
    for k, each in enumerate(parts):
        left = body.left + k * (width + BETWEEN_HALVES)
        plan = half_planned(Box(left, words.high, left + width, body.high), span)
        halves.append(DrawnHalf(*each, plan, replace(plan.rest, low=plan.rest.low + NAME_ROW)))
    return tuple(halves), words


def _missing(pockets: list[Pocket], show: Show) -> tuple[str, ...]:
    if not pockets:
        return ()
    volume = show_volume(sum(pocket.volume_l for pocket in pockets), show)
    number = "1 pocket" if len(pockets) == 1 else f"{len(pockets)} pockets"
    return (f"the picture leaves out {number}, {volume} in all; the figures have them",)


def _printed(sheet: PocketSheet, target: Path, photographer: Photographer) -> tuple[str, ...]:
    """Put a sheet on paper, with one photograph cut up for all its halves."""
    box = sheet.halves[0].space_box
    dots = round(box.width * _LARGER * DOTS_PER_POINT), round(box.height * _LARGER * DOTS_PER_POINT)
    scene = in_space_side_by_side([half.here for half in sheet.halves], dots[0] / dots[1])
    photograph = photographer.take(scene, (len(sheet.halves) * dots[0], dots[1]))
    paper = blank(layout.SHEET_PT)
    put(sheet.marks, paper)
    pixels = photograph()
    for k, half in enumerate(sheet.halves):
        mine = None if pixels is None else pixels[:, k * dots[0] : (k + 1) * dots[0]]
        put(_third_view(half, mine), paper)
    write(paper, target)
    return sheet.notes if pixels is not None else (*sheet.notes, HOW_TO_DRAW_IN_SPACE)


def _third_view(half: DrawnHalf, pixels: NDArray[np.uint8] | None) -> Marks:
    box = half.space_box
    under = replace(box, low=box.low - NAME_ROW)
    if pixels is None:
        return (*from_above(half.here, box), layout.third_name("From above", under))
    return (Photo(pixels, (box.left, box.low), (box.right, box.high)), layout.third_name("In space", under))
