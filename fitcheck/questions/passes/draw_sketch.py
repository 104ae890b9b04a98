"""The pictures of a pass on a sheet: the part out over the rim, and its faces with what is treated twice.

Both are those of `draw.py`, made to the box that they are given.
"""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.draw.flat import WALL_PT
from fitcheck.draw.ink import Box, Marks, shrunk
from fitcheck.questions.passes.draw_bands import Banded, faces_height, faces_marks, key_marks
from fitcheck.questions.passes.draw_view import NAME_ROOM_PT, OVER_PT, PassScene, pass_marks, scale_in
from fitcheck.things.shop import Show

# Its print against that of the big pictures.
PASS_PRINT = 0.85
_KEY_PT = 18.0


@dataclass(frozen=True, slots=True, eq=False)
class PassSketch:
    """One pass of several: the part standing out of the bath, with its heights and the line it is wet to."""

    shown: PassScene

    def marks(self, width_pt: float, height_pt: float) -> Marks:
        """Return the picture in a box of that size."""
        box = Box(0.0, 0.0, width_pt / PASS_PRINT, height_pt / PASS_PRINT)
        return shrunk(pass_marks(self.shown, box, scale_in(self.shown, box)), PASS_PRINT)

    def useful_pt(self, width_pt: float) -> float:
        """Return the height in which the picture is as wide as it can be."""
        low, high = self.shown.low_mm, self.shown.high_mm
        room = width_pt / PASS_PRINT - sum(self.shown.beside_pt) - 2.0 * WALL_PT
        tall = room / (high[0] - low[0]) * (high[1] - low[1])
        return PASS_PRINT * (tall + OVER_PT + NAME_ROOM_PT + WALL_PT)


@dataclass(frozen=True, slots=True, eq=False)
class BandsSketch:
    """The faces of the part as drawn: what is wet once and what is treated twice."""

    faces: tuple[Banded, ...]
    show: Show

    def marks(self, width_pt: float, height_pt: float) -> Marks:
        """Return the faces in a box of that size, at its top, with what their colours mean."""
        wide, high = width_pt / PASS_PRINT, height_pt / PASS_PRINT
        tall = faces_height(self.faces, wide, high - _KEY_PT)
        box = Box(0.0, high - tall, wide, high)
        key = key_marks((0.0, box.low - _KEY_PT / 2.0), is_dry=not all(f.dry.is_empty() for f in self.faces))
        return shrunk((*faces_marks(self.faces, box, self.show), *key), PASS_PRINT)

    def useful_pt(self, width_pt: float, most_pt: float) -> float:
        """Return the height that they have use for, up to the most."""
        tall = faces_height(self.faces, width_pt / PASS_PRINT, most_pt / PASS_PRINT - _KEY_PT)
        return PASS_PRINT * (tall + _KEY_PT)
