"""The plan itself: walls cut through, door leaves and their swing, fixtures, working floor, pinches."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.dimension import arrowhead, dimension
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, Stroke, box_of
from fitcheck.draw.names import Named, names_marks
from fitcheck.questions.room.answer import RoomAnswer
from fitcheck.things.room import Door, Fixture, Place, Ring
from fitcheck.things.shop import Show
from fitcheck.things.solid import Floats
from fitcheck.words.rounding import at_least
from fitcheck.words.units import show_length

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

_WALL_PT = 7.0
_WORKING = "#e3ebdf"
_SMALL_PT = 9.5
_SIZE_PT = 16.0


@dataclass(frozen=True, slots=True)
class PlanFrame:
    """Where the plan lies: points to the mm, and the sheet's place of the room's origin."""

    scale: float
    shift: tuple[float, float]

    def place(self, points_mm: object) -> Floats:
        """Return points (n, 2) of the room as points of the sheet."""
        placed: Floats = np.asarray(points_mm, dtype=np.float64) * self.scale + np.array(self.shift)
        return placed


def plan_marks(answer: RoomAnswer, frame: PlanFrame, show: Show) -> Marks:
    """Return the plan with its sizes."""
    room = answer.room
    fixtures = answer.best.fixtures if answer.best is not None else room.fixtures
    placed = [(fixture, fixture.place) for fixture in fixtures if fixture.place is not None]
    marks: list[Mark] = []
    for fixture, place in placed:
        for side in fixture.working_sides:
            ring = frame.place(fixture.work_ring_mm(side, place))
            marks += [Area((ring,), fill=_WORKING), _outline(ring, ink.GO, dashed=True)]
    for zone in room.keep_clear:
        marks += _kept_clear(frame.place(zone.ring_mm))
    for door in room.doors:
        marks += _swing(door, frame)
    marks += _walls(room.outline_mm, frame)
    for door in room.doors:
        marks += _leaf(door, frame)
    for fixture, place in placed:
        marks += _standing(fixture, place, frame)
    marks += _overlaps(answer, placed, frame)
    pinches = _pinches(answer, frame, show)
    marks += [*_names(answer, placed, frame, pinches), *pinches]
    return (*marks, *_sizes(room.outline_mm, frame, show), *_north(room.outline_mm, frame))


def _outline(ring: Floats, colour: str, width_pt: float = 0.7, *, dashed: bool = False) -> Stroke:
    return Stroke((np.vstack([ring, ring[:1]]),), colour, width_pt, dashed)


def _walls(outline: Ring, frame: PlanFrame) -> Marks:
    """Return the walls, cut through, outside the floor."""
    import shapely

    inner = shapely.Polygon(frame.place(outline))
    outer = inner.buffer(_WALL_PT, join_style="mitre")
    rings = (np.array(outer.exterior.coords)[:-1], np.array(inner.exterior.coords)[:-1])
    # A hole runs the other way round.
    outside, inside = (ring if shapely.LinearRing(ring).is_ccw else ring[::-1] for ring in rings)
    return (Area((outside, inside[::-1]), fill=ink.WALL, line=ink.INK, width_pt=1.0),)


def _swing(door: Door, frame: PlanFrame) -> Marks:
    """Return what the leaf sweeps, on the side to which it swings."""
    arc = _arc(door)
    ring = frame.place(np.vstack([[door.hinge_mm], arc]))
    fill = Area((ring,), fill="#f3e4c8") if door.takes_floor else None
    line = Stroke((frame.place(arc),), ink.AIR_LINE, 0.8, dashed=True)
    return (line,) if fill is None else (fill, line)


def _arc(door: Door) -> Floats:
    hinge, strike = np.array(door.hinge_mm), np.array(door.strike_mm)
    along = strike - hinge
    inward = np.array(door.inward) * door.width_mm * (1.0 if door.takes_floor else -1.0)
    turn = np.linspace(0.0, math.pi / 2.0, 25)[:, None]
    arc: Floats = hinge + np.cos(turn) * along + np.sin(turn) * inward
    return arc


def _leaf(door: Door, frame: PlanFrame) -> Marks:
    """Return the doorway through the wall, and the leaf standing open."""
    low, high = frame.place([door.low_mm, door.high_mm])
    out = -(_WALL_PT + 0.6) * np.array(door.inward)
    way = np.array([low, high, high + out, low + out])
    hinge, end = frame.place([door.hinge_mm, _arc(door)[-1]])
    middle = (low + high) / 2.0 + 1.9 * out
    return (
        Area((way,), fill=ink.PAPER),
        Stroke((np.array([low, low + out]), np.array([high, high + out])), ink.INK, 1.0),
        Stroke((np.array([hinge, end]),), ink.AIR_LINE, 2.2),
        Label(door.name, (float(middle[0]), float(middle[1])), _SMALL_PT, colour=ink.AIR_LINE),
    )


def _kept_clear(ring: Floats) -> Marks:
    """Return a hatched zone."""
    return (Stroke(_hatching(ring), ink.WARNING, 0.4), _outline(ring, ink.WARNING, 0.9, dashed=True))


def _hatching(ring: Floats, step: float = 6.0) -> tuple[Floats, ...]:
    import shapely

    shape = shapely.Polygon(ring)
    left, low, right, high = shape.bounds
    tall = high - low
    lines = [shapely.LineString([(x, low), (x + tall, high)]) for x in np.arange(left - tall, right, step)]
    cut = [shape.intersection(line) for line in lines]
    return tuple(np.array(line.coords) for line in cut if line.geom_type == "LineString" and line.length > 0)


def _standing(fixture: Fixture, place: Place, frame: PlanFrame) -> Marks:
    """Return a fixture; a heavier line marks its front."""
    ring = frame.place(fixture.ring_mm(place))
    front = frame.place(fixture.side_mm("front", place))
    over = fixture.over_mm > 0.0
    body = Area((ring,), fill=None if over else ink.BLOCK, line=None if over else ink.INK, width_pt=1.1)
    edge = _outline(ring, ink.FAINT, dashed=True) if over else Stroke((front,), ink.INK, 2.4)
    return (body, edge)


def _names(answer: RoomAnswer, placed: list[tuple[Fixture, Place]], frame: PlanFrame, others: Marks) -> Marks:
    """Return the names of fixtures and of zones that are kept clear; off other words where they can be."""
    things = [Named(frame.place(fixture.ring_mm(place)), fixture.name) for fixture, place in placed]
    things += [
        Named(frame.place(zone.ring_mm), zone.name, bold=False, colour=ink.WARNING, hatched=True)
        for zone in answer.room.keep_clear
    ]
    floor = frame.place(answer.room.outline_mm)
    (left, low), (right, high) = floor.min(axis=0).tolist(), floor.max(axis=0).tolist()
    taken = [box_of(mark) for mark in others if isinstance(mark, Label)]
    return names_marks(things, taken, Box(left, low, right, high))


def _overlaps(answer: RoomAnswer, placed: list[tuple[Fixture, Place]], frame: PlanFrame) -> Marks:
    """Return what is in each other's way, in the colour of a warning."""
    import shapely

    shapes = {f.name: [shapely.Polygon(f.ring_mm(place))] for f, place in placed}
    zones = {
        f.name: [shapely.Polygon(f.work_ring_mm(s, place)) for s in f.working_sides] for f, place in placed
    }
    for zone in answer.room.keep_clear:
        zones[zone.name] = [shapely.Polygon(zone.ring_mm)]
    for door in answer.room.doors:
        zones[door.name] = [shapely.Polygon(np.vstack([[door.hinge_mm], _arc(door)]))]
    floor = shapely.Polygon(answer.room.outline_mm)
    found: list[BaseGeometry] = []
    for conflict in answer.conflicts:
        one, other = conflict.between[0], conflict.between[-1]
        if conflict.kind == "aisle too narrow":
            continue
        if conflict.kind.endswith("outside the room"):
            mine = zones[one] if conflict.kind.startswith("work") else shapes[one]
            found += [shape.difference(floor) for shape in mine]
        else:
            others = shapes[other] if conflict.kind == "bodies overlap" else zones[other]
            found += [shapes[one][0].intersection(shape) for shape in others]
    parts = [part for shape in found for part in shapely.get_parts(shape) if part.area > 0.0]
    rings = [frame.place(np.array(part.exterior.coords)[:-1]) for part in parts]
    return tuple(Area((ring,), fill=ink.WARNING) for ring in rings)


