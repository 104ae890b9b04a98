"""A section through the tightest spot: where the part comes nearest to what it must stay clear of."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.dimension import arrowhead
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, Stroke, box_of, fitted, text_size, wrapped
from fitcheck.draw.outline import View, below, body_of, hatched, region_of, rings_of
from fitcheck.draw.paint import blank, checked_path, put, write
from fitcheck.draw.scene import Scene, planes_of
from fitcheck.draw.scene import needed_mm as needed_at
from fitcheck.things.pose import Pose
from fitcheck.things.shop import Show
from fitcheck.things.solid import Floats, Solid
from fitcheck.things.tank import FLOOR_SLOPE
from fitcheck.words.units import show_length

if TYPE_CHECKING:
    from manifold3d import CrossSection

SHEET_PT = (460.0, 380.0)
# Corners that are as near as the nearest but for less than a tape shows lie along one edge or face.
_TIED_MM = 0.5
# How much of the surroundings is shown: so many gaps, and no less than this.
_GAPS, _LEAST_WINDOW_MM = 14.0, 250.0
_WALL_PT, _HATCH_PT, _PRINT_PT, _NAME_PT = 9.0, 5.0, 15.0, 13.0
_OUT_PT = 26.0
# Narrower than this the size of the gap has no room beside the section.
_ROOMY_PT = 300.0
# Turned about the upright axis, the section is looked at along x.
_CUT = View(1, 2, 0, 1.0)
_LEVEL = 1e-6
# Sums of lengths in double precision are right to far less than this, and no tape sees it.
_ROUNDING_MM = 1e-6
# The window is moved from the gap towards the part by this share of its half.
_TOWARDS = 0.45


@dataclass(frozen=True, slots=True, eq=False)
class Tight:
    """The spot with least to spare: on the part, on what it is near, the gap, what the rules ask."""

    part_mm: Floats
    other_mm: Floats
    near: str
    gap_mm: float
    needed_mm: float


def tightest(scene: Scene) -> Tight:
    """Return the tightest spot of a part in its tank, by the planes of the tank and by exact distance.

    A part is let down to its bottom clearance wherever it hangs, so the floor counts where that is broken.
    """
    points = scene.part.vertices_mm
    spots = []
    for normal, offset in zip(*planes_of(scene.tank.inside), strict=True):
        room = offset - points @ normal
        least, needed = float(room.min()), needed_at(scene.tank, normal)
        if normal[2] > -FLOOR_SLOPE or (normal[2] < FLOOR_SLOPE and least >= needed - _ROUNDING_MM):
            continue
        at = points[room <= least + _TIED_MM].mean(axis=0)
        at = at - normal * (least - (offset - at @ normal))
        name = "floor" if normal[2] < FLOOR_SLOPE else "wall"
        spots.append(Tight(at, at + least * normal, name, least, needed))
    spots += [_near(scene, thing.name, thing.solid) for thing in scene.tank.standing]
    return min(spots, key=lambda spot: spot.gap_mm - spot.needed_mm)


def _near(scene: Scene, name: str, solid: Solid) -> Tight:
    from fitcheck.geometry.mesh.distance import Surface, nearest_mm

    here = Pose("tank", "tank", np.eye(3), np.zeros(3))
    part = Surface.of(scene.part.vertices_mm, scene.part.triangles)
    on_part, on_other = nearest_mm(part, Surface.of(solid.vertices_mm, solid.triangles), here)
    gap = float(np.linalg.norm(on_other - on_part))
    return Tight(on_part, on_other, name, gap, scene.tank.rules.side_clearance_mm)


@dataclass(frozen=True, slots=True, eq=False)
class TightestSketch:
    """The section in the upright plane through the spot and across the gap."""

    scene: Scene
    show: Show

    def marks(self, width_pt: float, height_pt: float) -> Marks:
        """Return the section in a box of that size."""
        spot = tightest(self.scene)
        turn = _turn(spot)
        ends = np.vstack([spot.part_mm, spot.other_mm]) @ turn.T
        across = (self.scene.tank.inside.vertices_mm @ turn.T)[:, 0]
        # A part that is within the tape of two walls may lie a little past the other one.
        at = min(
            max(float(ends[:, 0].mean()), float(across.min()) + _TIED_MM), float(across.max()) - _TIED_MM
        )
        middle = ends[:, 1:].mean(axis=0)
        half = max(_GAPS * spot.gap_mm, _LEAST_WINDOW_MM) / 2.0
        scale = min(width_pt, height_pt - 2.0 * _NAME_PT) / (2.0 * half)
        wide, tall = width_pt / 2.0 / scale, (height_pt - 2.0 * _NAME_PT) / 2.0 / scale
        step = ends[1, 1:] - ends[0, 1:]
        middle = middle - _TOWARDS * half * step / max(float(np.hypot(*step)), _LEVEL)
        window = Box(middle[0] - wide, middle[1] - tall, middle[0] + wide, middle[1] + tall)
        place = _Place(window, scale, 2.0 * _NAME_PT)
        return (
            *self._cut(turn, at, place),
            *_dimensioned(place.flat(ends[:, 1:]), spot, self.show, Box(0.0, 0.0, width_pt, height_pt)),
            self._name(spot, width_pt),
        )

    def _name(self, spot: Tight, width_pt: float) -> Label:
        """Return the section's name; where there is no room for the gap's size beside it, that too."""
        words = f"Section at the tightest spot, part to {spot.near}"
        if width_pt < _ROOMY_PT:
            gap, needs = (show_length(mm, self.show) for mm in (spot.gap_mm, spot.needed_mm))
            words = wrapped(f"Tightest: {gap} to {spot.near}, needs {needs}", width_pt, _NAME_PT)
        return Label(words, (0.0, _NAME_PT), _NAME_PT, colour=ink.FAINT, align="left")

    def _cut(self, turn: Floats, at: float, place: _Place) -> Marks:
        from manifold3d import JoinType

        scene = self.scene
        window = region_of([place.window.ring])
        inside = _slice(scene.tank.inside, turn, at)
        outer = inside.offset(_WALL_PT / place.scale, JoinType.Miter, 4.0)
        walls = (below(outer, scene.tank.depth_mm) - inside) ^ window
        marks: list[Mark] = []
        if scene.fill is not None:
            marks.append(Area(place.rings(rings_of(below(inside, scene.fill.level_mm) ^ window)), ink.LIQUID))
        marks.append(Area(place.rings(rings_of(walls)), ink.WALL, ink.INK, 1.2))
        for thing in scene.tank.standing:
            rings = place.rings(rings_of(_slice(thing.solid, turn, at) ^ window))
            marks += [
                Area(rings, ink.BLOCK, ink.INK, 0.9),
                Stroke(hatched(rings, 2.0 * _HATCH_PT), ink.FAINT, 0.6),
            ]
        seen = body_of(_CUT.seen(scene.part.vertices_mm @ turn.T), scene.part.triangles, "part").project()
        marks.append(Area(place.rings(rings_of(seen ^ window)), None, ink.FAINT, 0.9))
        rings = place.rings(rings_of(_slice(scene.part, turn, at) ^ window))
        marks += [Area(rings, ink.METAL, ink.INK, 1.6), Stroke(hatched(rings, _HATCH_PT), ink.INK, 0.5)]
        return tuple(marks)


@dataclass(frozen=True, slots=True)
class _Place:
    """From mm of the section's plane to the sheet."""

    window: Box
    scale: float
    low: float

    def flat(self, points: Floats) -> Floats:
        flat: Floats = (points - [self.window.left, self.window.low]) * self.scale + [0.0, self.low]
        return flat

    def rings(self, rings: tuple[Floats, ...]) -> tuple[Floats, ...]:
        return tuple(self.flat(ring) for ring in rings)


