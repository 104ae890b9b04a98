"""The picture of what a part holds over all tilts and rolls: two maps, and the part at the best way up."""

from __future__ import annotations

import numpy as np

from fitcheck.draw import ink, layout
from fitcheck.draw.captions import Fact, attitude_words
from fitcheck.draw.ink import Box, Label, Mark, Marks, Stroke
from fitcheck.draw.posed_part import hung
from fitcheck.geometry.liquid.attitude_map import SPOONFUL_L
from fitcheck.geometry.liquid.held_pockets import held_at
from fitcheck.questions.pocket import draw_words as pocket_words
from fitcheck.questions.pocket.answer import PocketAnswer, PocketMap
from fitcheck.questions.pocket.draw_map_bands import levels_l
from fitcheck.questions.pocket.draw_map_plot import (
    Axes,
    Place,
    axes_of,
    bands,
    fits_outline,
    named_places,
    ruled,
    scale,
    spread_out,
)
from fitcheck.questions.pocket.draw_views import small_views
from fitcheck.things.part import Part
from fitcheck.things.pockets import PocketKind
from fitcheck.things.pose import Pose, rotation_from
from fitcheck.things.shop import Show
from fitcheck.words.units import show_angle, show_volume

_HEADING_PT = 20.0
# Round a map: its heading and the name of its upright axis; ticks and names; ticks; the scale.
_OVER, _UNDER, _LEFT, _RIGHT = 48.0, 39.0, 40.0, 88.0
_LEGEND_PT = 12.0
_SAMPLE_PT = 24.0
_LEGEND_ROW = 18.0
# At the right end of the legend, for how fine the maps are.
_STEPS_ROOM = 190.0
_FOOT_ROW = 150.0
_VIEWS_SHARE = 0.5


def map_sheet(answer: PocketAnswer, chart: PocketMap, part: Part, show: Show, shop_name: str) -> Marks:
    """Return the sheet of a map."""
    # Holes are for one way up: none is told here.
    foot, high = layout.footer(pocket_words.notes(answer, show, holes=False))
    body = layout.body_of_sheet(high)
    row = Box(body.left, body.low + _FOOT_ROW + _LEGEND_ROW, body.right, body.high)
    middle = (row.left + row.right) / 2.0
    legend = Box(body.left, row.low - _LEGEND_ROW, body.right, row.low)
    levels = levels_l(float(max(chart.air_l.max(), chart.carry_out_l.max())), show)
    halves: tuple[tuple[PocketKind, Box], ...] = (
        ("air", Box(row.left, row.low, middle, row.high)),
        ("liquid", Box(middle, row.low, row.right, row.high)),
    )
    marks: list[Mark] = [*layout.frame_of_sheet(), *layout.header(*_head(answer), shop_name), *foot]
    for kind, box in halves:
        marks += _one_map(answer, chart, (kind, box), levels, show)
    marks += _legend(answer, chart, levels[0], legend, show)
    under = Box(body.left, body.low, body.right, row.low - _LEGEND_ROW)
    split = under.right - _VIEWS_SHARE * under.width
    marks += layout.panel(_facts(answer, show), Box(under.left, under.low, split - 14.0, under.high - 4.0))
    marks += _hung_so(answer, part, Box(split, under.low, under.right, under.high))
    return tuple(marks)


def _head(answer: PocketAnswer) -> tuple[str, str, str]:
    """Return the word in the box, the colour behind it, and the title."""
    where = f"{answer.part}, every tilt and roll" + (
        f", and where it fits {answer.tank}" if answer.tank else ""
    )
    best = answer.best
    if best is None:
        return "no way up", ink.CARE, where
    least = best.air_l + best.carry_out_l
    return ("best way up", ink.GO if least <= SPOONFUL_L else ink.CARE, where)