def _pinches(answer: RoomAnswer, frame: PlanFrame, show: Show) -> Marks:
    """Return where the aisles are narrowest, each place once."""
    marks: list[Mark] = []
    seen = set()
    for aisle in answer.best.aisles if answer.best is not None else ():
        if aisle.pinch is None or aisle.pinch_mm is None or aisle.pinch in seen:
            continue
        seen.add(aisle.pinch)
        start, end = frame.place(aisle.pinch_mm)
        narrow = aisle.width_mm < answer.room.aisle_mm - 1e-2
        colour = ink.WARNING if narrow else ink.SURFACE
        across = np.array([-(end - start)[1], (end - start)[0]]) / max(float(np.hypot(*(end - start))), 1e-9)
        if across[1] < 0.0:
            across = -across
        at = (start + end) / 2.0 + 9.0 * across
        label = Label(at_least(aisle.width_mm, show), (float(at[0]), float(at[1])), _SMALL_PT, colour=colour)
        marks += [*dimension(start, end, colour), Area((box_of(label).ring,), fill=ink.PAPER), label]
    return tuple(marks)


def _sizes(outline: Ring, frame: PlanFrame, show: Show) -> Marks:
    """Return the length and width over all, along the south and the west."""
    ring = np.array(outline)
    low, high = frame.place([ring.min(axis=0), ring.max(axis=0)])
    wide, tall = (show_length(float(side), show) for side in np.ptp(ring, axis=0))
    y, x = low[1] - _WALL_PT - 22.0, low[0] - _WALL_PT - 18.0
    across = Label(wide, (float(low[0] + high[0]) / 2.0, float(y)), 12.0)
    up = Label(tall, (float(x), float(low[1] + high[1]) / 2.0), 12.0)
    return (
        *dimension(np.array([low[0], y]), np.array([high[0], y])),
        *dimension(np.array([x, low[1]]), np.array([x, high[1]])),
        Area((box_of(across).ring,), fill=ink.PAPER),
        across,
        Area((box_of(up).ring,), fill=ink.PAPER),
        up,
    )


def _north(outline: Ring, frame: PlanFrame) -> Marks:
    """Return an arrow that points north, over the plan's right corner."""
    ring = np.array(outline)
    _, high = frame.place([ring.min(axis=0), ring.max(axis=0)])
    foot = np.array([high[0] + _WALL_PT + 14.0, high[1] - 24.0])
    tip = foot + np.array([0.0, _SIZE_PT])
    label = Label("N", (float(tip[0]), float(tip[1]) + 8.0), 11.0, bold=True)
    return (Stroke((np.array([foot, tip]),), ink.INK, 1.0), arrowhead(tip, np.array([0.0, 1.0])), label)
