"""Flat view of the scene to scale: tank cut open, liquid, part, and what stands in the way."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.captions import LEAST_RAD, roll_words, tilt_words
from fitcheck.draw.dimension import arc, arrowhead
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, Stroke, fitted
from fitcheck.draw.outline import UP, View, below, hatched, rings_of, silhouette, visible_edges
from fitcheck.draw.posed_part import Hung
from fitcheck.draw.scene import Scene, past_the_room, room_left
from fitcheck.things.pockets import PocketShape
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank

WALL_PT = 7.0
TAG_PT = 15.0
_HATCH_PT = 5.0
# Two lines nearer than this print as one.
_FINEST_PT = 0.5
# What lies nearer to a level than this cannot be told from it.
_UNSEEN_PT = 0.05


@dataclass(frozen=True, slots=True)
class Frame:
    """Where a view lies on the sheet: the point of its mm origin, and points to the mm."""

    view: View
    left: float
    floor: float
    scale: float

    def flat(self, points: Floats) -> Floats:
        """Return points (n, 2) of the view, in mm, as points of the sheet."""
        placed: Floats = np.asarray(points) * self.scale + [self.left, self.floor]
        return placed

    def place(self, points_mm: Floats) -> Floats:
        """Return points (n, 3) of the tank as points of the sheet."""
        return self.flat(self.view.seen(np.atleast_2d(points_mm))[:, :2])

    def across(self, mm: float) -> float:
        """Return where on the sheet a distance across the view lies."""
        return self.left + mm * self.scale

    def height(self, mm: float) -> float:
        """Return where on the sheet a height over the tank floor lies."""
        return self.floor + mm * self.scale


def flat_view(scene: Scene, frame: Frame) -> Marks:
    """Return the view without its dimensions."""
    level = None if scene.fill is None else scene.fill.level_mm
    return (
        *tank_marks(scene.tank, level, frame),
        *part_marks(scene, frame),
        *pocket_marks(scene, frame),
        *(_warning(scene, frame) if level is None else surface_marks(scene.tank, level, frame)),
    )


def bare_view(scene: Scene, frame: Frame) -> Marks:
    """Return the view with nothing but tank, liquid, what stands there and the part."""
    level = None if scene.fill is None else scene.fill.level_mm
    return (*tank_marks(scene.tank, level, frame), *part_marks(scene, frame))


def tank_marks(tank: Tank, level_mm: float | None, frame: Frame) -> Marks:
    """Return walls and floor, cut through, what stands there, and the liquid; from above no floor is cut."""
    from manifold3d import JoinType

    inside = silhouette(tank.inside, frame.view)
    outer = inside.offset(WALL_PT / frame.scale, JoinType.Miter, 4.0)
    upright = frame.view.up == UP
    walls = (below(outer, tank.depth_mm) if upright else outer) - inside
    rings = _on_sheet(rings_of(walls), frame)
    marks: list[Mark] = []
    if level_mm is not None:
        wet = rings_of(below(inside, level_mm) if upright else inside)
        marks.append(Area(_on_sheet(wet, frame), fill=ink.LIQUID))
    marks.append(Area(rings, fill=ink.WALL, line=ink.INK, width_pt=1.1))
    return (*marks, *_standing(tank, frame))


def _standing(tank: Tank, frame: Frame) -> Marks:
    marks: list[Mark] = []
    for thing in tank.standing:
        rings = _on_sheet(rings_of(silhouette(thing.solid, frame.view)), frame)
        marks.append(Area(rings, fill=ink.BLOCK, line=ink.INK, width_pt=0.9))
        marks.append(Stroke(hatched(rings, _HATCH_PT), ink.FAINT, 0.6))
    return tuple(marks)


def part_marks(here: Hung, frame: Frame) -> Marks:
    """Return the part: its shadow, and the edges of it that can be seen."""
    rings = _on_sheet(rings_of(silhouette(here.part, frame.view)), frame)
    pieces = visible_edges(here.part, frame.view, _FINEST_PT / frame.scale)
    edges = tuple(frame.flat(piece) for piece in pieces)
    return (
        Area(rings, fill=ink.METAL),
        Stroke(edges, ink.INK, 0.7),
        Area(rings, line=ink.INK, width_pt=1.7),
    )


def pocket_marks(here: Hung, frame: Frame) -> Marks:
    """Return the space that each pocket fills, seen through the metal, and the liquid's surface in it.

    From above the surface is not drawn.
    """
    marks: list[Mark] = []
    for shape in reversed(here.pockets):
        rings = _on_sheet(rings_of(silhouette(shape.solid, frame.view)), frame)
        fill, line = ink.POCKET_COLOURS[shape.pocket.kind]
        marks.append(Area(rings, fill=fill, line=line, width_pt=1.2))
        if frame.view.up == UP:
            marks.append(Stroke((_mouth(shape, frame),), ink.SURFACE, 2.0))
    return tuple(marks)


def _mouth(shape: PocketShape, frame: Frame) -> Floats:
    """Return the line in which the level at a pocket's mouth is seen: under air, on top of liquid."""
    points = shape.solid.vertices_mm
    over = points[:, UP] if shape.pocket.kind == "air" else -points[:, UP]
    ends = frame.place(points[over <= over.min() + _UNSEEN_PT / frame.scale])
    return ends[[ends[:, 0].argmin(), ends[:, 0].argmax()]]