def _one_map(
    answer: PocketAnswer,
    chart: PocketMap,
    half: tuple[PocketKind, Box],
    levels: tuple[float, ...],
    show: Show,
) -> Marks:
    """Return one of the maps with all that belongs to it, in its half of the sheet."""
    kind, box = half
    plot = Box(box.left + _LEFT, box.low + _UNDER, box.right - _RIGHT, box.high - _OVER)
    axes = axes_of(chart.tilts_rad, chart.rolls_rad, plot)
    litres = chart.air_l if kind == "air" else chart.carry_out_l
    words = f"{pocket_words.WHEN[kind]}: {'air that stays in' if kind == 'air' else 'liquid carried out'}"
    heading = Label(
        words, (box.left, box.high - 11.0), _HEADING_PT, True, ink.POCKET_COLOURS[kind][1], "left"
    )
    return (
        ink.fitted(heading, box.width),
        *bands(axes, spread_out(litres), levels, kind),
        *(() if chart.fits is None else fits_outline(axes, spread_out(chart.fits.astype(np.float64)))),
        *ruled(axes),
        *named_places(_places(answer, axes), plot),
        *scale(levels, kind, (plot.right + 12.0, plot.low), show),
    )


def _places(answer: PocketAnswer, axes: Axes) -> list[Place]:
    drawn = Place("as drawn", axes.place(answer.angles.tilt_rad, answer.angles.roll_rad), best=False)
    if answer.best is None:
        return [drawn]
    at = axes.place(answer.best.angles.tilt_rad, answer.best.angles.roll_rad)
    if at == drawn.at:
        return [Place("best, as drawn", at, best=True)]
    return [Place("best", at, best=True), drawn]


def _legend(answer: PocketAnswer, chart: PocketMap, first_l: float, row: Box, show: Show) -> Marks:
    """Return what the lines on both maps mean, and how fine the maps are, in one row."""
    x, y = row.left, (row.low + row.high) / 2.0
    told = [(f"from {show_volume(first_l, show)} on", 1.4)]
    if chart.fits is not None:
        told.append((f"inside: fits {answer.tank} at some swing; hatched: none found", 2.8))
    marks: list[Mark] = []
    for words, width in told:
        marks.append(Stroke((np.array([[x, y], [x + _SAMPLE_PT, y]]),), ink.INK, width))
        label = Label(words, (x + _SAMPLE_PT + 6.0, y), _LEGEND_PT, align="left")
        marks.append(ink.fitted(label, row.right - _STEPS_ROOM - x))
        x = ink.box_of(label).right + 22.0
    steps = Label(_steps(chart), (row.right - 6.0, y), _LEGEND_PT, colour=ink.FAINT, align="right")
    return (*marks, steps)


def _steps(chart: PocketMap) -> str:
    """Return how far apart the ways are that were looked at."""
    steps = [float(np.diff(axis).max()) for axis in (chart.tilts_rad, chart.rolls_rad) if len(axis) > 1]
    return f"looked at every {show_angle(max(steps))}" if steps else ""


def _facts(answer: PocketAnswer, show: Show) -> tuple[Fact, ...]:
    held = answer.held
    drawn = Fact("as drawn", _both(held.air_l, held.carry_out_l, show))
    best = answer.best
    if best is None:
        return (Fact("best", f"no way up on the map was found to fit {answer.tank}", ink.CARE), drawn)
    off = pocket_words.amount(best.off_l, show)
    return (
        Fact("best", attitude_words(best.angles), leading=True),
        Fact("held there", _both(best.air_l, best.carry_out_l, show)),
        Fact("held when hung a degree off", off if off == "nothing" else f"{off} at most"),
        drawn,
    )


def _both(air_l: float, carry_out_l: float, show: Show) -> str:
    return f"air {pocket_words.amount(air_l, show)}, carry-out {pocket_words.amount(carry_out_l, show)}"


def _hung_so(answer: PocketAnswer, part: Part, box: Box) -> Marks:
    """Return the part at the best way up, or as drawn where none is, from the side and from its end."""
    angles, words = (answer.angles, "as drawn") if answer.best is None else (answer.best.angles, "best")
    pose = Pose("as hung", "part", rotation_from(angles), np.zeros(3))
    return small_views(hung(part, pose, held_at(part, pose.rotation)), box, words)
