"""The picture of one pass of several: the part standing out of the bath, from the side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.rim.draw import ink, layout
from fitcheck.rim.draw.dimension import Span, chain_below, chain_beside
from fitcheck.rim.draw.flat import WALL_PT, Frame, flat_view, tilt_mark
from fitcheck.rim.draw.ink import Box, Marks, shrunk, text_size
from fitcheck.rim.draw.outline import SIDE
from fitcheck.rim.draw.scene import Scene
from fitcheck.things.shop import Show
from fitcheck.things.solid import Floats
from fitcheck.words.units import show_length

# Its print against that of the big pictures, and what stands over and under its view.
PASS_PRINT = 0.85
_PASS_OVER_PT, _PASS_UNDER_PT = 34.0, 72.0
# From a wall to the far edge of the words beside it, less the words: wall, tier, leader and air.
_PASS_BESIDE_PT = WALL_PT + 40.0
_DEPTH_PT, _FILL_PT, _TIER_PT, _TAG_PT = 14.0, 17.0, 12.0, 13.0


@dataclass(frozen=True, slots=True, eq=False)
class PassSketch:
    """One pass of several: the part standing out of the bath, from the side, with the line it is wet to."""

    scene: Scene
    show: Show

    def marks(self, width_pt: float, height_pt: float) -> Marks:
        """Return the picture in a box of that size."""
        body = Box(0.0, 0.0, width_pt / PASS_PRINT, height_pt / PASS_PRINT)
        frame = self._frame(body)
        dimensions, low = self._dimensions(frame, body)
        marks = (
            *flat_view(self.scene, frame),
            *tilt_mark(self.scene, frame, body.high - _TAG_PT, body),
            *dimensions,
            layout.view_name("Side view", frame, low),
        )
        return shrunk(marks, PASS_PRINT)

    def _dimensions(self, frame: Frame, body: Box) -> tuple[Marks, float]:
        """Return the depth, the fill line and the inside length, and where they end below."""
        tank, fill = self.scene.tank, self.scene.fill
        depth, line = self._words()
        left, right = frame.across(0.0) - WALL_PT, frame.across(tank.size_mm[0]) + WALL_PT
        floor, rim, under = frame.height(0.0), frame.height(tank.depth_mm), frame.floor - WALL_PT
        deep = Span(floor, rim, left, left, depth)
        long = f"{show_length(tank.size_mm[0], self.show)} inside"
        inside = Span(left + WALL_PT, right - WALL_PT, under, under, long)
        below, low = chain_below([inside], under - 14.0, body.left, body.right)
        marks = [*chain_beside([deep], left - _TIER_PT, body.low, body.high, right=False), *below]
        if fill is not None:
            level = frame.height(fill.level_mm)
            down = Span(level, rim, right, right, line, _FILL_PT, bold=True, colour=ink.SURFACE)
            marks += chain_beside([down], right + _TIER_PT, body.low, body.high)
        return tuple(marks), low

    def useful_pt(self, width_pt: float) -> float:
        """Return the height in which the picture is as wide as it can be."""
        low, high = self._span()
        scale = (width_pt / PASS_PRINT - sum(self._beside())) / float(high[0] - low[0])
        return PASS_PRINT * (scale * float(high[2] - low[2]) + _PASS_OVER_PT + _PASS_UNDER_PT)

    def _words(self) -> tuple[str, str]:
        """Return what stands left and right of the view: the depth, and the fill line."""
        fill = self.scene.fill
        line = "" if fill is None else f"FILL LINE\n{show_length(fill.from_rim_mm, self.show)}"
        return f"{show_length(self.scene.tank.depth_mm, self.show)}\ndeep", line

    def _beside(self) -> tuple[float, float]:
        """Return how much that takes of the sheet."""
        depth, line = self._words()
        right = text_size(line, _FILL_PT, bold=True)[0] if line else 0.0
        return _PASS_BESIDE_PT + text_size(depth, _DEPTH_PT)[0], _PASS_BESIDE_PT + right

    def _span(self) -> tuple[Floats, Floats]:
        points = np.vstack([self.scene.tank.inside.vertices_mm, self.scene.part.vertices_mm])
        return points.min(axis=0), points.max(axis=0)

    def _frame(self, body: Box) -> Frame:
        """Return the frame in which the part and the tank fill the box, less the words around them."""
        low, high = self._span()
        wide, tall = float(high[0] - low[0]), float(high[2] - low[2])
        aside = self._beside()
        room = body.width - sum(aside)
        scale = min(room / wide, (body.height - _PASS_OVER_PT - _PASS_UNDER_PT) / tall)
        left = body.left + aside[0] + (room - scale * wide) / 2.0
        top = body.high - _PASS_OVER_PT
        return Frame(SIDE, left - scale * float(low[0]), top - scale * float(high[2]), scale)