def surface_marks(tank: Tank, level_mm: float, frame: Frame) -> Marks:
    """Return the liquid's surface with the drawing mark for a level, a triangle standing on it.

    From above there is neither, nor in an empty tank.
    """
    if frame.view.up != UP:
        return ()
    wet = below(silhouette(tank.inside, frame.view), level_mm)
    if wet.is_empty():
        return ()
    left, _, right, high = wet.bounds()
    y = frame.height(high)
    line = np.array([[frame.across(left), y], [frame.across(right), y]])
    x = line[0, 0] + 0.06 * (line[1, 0] - line[0, 0]) + 6.0
    mark = np.array([[x, y], [x - 5.0, y + 8.5], [x + 5.0, y + 8.5]])
    return (Stroke((line,), ink.SURFACE, 2.4), Area((mark,), fill=ink.SURFACE))


def _warning(scene: Scene, frame: Frame) -> Marks:
    """Return the room that the clearances leave, and a hatch over what of the part lies outside it."""
    room = _on_sheet(rings_of(room_left(scene.tank, frame.view)), frame)
    closed = tuple(np.vstack([ring, ring[:1]]) for ring in room)
    out = _on_sheet(rings_of(past_the_room(scene, frame.view)), frame)
    marks: list[Mark] = [Stroke(closed, ink.WARNING, 1.1, dashed=True)]
    if out:
        marks.append(Area(out, fill=ink.PAST, line=ink.WARNING, width_pt=1.7))
        marks.append(Stroke(hatched(out, 0.7 * _HATCH_PT, rising=False), ink.WARNING, 1.3))
    return tuple(marks)


def _on_sheet(rings: tuple[Floats, ...], frame: Frame) -> tuple[Floats, ...]:
    return tuple(frame.flat(ring) for ring in rings)


def tilt_mark(scene: Hung, frame: Frame, top: float, box: Box) -> Marks:
    """Return the tag that says which end is up and by how much, and the arc of the tilt; nothing if level.

    top: the height of the tag's middle. box: where the view and its words must stay.
    """
    tilt = scene.pose.angles.tilt_rad
    if abs(tilt) < LEAST_RAD:
        return ()
    ends = frame.place(scene.ends_mm)
    low, high = (ends[0], ends[1]) if tilt > 0.0 else (ends[1], ends[0])
    tag = _tag(tilt_words(tilt), float(high[0]), top, box)
    leader = np.array([[high[0], top - 0.72 * TAG_PT], high])
    step = high - low
    length = float(np.hypot(*step))
    level = math.copysign(1.0, step[0])
    radius = 0.72 * length
    line = np.array([low, low + np.array([1.12 * level * radius, 0.0])])
    start = 0.0 if level > 0.0 else math.pi
    return (
        Stroke((line,), ink.INK, 0.9, dashed=True),
        Stroke((np.array([low, high]),), ink.INK, 0.9, dashed=True),
        *arc(low, radius, start, math.atan2(step[1], step[0])),
        Stroke((leader,), ink.INK, 0.9),
        arrowhead(high, np.array([0.0, -1.0]), ink.INK),
        tag,
    )


def roll_mark(scene: Hung, frame: Frame, top: float, box: Box) -> Marks:
    """Return the arc of the roll, from upright to the part's own top, and its tag; nothing if not rolled."""
    roll = scene.pose.angles.roll_rad
    if abs(roll) < LEAST_RAD:
        return ()
    centre = frame.place(scene.ends_mm.mean(axis=0))[0]
    own_up = frame.view.seen(scene.pose.rotation[:, 2][None, :])[0, :2]
    seen = math.atan2(own_up[1], own_up[0])
    size = np.ptp(frame.place(scene.part.vertices_mm), axis=0)
    radius = max(16.0, 0.34 * float(size.min()))
    along = np.array([math.cos(seen), math.sin(seen)])
    tip = centre + 1.45 * radius * along
    upright = np.array([centre, [centre[0], top - 0.72 * TAG_PT]])
    return (
        Stroke((upright,), ink.INK, 0.9, dashed=True),
        Stroke((np.array([centre, tip]),), ink.INK, 1.2),
        arrowhead(tip, along, ink.INK),
        *arc(centre, radius, math.pi / 2.0, seen),
        _tag(f"top {roll_words(roll)}", float(centre[0]), top, box),
    )


def _tag(words: str, x: float, top: float, within: Box) -> Label:
    label = fitted(Label(words, (x, top), TAG_PT, bold=True), within.width)
    box = ink.box_of(label)
    shift = max(within.left - box.left, min(0.0, within.right - box.right))
    return replace(label, at=(x + shift, top))