def draw_tightest(scene: Scene, show: Show, path: Path | str) -> None:
    """Draw the section to `path` (.png, .svg or .pdf); raises `Refused` as every picture does."""
    target = checked_path(Path(path))
    edge = 20.0
    marks = TightestSketch(scene, show).marks(SHEET_PT[0] - 2.0 * edge, SHEET_PT[1] - 2.0 * edge)
    paper = blank(SHEET_PT)
    put(ink.shrunk(marks, 1.0, (edge, edge)), paper)
    write(paper, target)


def _turn(spot: Tight) -> Floats:
    """Return the turn about the upright axis that brings the gap into the plane looked at along x."""
    step = spot.other_mm - spot.part_mm
    level = math.hypot(float(step[0]), float(step[1]))
    # A gap that is plumb is looked at along the tank; so is one that is closed.
    across = math.pi / 2.0 if level <= _LEVEL else math.atan2(float(step[1]), float(step[0]))
    c, s = math.cos(math.pi / 2.0 - across), math.sin(math.pi / 2.0 - across)
    return np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])


def _slice(solid: Solid, turn: Floats, at: float) -> CrossSection:
    """Return what of a solid lies in the plane."""
    return body_of(_CUT.seen(solid.vertices_mm @ turn.T), solid.triangles, solid.source).slice(at)


def _dimensioned(ends: Floats, spot: Tight, show: Show, box: Box) -> Marks:
    """Return the gap between arrows from outside, and its size beside it, within the box."""
    short = spot.gap_mm < spot.needed_mm - _ROUNDING_MM
    colour = ink.WARNING if short else ink.INK
    start, end = ends
    step = end - start
    length = float(np.hypot(*step))
    along = step / length if length > _LEVEL else np.array([1.0, 0.0])
    if box.width < _ROOMY_PT:
        return _arrows(start, end, along, colour)
    words = show_length(spot.gap_mm, show)
    needs = f"needs {show_length(spot.needed_mm, show)}"
    label = fitted(Label(f"{words}\n{needs}", (0.0, 0.0), _PRINT_PT, True, colour), box.width)
    size = text_size(label.words, label.size_pt, bold=True)
    # Beyond the wall or the floor there is nothing but paper.
    away = _OUT_PT + 4.0 + abs(float(along[0])) * size[0] / 2.0 + abs(float(along[1])) * size[1] / 2.0
    at = end + away * along
    x = min(max(float(at[0]), box.left + size[0] / 2.0), box.right - size[0] / 2.0)
    label = replace(label, at=(x, float(at[1])))
    return (
        *_arrows(start, end, along, colour),
        Area((box_of(label).ring,), ink.PAPER, ink.FAINT, 0.5),
        label,
    )


def _arrows(start: Floats, end: Floats, along: Floats, colour: str) -> Marks:
    lines = (np.array([start - _OUT_PT * along, start]), np.array([end, end + _OUT_PT * along]))
    return (Stroke(lines, colour, 1.2), arrowhead(start, along, colour), arrowhead(end, -along, colour))
