"""The picture of a rack: its rails seen from the side, or its bays from above, with the parts in them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from fitcheck.draw import ink, layout
from fitcheck.draw.captions import Fact
from fitcheck.draw.dimension import dimension
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, Stroke, box_of
from fitcheck.draw.layout import SHEET_PT, body_of_sheet
from fitcheck.draw.names import Named, names_marks
from fitcheck.draw.outline import PLAN, SIDE, View, rings_of, silhouette
from fitcheck.draw.paint import blank, checked_path, put, write
from fitcheck.draw.svg import svg as svg_of
from fitcheck.questions.store.answer import StoreAnswer, Stored
from fitcheck.questions.store.say import runs
from fitcheck.say.cautions import sentence
from fitcheck.things.caution import Caution
from fitcheck.things.part import Part
from fitcheck.things.rack import RailRack
from fitcheck.things.shop import Shop, Show
from fitcheck.things.solid import Floats
from fitcheck.words.units import show_length

COLOURS = {
    "fits": ink.GO,
    "does not fit": ink.WARNING,
    "measure again": ink.CARE,
    "not found": ink.UNKNOWN,
}
BEFORE = "Try one part on the rack before all are wet. Whoever built the rack says what it carries."
_WORDS_PT, _AIR_PT = 190.0, 16.0
# Over each rail or bay for its name, and under it for its size.
_OVER_PT, _UNDER_PT = 22.0, 20.0
_SMALL_PT = 9.5
# Right of a rail or bay, for its height or depth.
_SIZE_PT = 62.0
# Its own part of the sheet ends just short of that.
_BESIDE_PT = 7.0
# Half of a line's breadth.
_LINE_PT = 0.8
_MOST_LEFT = 4


@dataclass(frozen=True, slots=True)
class _Cell:
    """One rail or bay on the sheet: its name, its size in mm, and its box with points to the mm.

    room: what of the sheet it has to itself, for the names of what is there.
    """

    name: str
    size_mm: tuple[float, float]
    left: float
    low: float
    scale: float
    room: Box

    def place(self, points_mm: Floats) -> Floats:
        """Return points (n, 2) of the rail's or bay's view as points of the sheet."""
        placed: Floats = np.asarray(points_mm) * self.scale + np.array([self.left, self.low])
        return placed


def draw(answer: StoreAnswer, shop: Shop, path: Path) -> tuple[str, ...]:
    """Draw an answer to `path` (.png, .svg or .pdf); all of it can be drawn, so there are no notes.

    Raises `Refused` where the folder does not exist or the kind of file is unknown.
    """
    target = checked_path(path)
    paper = blank(SHEET_PT)
    put(store_marks(answer, shop.parts, shop.show, shop.name), paper)
    write(paper, target)
    return ()


def svg(answer: StoreAnswer, shop: Shop) -> str:
    """Return the sheet as SVG."""
    marks = store_marks(answer, shop.parts, shop.show, shop.name)
    return svg_of(marks, SHEET_PT, f"rack {answer.rack.name}")


def store_marks(answer: StoreAnswer, parts: Mapping[str, Part], show: Show, shop_name: str = "") -> Marks:
    """Return everything on the sheet of an answer."""
    foot, high = layout.footer((sentence(Caution("rack capacity"), show),), BEFORE)
    body = body_of_sheet(high)
    view = Box(body.left + 4.0, body.low, body.right - _WORDS_PT - _AIR_PT, body.high)
    beside = Box(body.right - _WORDS_PT, body.low, body.right, body.high - 6.0)
    rails = isinstance(answer.rack, RailRack)
    marks: list[Mark] = []
    for k, cell in enumerate(_cells(answer, view)):
        here = [place for place in answer.places if place.where == k]
        rack = _rail(cell, show) if rails else _bay(cell, answer, k, show)
        things, named = _things(cell, here, parts, SIDE if rails else PLAN)
        marks += [*rack, *things, *_names(named, rack, cell.room)]
    title = f"rack {answer.rack.name}"
    return (
        *layout.frame_of_sheet(),
        *layout.header(answer.verdict, COLOURS[answer.verdict], title, shop_name),
        *marks,
        *layout.panel(_facts(answer, show), beside),
        *foot,
    )


def _cells(answer: StoreAnswer, box: Box) -> list[_Cell]:
    """Return the rails or bays, one over the other at one scale; bays in columns where that is larger."""
    rack = answer.rack
    if isinstance(rack, RailRack):
        sizes = [(rail.length_mm, rail.height_mm) for rail in rack.rails]
        names = [f"rail {k + 1}, from the side" for k in range(len(sizes))]
    else:
        sizes = [(bay.inside_mm[0], bay.inside_mm[1]) for bay in rack.bays]
        names = [f"bay {bay.name}, from above, its front below" for bay in rack.bays]
    count = len(sizes)
    best: tuple[float, int] = (0.0, 1)
    for columns in range(1, count + 1):
        rows = -(-count // columns)
        wide, tall = max(size[0] for size in sizes), max(size[1] for size in sizes)
        across = (box.width - (columns - 1) * _AIR_PT) / columns - _SIZE_PT
        up = box.height / rows - _OVER_PT - _UNDER_PT
        best = max(best, (min(across / wide, up / tall), columns))
    scale, columns = best
    rows = -(-count // columns)
    cells = []
    for k, (name, size) in enumerate(zip(names, sizes, strict=True)):
        row, column = divmod(k, columns)
        left = box.left + column * (box.width + _AIR_PT) / columns
        high, pitch = box.high - row * box.height / rows, box.height / rows
        low, right = high - _OVER_PT - scale * size[1], left + scale * size[0] + _BESIDE_PT
        cells.append(_Cell(name, size, left, low, scale, Box(left, high - pitch, right, high)))
    return cells


def _rail(cell: _Cell, show: Show) -> Marks:
    """Return a rail over the floor, with its length and height."""
    (x0, floor), (x1, top) = cell.place(np.array([[0.0, 0.0], cell.size_mm]))
    return (
        Stroke((np.array([[x0, top], [x1, top]]),), ink.INK, 3.0),
        Stroke((np.array([[x0 - 4.0, floor], [x1 + 12.0, floor]]),), ink.FAINT, 1.6),
        *_named(cell, x0, top),
        *_sized(np.array([x0, floor - 9.0]), np.array([x1, floor - 9.0]), show_length(cell.size_mm[0], show)),
        *_sized(np.array([x1 + 8.0, floor]), np.array([x1 + 8.0, top]), show_length(cell.size_mm[1], show)),
    )


def _bay(cell: _Cell, answer: StoreAnswer, which: int, show: Show) -> Marks:
    """Return the floor of a bay with its uprights and arms."""
    (x0, low), (x1, high) = cell.place(np.array([[0.0, 0.0], cell.size_mm]))
    box = Box(float(x0), float(low), float(x1), float(high))
    marks: list[Mark] = [Area((box.ring,), fill="#ffffff", line=ink.INK, width_pt=1.4)]
    rack = answer.rack
    if not isinstance(rack, RailRack):
        bay = rack.bays[which]
        arms = bay.supports_mm
        if arms is not None:
            at = [
                cell.place(np.array([[x, 0.0], [x, cell.size_mm[1]]]))
                for x in np.arange(0.0, cell.size_mm[0], arms)
            ]
            marks.append(Stroke(tuple(at), ink.WALL, 3.0))
        for post in bay.uprights:
            low_end, size = np.array(post.at_mm), np.array(post.size_mm)
            corner, far = cell.place(np.array([low_end, low_end + size]))
            ring = Box(float(corner[0]), float(corner[1]), float(far[0]), float(far[1])).ring
            marks.append(Area((ring,), fill=ink.INK))
    wide, deep = (show_length(side, show) for side in cell.size_mm)
    return (
        *marks,
        *_named(cell, x0, high),
        *_sized(np.array([x0, low - 9.0]), np.array([x1, low - 9.0]), wide),
        *_sized(np.array([x1 + 8.0, low]), np.array([x1 + 8.0, high]), deep),
    )


def _named(cell: _Cell, left: float, top: float) -> Marks:
    return (Label(cell.name, (float(left), float(top) + 9.0), _SMALL_PT, colour=ink.FAINT, align="left"),)


def _sized(start: Floats, end: Floats, words: str) -> Marks:
    """Return a size along or up the sheet: its words on the line, or right of an upright one."""
    middle = (start + end) / 2.0
    if start[0] == end[0]:
        beside = Label(words, (float(middle[0]) + 7.0, float(middle[1])), _SMALL_PT, align="left")
        return (*dimension(start, end, ink.FAINT, 0.6), beside)
    label = Label(words, (float(middle[0]), float(middle[1])), _SMALL_PT)
    return (*dimension(start, end, ink.FAINT, 0.6), Area((box_of(label).ring,), fill=ink.PAPER), label)


def _things(
    cell: _Cell, here: list[Stored], parts: Mapping[str, Part], view: View
) -> tuple[Marks, list[Named]]:
    """Return the true outlines of the parts, and their names, like ones named once."""
    marks: list[Mark] = []
    named: list[Named] = []
    for run in runs(here):
        first = run[0]
        turned = parts[first.part].solid.moved(first.pose.rotation, np.zeros(3))
        rings = [np.asarray(ring) for ring in rings_of(silhouette(turned, view))]
        spots = []
        for place in run:
            shift = np.array([place.pose.shift_mm[0], place.pose.shift_mm[1 if view is PLAN else 2]])
            outline = tuple(cell.place(ring + shift) for ring in rings)
            spots.append(np.vstack(outline))
            marks.append(Area(outline, fill=ink.METAL, line=ink.INK, width_pt=0.7))
            if view is SIDE:
                top = spots[-1][:, 1].max()
                middle = (spots[-1][:, 0].min() + spots[-1][:, 0].max()) / 2.0
                rail = cell.place(np.array([[0.0, cell.size_mm[1]]]))[0, 1]
                marks.append(Stroke((np.array([[middle, top], [middle, rail]]),), ink.INK, 0.8))
        # On one line, whatever room there is.
        words = first.part if len(run) == 1 else f"{first.part}\u00a0x\u00a0{len(run)}"
        named.append(Named(np.vstack(spots), words, pieces=tuple(spots), below=view is SIDE))
    return tuple(marks), named


def _names(named: list[Named], rack: Marks, within: Box) -> Marks:
    """Return the names of what hangs or lies there, off the words and the lines of the rack itself."""
    words = [box_of(mark) for mark in rack if isinstance(mark, Label)]
    lines = [np.asarray(line) for mark in rack if isinstance(mark, Stroke) for line in mark.lines]
    for mark in rack:
        if isinstance(mark, Area) and mark.line:
            for ring in mark.rings:
                lines += list(np.stack([ring, np.roll(ring, 1, axis=0)], axis=1))
    return names_marks(named, words, within, [_box_round(line) for line in lines])


def _box_round(points: Floats) -> Box:
    (left, right), (low, high) = _ends(points[:, 0]), _ends(points[:, 1])
    return Box(left - _LINE_PT, low - _LINE_PT, right + _LINE_PT, high + _LINE_PT)


def _ends(values: Floats) -> tuple[float, float]:
    return float(values.min()), float(values.max())


def _facts(answer: StoreAnswer, show: Show) -> tuple[Fact, ...]:
    facts = [Fact("so stored", answer.reason, COLOURS[answer.verdict], leading=True)]
    facts += [
        Fact(f"{left.part}, {left.count} left out", left.why, ink.WARNING)
        for left in answer.left_out[:_MOST_LEFT]
    ]
    racks = answer.at_least_racks
    facts.append(Fact("racks", "no number would do" if racks is None else f"at least {racks}"))
    facts.append(Fact("gap between parts", show_length(answer.rack.part_gap_mm, show)))
    floors = [place.over_floor_mm for place in answer.places if place.over_floor_mm is not None]
    if floors:
        facts.append(Fact("lowest over the floor", show_length(min(floors), show)))
    return tuple(facts)
