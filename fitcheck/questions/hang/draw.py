"""The picture of a lift: the part in its slings over the tank's rim, side view to scale, over the floor."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from fitcheck.draw import ink, layout
from fitcheck.draw.captions import Fact, attitude_words
from fitcheck.draw.flat import WALL_PT, Frame, part_marks, pocket_marks
from fitcheck.draw.ink import Box, Marks
from fitcheck.draw.layout import SHEET_PT, body_of_sheet, panel_height
from fitcheck.draw.outline import SIDE
from fitcheck.draw.paint import blank, checked_path, put, write
from fitcheck.draw.svg import svg as svg_of
from fitcheck.questions.hang.answer import HangAnswer, Leg
from fitcheck.questions.hang.draw_labels import LegLabel, beyond_pt, labels_of, leg_labels
from fitcheck.questions.hang.draw_marks import room_marks, sling_marks
from fitcheck.questions.hang.draw_scene import Lift, lift_of
from fitcheck.questions.hang.draw_sizes import Tiers, tier_marks, tiers_of
from fitcheck.questions.hang.say import turned_words, verdict_words
from fitcheck.say.attitude_words import SHOWN_RAD
from fitcheck.say.cautions import sentences
from fitcheck.things.caution import Caution
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop, Show
from fitcheck.things.tank import Tank
from fitcheck.words.rounding import at_most, is_under_a_mark
from fitcheck.words.units import show_force, show_length, show_mass

COLOURS = {"fits": ink.GO, "does not fit": ink.WARNING, "measure again": ink.CARE}
# The cautions that stand on the sheet.
NOTED = (Caution("nobody under"), Caution("rigging"))
# The words stand beside the view, so wide, or under it in two columns; whichever leaves it larger.
_BESIDE_PT = 236.0
# Over the view for what stands at the hook, and under it for its name.
_OVER_PT, _NAME_PT = 34.0, 30.0
_AIR_PT = 14.0
# Words under a view take no more of the sheet than this.
_WORDS_SHARE = 0.42
# How far labels reach beyond the view depends on its scale, which they make smaller: found in a few rounds.
_ROUNDS = 8


@dataclass(frozen=True, slots=True)
class _Plan:
    """Where the view and the words go. ends: across the sheet, where the tiers of sizes begin."""

    frame: Frame
    view_box: Box
    words_boxes: tuple[Box, ...]
    ends: tuple[float, float]


def draw(answer: HangAnswer, shop: Shop, path: Path) -> tuple[str, ...]:
    """Draw an answer about a part and a tank of this shop; see `draw_hang`."""
    draw_hang(answer, shop.parts[answer.part], shop.tanks[answer.tank], shop.show, path, shop.name)
    return ()


def svg(answer: HangAnswer, shop: Shop) -> str:
    """Return the sheet as SVG."""
    marks = hang_marks(answer, shop.parts[answer.part], shop.tanks[answer.tank], shop.show, shop.name)
    return svg_of(marks, SHEET_PT, f"{answer.part} over {answer.tank}")


def draw_hang(
    answer: HangAnswer, part: Part, tank: Tank, show: Show, path: Path | str, shop_name: str = ""
) -> None:
    """Draw an answer to `path` (.png, .svg or .pdf): slings, hook, rim, floor, and their sizes.

    Without the rim's height there is no floor, and without the hook's no line for it. Raises `Refused` where
    the folder does not exist or the kind of file is unknown.
    """
    target = checked_path(Path(path))
    paper = blank(SHEET_PT)
    put(hang_marks(answer, part, tank, show, shop_name), paper)
    write(paper, target)


def hang_marks(answer: HangAnswer, part: Part, tank: Tank, show: Show, shop_name: str = "") -> Marks:
    """Return everything on the sheet of an answer."""
    lift = lift_of(answer, part, tank)
    facts = _facts(answer, part, show)
    foot, high = layout.footer(sentences(NOTED, show))
    tiers, labels = tiers_of(answer, lift, show), labels_of(answer, lift, show)
    plan = _planned(lift, tiers, labels, facts, body_of_sheet(high))
    title = f"{answer.part} over {answer.tank}"
    return (
        *layout.frame_of_sheet(),
        *layout.header(answer.verdict, COLOURS[answer.verdict], title, shop_name),
        *room_marks(lift, plan.frame, plan.view_box),
        *part_marks(lift.here, plan.frame),
        *pocket_marks(lift.here, plan.frame),
        *sling_marks(answer, lift, plan.frame),
        *tier_marks(tiers, plan.ends, plan.frame, plan.view_box),
        *leg_labels(labels, lift, plan.frame),
        layout.view_name("Side view", plan.frame, plan.frame.height(float(lift.low_mm[2])) - 9.0),
        *_words(facts, plan.words_boxes),
        *foot,
    )


def _words(facts: tuple[Fact, ...], boxes: tuple[Box, ...]) -> Marks:
    """Return the facts in one column or two."""
    if len(boxes) == 1:
        return layout.panel(facts, boxes[0])
    left, right = _columns(facts)
    return (*layout.panel(left, boxes[0]), *layout.panel(right, boxes[1]))


def _columns(facts: tuple[Fact, ...]) -> tuple[tuple[Fact, ...], tuple[Fact, ...]]:
    """Return the legs in a column of their own, the right one."""
    legs = tuple(fact for fact in facts if fact.name.startswith("leg "))
    return tuple(fact for fact in facts if fact not in legs), legs


def _planned(
    lift: Lift, tiers: Tiers, labels: tuple[LegLabel, ...], facts: tuple[Fact, ...], body: Box
) -> _Plan:
    """Return the arrangement that draws the view larger: words beside it, or under it."""
    column = (body.width - _AIR_PT) / 2.0
    under_pt = max(panel_height(part, column) for part in _columns(facts))
    low = body.low + min(under_pt + _AIR_PT, _WORDS_SHARE * body.height)
    views = (
        Box(body.left, body.low, body.right - _BESIDE_PT, body.high),
        Box(body.left, low, body.right, body.high),
    )
    scales = [_scale(lift, tiers, labels, view) for view in views]
    beside = scales[0] >= scales[1]
    view, scale = (views[0], scales[0]) if beside else (views[1], scales[1])
    wide = scale * float(lift.high_mm[0] - lift.low_mm[0])
    over = beyond_pt(labels, lift, scale)
    taken = tiers.left + tiers.right + 2.0 * WALL_PT + sum(over) + wide
    left = view.left + tiers.left + over[0] + WALL_PT + (view.width - taken) / 2.0
    frame = Frame(
        SIDE,
        left - scale * float(lift.low_mm[0]),
        view.high - _OVER_PT - scale * float(lift.high_mm[2]),
        scale,
    )
    ends = left - WALL_PT - over[0], left + wide + WALL_PT + over[1]
    if beside:
        return _Plan(frame, view, (Box(view.right + _AIR_PT, body.low, body.right, body.high - 6.0),), ends)
    top = frame.height(float(lift.low_mm[2])) - _NAME_PT
    middle = body.left + column
    boxes = Box(body.left, body.low, middle, top), Box(middle + _AIR_PT, body.low, body.right, top)
    return _Plan(frame, view, boxes, ends)


def _scale(lift: Lift, tiers: Tiers, labels: tuple[LegLabel, ...], view: Box) -> float:
    """Return the points to the mm with which everything stays in a box."""
    wide, tall = (float(lift.high_mm[k] - lift.low_mm[k]) for k in (0, 2))
    room = view.width - tiers.left - tiers.right - 2.0 * WALL_PT
    highest = (view.height - _OVER_PT - _NAME_PT) / tall
    scale = min(room / wide, highest)
    for _ in range(_ROUNDS):
        scale = min((room - sum(beyond_pt(labels, lift, scale))) / wide, highest)
    return scale


def _facts(answer: HangAnswer, part: Part, show: Show) -> tuple[Fact, ...]:
    hook = answer.hook
    facts = [Fact("so hung", verdict_words(answer, part, show), COLOURS[answer.verdict], leading=True)]
    facts.append(Fact("hang it", attitude_words(answer.angles)))
    facts += [Fact(f"leg {k + 1}", _leg_words(leg, show)) for k, leg in enumerate(answer.legs)]
    out_n = max(answer.dry_n, answer.breakout.hook_n)
    weighs = f"{show_force(out_n, show)} ({show_mass(answer.wet_mass_kg, show)})"
    facts.append(Fact("on the hook, lifted out", weighs))
    turn = answer.under.turn_rad
    if turn is None or turn >= SHOWN_RAD:
        facts.append(Fact("under the liquid", turned_words(answer, answer.under, show), ink.WARNING))
    if answer.sag_mm is not None and not is_under_a_mark(answer.sag_mm, show):
        facts.append(Fact("sags", f"{at_most(answer.sag_mm, show)} at most"))
    if hook.least_mm is not None and answer.verdict != "fits":
        facts.append(Fact("lowest hook for these picks", at_most(hook.least_mm, show)))
    return tuple(facts)


def _leg_words(leg: Leg, show: Show) -> str:
    air, out = show_force(leg.tension_n, show), show_force(leg.breakout_n, show)
    pulls = air if air == out else f"{air}, lifted out {out}"
    return f"{show_length(leg.length_mm, show)} long, pulls {pulls}"
