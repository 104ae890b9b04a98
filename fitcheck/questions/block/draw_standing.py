"""Blocks in their tank from above and from the side, numbered, with the corner that they are taped from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.flat import WALL_PT, Frame
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, Stroke, box_of, fitted, text_size
from fitcheck.draw.outline import PLAN, SIDE, UP, below, hatched, rings_of, silhouette
from fitcheck.geometry.liquid.blocks_in_tank import with_pieces
from fitcheck.things.shop import Show
from fitcheck.things.solid import Floats, Solid
from fitcheck.things.stock import Piece
from fitcheck.things.tank import Tank
from fitcheck.words.units import show_length

_NAME_PT, _NUMBER_PT, _LEAST_PT = 11.0, 13.0, 9.0
_HATCH_PT, _AIR_PT = 5.0, 5.0
_CORNER_PT = 9.0
# Under each view, for its name.
_UNDER_PT = 20.0


@dataclass(frozen=True, slots=True, eq=False)
class StandingSketch:
    """Pieces in a tank, and the parts that hang beside them (in the tank's frame)."""

    tank: Tank
    pieces: tuple[Piece, ...]
    parts: tuple[Solid, ...]
    level_mm: float
    show: Show

    def marks(self, width_pt: float, height_pt: float) -> Marks:
        """Return the plan over the side view in a box of that size, both to one scale."""
        long, across, deep = self.tank.size_mm
        room = height_pt - 2.0 * (_UNDER_PT + 2.0 * WALL_PT)
        scale = min((width_pt - 2.0 * WALL_PT) / long, room / (across + deep))
        left = (width_pt - scale * long) / 2.0
        plan = Frame(PLAN, left, height_pt - WALL_PT - scale * across, scale)
        side = Frame(SIDE, left, plan.floor - _UNDER_PT - 2.0 * WALL_PT - scale * deep, scale)
        length, width = show_length(long, self.show), show_length(across, self.show)
        depth, level = show_length(deep, self.show), show_length(self.level_mm, self.show)
        return (
            *self._view(plan),
            *self._corner(plan),
            _name(f"From above, {length} x {width} inside; tape from the corner marked", plan, width_pt),
            *self._view(side),
            _name(f"From the side, {depth} deep, {level} of liquid", side, width_pt),
        )

    def useful_pt(self, width_pt: float) -> float:
        """Return the height that is of use in a box so wide: more makes nothing larger."""
        long, across, deep = self.tank.size_mm
        scale = (width_pt - 2.0 * WALL_PT) / long
        return scale * (across + deep) + 2.0 * (_UNDER_PT + 2.0 * WALL_PT)

    def _view(self, frame: Frame) -> Marks:
        from manifold3d import JoinType

        upright = frame.view.up == UP
        inside = silhouette(self.tank.inside, frame.view)
        outer = inside.offset(WALL_PT / frame.scale, JoinType.Miter, 4.0)
        walls = (below(outer, self.tank.depth_mm) if upright else outer) - inside
        wet = below(inside, self.level_mm) if upright else inside
        marks: list[Mark] = [
            Area(_placed(rings_of(wet), frame), fill=ink.LIQUID),
            Area(_placed(rings_of(walls), frame), fill=ink.WALL, line=ink.INK, width_pt=1.1),
        ]
        for part in self.parts:
            marks.append(Area(_shadow(part, frame), fill=ink.METAL, line=ink.INK, width_pt=0.8))
        for thing in with_pieces(self.tank, self.pieces).standing:
            rings = _shadow(thing.solid, frame)
            marks.append(Area(rings, fill=ink.BLOCK, line=ink.INK, width_pt=0.9))
            marks.append(Stroke(hatched(rings, _HATCH_PT), ink.WALL, 0.6))
        return (*marks, *self._numbers(frame))

    def _numbers(self, frame: Frame) -> Marks:
        """Return each piece's number in its middle; from the side those in front hide those behind."""
        marks: list[Mark] = []
        taken: list[Box] = []
        for k, piece in sorted(enumerate(self.pieces), key=lambda each: each[1].at_mm[1]):
            low, size = np.array(piece.at_mm), np.array(piece.size_mm)
            ((x, y),) = frame.place((low + size / 2.0)[None, :]).tolist()
            most = frame.scale * float(min(size[frame.view.across], size[frame.view.up]))
            label = Label(str(k + 1), (x, y), max(_LEAST_PT, min(_NUMBER_PT, 0.8 * most)), bold=True)
            box = box_of(label)
            # Side by side with no air, two numbers read as one.
            if any(box.overlaps(other) for other in taken):
                continue
            taken.append(Box(box.left - _AIR_PT, box.low, box.right + _AIR_PT, box.high))
            marks += [Area((box.ring,), fill=ink.BLOCK), label]
        return tuple(marks)

    def _corner(self, frame: Frame) -> Marks:
        """Return a mark at the plan's low corner, outside the walls."""
        x, y = frame.place(self.tank.inside.vertices_mm.min(axis=0)[None, :])[0].tolist()
        ring = np.array([[x, y], [x - _CORNER_PT, y], [x, y - _CORNER_PT]])
        return (Area((ring,), fill=ink.WARNING),)


def _name(words: str, frame: Frame, width_pt: float) -> Label:
    """Return the name of a view under it, further left where it would end past the picture."""
    y = frame.floor - WALL_PT - 0.6 * _UNDER_PT
    left = max(0.0, min(frame.left - WALL_PT, width_pt - text_size(words, _NAME_PT)[0]))
    return fitted(Label(words, (left, y), _NAME_PT, colour=ink.FAINT, align="left"), width_pt - left)


def _shadow(solid: Solid, frame: Frame) -> tuple[Floats, ...]:
    return _placed(rings_of(silhouette(solid, frame.view)), frame)


def _placed(rings: tuple[Floats, ...], frame: Frame) -> tuple[Floats, ...]:
    return tuple(frame.flat(ring) for ring in rings)
