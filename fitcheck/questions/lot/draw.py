"""The picture of loads: each tank from above and from the side, with what goes in together in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from fitcheck.draw import ink, layout
from fitcheck.draw.flat import WALL_PT, Frame, surface_marks, tank_marks
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, Stroke, box_of, fitted, shrunk
from fitcheck.draw.layout import SHEET_PT
from fitcheck.draw.names import Named, names_marks
from fitcheck.draw.outline import PLAN, SIDE, rings_of, silhouette, visible_edges
from fitcheck.draw.paint import blank, checked_path, put, write
from fitcheck.draw.svg import svg as svg_of
from fitcheck.questions.lot.answer import Lot, LotAnswer
from fitcheck.questions.lot.say import first_line
from fitcheck.questions.store.draw import COLOURS
from fitcheck.things.part import Part
from fitcheck.things.shop import Shop, Show
from fitcheck.things.solid import Floats, Solid
from fitcheck.things.tank import Tank
from fitcheck.words.rounding import is_under_a_mark, some
from fitcheck.words.units import show_length, show_mass, show_volume

ONE_AT_A_TIME = (
    "Each part hangs on slings of its own, none over another: how they are let down is for whoever rigs."
)
STAND = "Try the load in plain water first. The safety sheet and local codes outrank this sheet."
_EDGE_PT, _HEAD_PT, _FOOT_PT = 30.0, 84.0, 74.0
# Over a load for its lines, over and under its plan for names, under its side view.
_LINE_PT, _NAMES_PT, _UNDER_PT = 34.0, 42.0, 12.0
_MOST_PT, _APART_PT = 150.0, 60.0
_PRINT_PT, _SMALL_PT = 12.5, 11.0
# Like parts that lie nearer to each other than this share a name.
_NEAR_PT = 14.0
_LEFT_OUT = 6


@dataclass(frozen=True, slots=True)
class _Views:
    """Where the two views of a load go, and the height that they take with their names."""

    plan: Frame
    side: Frame
    tall: float


def draw(answer: LotAnswer, shop: Shop, path: Path) -> tuple[str, ...]:
    """Draw the loads to `path` (.png, .svg or .pdf); raises `Refused` as every picture does."""
    target = checked_path(path)
    marks, size = lot_marks(answer, shop.parts, shop.tanks, shop.show, shop.name)
    paper = blank(size)
    put(marks, paper)
    write(paper, target)
    return ()


def svg(answer: LotAnswer, shop: Shop) -> str:
    """Return the loads as SVG."""
    marks, size = lot_marks(answer, shop.parts, shop.tanks, shop.show, shop.name)
    return svg_of(marks, size, first_line(answer))


def lot_marks(
    answer: LotAnswer, parts: Mapping[str, Part], tanks: Mapping[str, Tank], show: Show, shop_name: str = ""
) -> tuple[Marks, tuple[float, float]]:
    """Return the loads, one under the other, and the size of their sheet, which grows with them."""
    top, rows = 0.0, []
    for k, lot in enumerate(answer.lots):
        marks, tall = _load(k + 1, lot, parts, tanks[lot.tank], show)
        rows.append((marks, top - tall))
        top -= tall
    left_out = _left_out(answer)
    words_pt = ink.text_size(left_out, _SMALL_PT)[1] + 8.0 if left_out else 0.0
    wide, high = SHEET_PT[0], max(SHEET_PT[1], _HEAD_PT - top + words_pt + _FOOT_PT)
    start = high - _HEAD_PT
    foot, _ = layout.footer((ONE_AT_A_TIME,), STAND)
    header = layout.header(answer.verdict, COLOURS[answer.verdict], first_line(answer), shop_name)
    ring = Box(12.0, 12.0, wide - 12.0, high - 12.0).ring
    end = start + top - words_pt / 2.0
    told = (
        (Label(left_out, (_EDGE_PT, end), _SMALL_PT, colour=ink.WARNING, align="left"),) if left_out else ()
    )
    return (
        Area((ring,), line=ink.INK, width_pt=1.6),
        *shrunk(header, 1.0, (0.0, high - SHEET_PT[1])),
        *(mark for marks, at in rows for mark in shrunk(marks, 1.0, (0.0, start + at))),
        *told,
        *foot,
    ), (wide, high)


def _load(number: int, lot: Lot, parts: Mapping[str, Part], tank: Tank, show: Show) -> tuple[Marks, float]:
    """Return one load over the height 0, and the height that it takes."""
    seen = _views(tank)
    top = seen.tall + _LINE_PT
    inside = " x ".join(show_length(size, show) for size in tank.size_mm)
    views = f"From above and from the side; {inside} inside"
    down = show_length(tank.depth_mm - lot.level_mm, show)
    work = "" if lot.work == lot.tank else f" for {lot.work}"
    liquid = show_volume(lot.liquid_l, show)
    rise = (some if is_under_a_mark(lot.rise_mm, show) else show_length)(lot.rise_mm, show)
    words = (
        f"Load {number}, {lot.tank}{work}: fill line {down} from the rim, {liquid} of {tank.liquid.name}; "
        f"they raise it {rise}; {show_mass(lot.wet_kg, show)} out"
    )
    room = SHEET_PT[0] - 2.0 * _EDGE_PT
    line = np.array([[_EDGE_PT, top], [_EDGE_PT + room, top]])
    solids = [parts[each.part].solid.moved(each.pose.rotation, each.pose.shift_mm) for each in lot.parts]
    marks: list[Mark] = [
        Stroke((line,), ink.FAINT, 0.6),
        fitted(Label(words, (_EDGE_PT, top - 11.0), _PRINT_PT, True, align="left"), room),
        Label(views, (_EDGE_PT, top - 26.0), _SMALL_PT, colour=ink.FAINT, align="left"),
    ]
    for frame in (seen.plan, seen.side):
        marks += _view(tank, lot, solids, frame)
    marks += _names(lot, solids, tank, seen.plan, [mark for mark in marks if isinstance(mark, Label)])
    return tuple(marks), top


def _views(tank: Tank) -> _Views:
    """Return the side view under the plan, or beside it where that is larger; both to one scale."""
    long, across, deep = tank.size_mm
    room = SHEET_PT[0] - 2.0 * _EDGE_PT - 2.0 * WALL_PT
    under = min(room / long, 1.6 * _MOST_PT / (across + deep))
    beside = min((room - _APART_PT) / (2.0 * long), 2.0 * _MOST_PT / max(across, deep))
    left = _EDGE_PT + WALL_PT
    side_low = _UNDER_PT + WALL_PT
    if beside > under:
        scale, tall = beside, max(across, deep) * beside
        low = side_low + max(0.0, _NAMES_PT - scale * (max(across, deep) - across))
        side = Frame(SIDE, left + scale * long + _APART_PT, low + tall - scale * deep, scale)
        plan = Frame(PLAN, left, low + tall - scale * across, scale)
        return _Views(plan, side, low + tall + WALL_PT + _NAMES_PT)
    side = Frame(SIDE, left, side_low, under)
    plan = Frame(PLAN, left, side_low + under * deep + _UNDER_PT + _NAMES_PT + 2.0 * WALL_PT, under)
    return _Views(plan, side, plan.floor + under * across + WALL_PT + _NAMES_PT)


def _view(tank: Tank, lot: Lot, solids: Sequence[Solid], frame: Frame) -> Marks:
    """Return a view of the tank with the parts in it, the nearest to the reader last."""
    sign = -1.0 if frame.view is SIDE else 1.0
    marks: list[Mark] = [*tank_marks(tank, lot.level_mm, frame)]
    for solid in sorted(solids, key=lambda each: sign * float(each.vertices_mm[:, frame.view.toward].mean())):
        rings = tuple(frame.flat(ring) for ring in rings_of(silhouette(solid, frame.view)))
        edges = visible_edges(solid, frame.view, 0.5 / frame.scale)
        marks += [
            Area(rings, fill=ink.METAL),
            Stroke(tuple(frame.flat(edge) for edge in edges), ink.INK, 0.4),
            Area(rings, line=ink.INK, width_pt=0.8),
        ]
    return (*marks, *surface_marks(tank, lot.level_mm, frame))


def _names(lot: Lot, solids: Sequence[Solid], tank: Tank, frame: Frame, words: Sequence[Label]) -> Marks:
    """Return the names of the parts in the plan, like ones that lie together named once."""
    spots = [frame.place(solid.vertices_mm) for solid in solids]
    groups: list[tuple[str, list[Floats]]] = []
    for each, spot in zip(lot.parts, spots, strict=True):
        near = [name == each.part and any(_near(spot, one) for one in rings) for name, rings in groups]
        joined = [one for (_, rings), is_near in zip(groups, near, strict=True) if is_near for one in rings]
        groups = [group for group, is_near in zip(groups, near, strict=True) if not is_near]
        groups.append((each.part, [*joined, spot]))
    things = [
        Named(
            np.vstack(rings),
            name if len(rings) == 1 else f"{name}\u00a0x\u00a0{len(rings)}",
            hatched=True,
            pieces=tuple(rings),
        )
        for name, rings in groups
    ]
    (left, low), (right, high) = frame.place(np.array([[0.0, 0.0, 0.0], tank.size_mm]))
    walls = [
        Box(left - WALL_PT, low - WALL_PT, right + WALL_PT, low),
        Box(left - WALL_PT, high, right + WALL_PT, high + WALL_PT),
        Box(left - WALL_PT, low, left, high),
        Box(right, low, right + WALL_PT, high),
    ]
    under, over = low - WALL_PT - _NAMES_PT - 2.0, high + WALL_PT + _NAMES_PT
    end = min(right + WALL_PT + 0.8 * _APART_PT, SHEET_PT[0] - _EDGE_PT)
    room = Box(left - WALL_PT, under, end, over)
    return names_marks(things, [box_of(label) for label in words], room, walls)


def _near(one: Floats, two: Floats) -> bool:
    gap = np.maximum(one.min(axis=0) - two.max(axis=0), two.min(axis=0) - one.max(axis=0))
    return bool((gap < _NEAR_PT).all())


def _left_out(answer: LotAnswer) -> str:
    """Return what is left out, in a few lines; the printed answer has all of it."""
    lines = [
        f"{left.part}{'' if left.count == 1 else f' x {left.count}'} left out, {left.why}"
        for left in answer.left_out
    ]
    more = [f"and {len(lines) - _LEFT_OUT} more"] if len(lines) > _LEFT_OUT else []
    return "\n".join(
        [*(ink.wrapped(line, SHEET_PT[0] - 2.2 * _EDGE_PT, _SMALL_PT) for line in lines[:_LEFT_OUT]), *more]
    )
