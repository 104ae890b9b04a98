"""One map over tilt and roll on the sheet: bands of litres with their scale, where it fits, and marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.ink import Area, Box, Label, Mark, Marks, Stroke, box_of, text_size
from fitcheck.draw.outline import hatched
from fitcheck.questions.pocket.draw_map_bands import colours, line_at, rings_between
from fitcheck.things.pockets import PocketKind
from fitcheck.things.shop import Show
from fitcheck.things.solid import Floats
from fitcheck.words.units import RAD_PER_DEGREE, show_volume

_TICK_PT = 11.0
# Ticks stand on whole ones of these, as close as gives no more than so many.
_TICK_STEPS_DEG = (1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 45.0, 90.0)
_MOST_TICKS = 7
_HATCH_PT = 7.0
_SWATCH_PT = 15.0
_MARK_PT = 6.0
# An axis along which there is only one way is drawn this wide to either side.
_ALONE_RAD = 0.5 * RAD_PER_DEGREE


@dataclass(frozen=True, slots=True, eq=False)
class Axes:
    """The tilts (t,) across and the rolls (r,) up a box of the sheet, in radians, rising."""

    tilts_rad: Floats
    rolls_rad: Floats
    box: Box

    def place(self, tilt_rad: float, roll_rad: float) -> tuple[float, float]:
        """Return where a way up is on the sheet."""
        across = np.interp(tilt_rad, self.tilts_rad[[0, -1]], (self.box.left, self.box.right))
        up = np.interp(roll_rad, self.rolls_rad[[0, -1]], (self.box.low, self.box.high))
        return float(across), float(up)

    def on_sheet(self, line: Floats) -> Floats:
        """Return points (n, 2) of tilts and rolls as points of the sheet."""
        return np.array([self.place(tilt, roll) for tilt, roll in line])


def axes_of(tilts_rad: Floats, rolls_rad: Floats, box: Box) -> Axes:
    """Return the axes of a map in a box; one way alone is drawn as a narrow band of ways."""
    return Axes(_widened(tilts_rad), _widened(rolls_rad), box)


def spread_out(values: Floats) -> Floats:
    """Return a map's values (t, r) for the axes that `axes_of` makes: at least two along each."""
    for axis in (0, 1):
        if values.shape[axis] == 1:
            values = np.repeat(values, 2, axis=axis)
    return np.asarray(values, dtype=np.float64)


def _widened(angles: Floats) -> Floats:
    if len(angles) > 1:
        return angles
    return np.array([angles[0] - _ALONE_RAD, angles[0] + _ALONE_RAD])


def bands(axes: Axes, litres: Floats, levels_l: Sequence[float], kind: PocketKind) -> Marks:
    """Return the bands of litres (t, r), and a line where the first one begins."""
    t, r = axes.tilts_rad, axes.rolls_rad
    marks: list[Mark] = [Area((axes.box.ring,), fill=ink.PAPER)]
    # Above all there is: the last band has no upper end.
    tops = [*levels_l[1:], 2.0 * float(litres.max()) + 2.0 * levels_l[-1]]
    for low, high, colour in zip(levels_l, tops, colours(kind, len(levels_l)), strict=True):
        rings = tuple(axes.on_sheet(ring) for ring in rings_between(t, r, litres, low, high))
        # A hair of its own colour closes the seam to the next band.
        marks.append(Area(rings, fill=colour, line=colour, width_pt=0.3))
    lines = tuple(axes.on_sheet(line) for line in line_at(t, r, litres, levels_l[0]))
    marks.append(Stroke(lines, ink.POCKET_COLOURS[kind][1], 1.2))
    return tuple(marks)


def fits_outline(axes: Axes, fits: Floats) -> Marks:
    """Return a heavy line round the ways that fit, 1 of (t, r), and a hatch over the rest, 0."""
    inside = tuple(
        axes.on_sheet(ring) for ring in rings_between(axes.tilts_rad, axes.rolls_rad, fits, 0.5, 2.0)
    )
    # By the even-odd rule the box and the rings in it leave what is outside the rings.
    outside = hatched([axes.box.ring, *inside], _HATCH_PT)
    return (
        Stroke(outside, ink.FAINT, 0.6),
        Area(inside, line=ink.PAPER, width_pt=5.0),
        Area(inside, line=ink.INK, width_pt=2.8),
    )


def ruled(axes: Axes) -> Marks:
    """Return the frame of a map, its ticks in degrees, and the names of its axes."""
    box = axes.box
    marks: list[Mark] = [Area((box.ring,), line=ink.INK, width_pt=1.1)]
    for degrees in _ticks_deg(axes.tilts_rad):
        x, _ = axes.place(degrees * RAD_PER_DEGREE, 0.0)
        marks.append(Stroke((np.array([[x, box.low], [x, box.low - 4.0]]),), ink.INK, 0.9))
        marks.append(Label(f"{degrees:g}", (x, box.low - 14.5), _TICK_PT))
    for degrees in _ticks_deg(axes.rolls_rad):
        _, y = axes.place(0.0, degrees * RAD_PER_DEGREE)
        marks.append(Stroke((np.array([[box.left, y], [box.left - 4.0, y]]),), ink.INK, 0.9))
        marks.append(Label(f"{degrees:g}", (box.left - 7.0, y), _TICK_PT, align="right"))
    middle = (box.left + box.right) / 2.0
    marks.append(Label("tilt in deg, +x end up", (middle, box.low - 29.0), _TICK_PT + 1.0))
    roll = Label("roll in deg, +y side up", (box.left - 32.0, box.high + 16.0), _TICK_PT + 1.0, align="left")
    return (*marks, roll)


def _ticks_deg(angles_rad: Floats) -> list[float]:
    low, high = (float(angle) / RAD_PER_DEGREE for angle in angles_rad[[0, -1]])
    for step in _TICK_STEPS_DEG:
        first, last = np.ceil(low / step - 1e-6), np.floor(high / step + 1e-6)
        if last - first < _MOST_TICKS:
            break
    return [float(k) * step + 0.0 for k in np.arange(first, last + 1.0)]


def scale(levels_l: Sequence[float], kind: PocketKind, at: tuple[float, float], show: Show) -> Marks:
    """Return the scale of a map upwards from a place: a swatch for each band, and where it begins."""
    x, y = at
    marks: list[Mark] = []
    rows = (ink.PAPER, *colours(kind, len(levels_l)))
    height = 1.5 * _SWATCH_PT
    for k, colour in enumerate(rows):
        swatch = Box(x, y + k * height, x + _SWATCH_PT, y + (k + 1) * height)
        marks.append(Area((swatch.ring,), fill=colour, line=ink.INK, width_pt=0.8))
        if k:
            words = show_volume(levels_l[k - 1], show)
            marks.append(Label(words, (x + _SWATCH_PT + 5.0, swatch.low), _TICK_PT + 1.0, align="left"))
    return tuple(marks)


@dataclass(frozen=True, slots=True)
class Place:
    """A way up that is named on a map, where it is on the sheet, and whether it is the one to choose."""

    words: str
    at: tuple[float, float]
    best: bool


def named_places(places: Sequence[Place], box: Box) -> Marks:
    """Return marks on a map with their words: a full one for the best, an open one for any other."""
    marks: list[Mark] = []
    taken: list[Box] = []
    for place in places:
        fill = ink.INK if place.best else ink.PAPER
        marks.append(Area((_diamond(place.at),), fill=fill, line=ink.INK, width_pt=1.5))
        label = _beside(Label(place.words, place.at, 13.0, bold=place.best), box, taken)
        taken.append(box_of(label))
        marks += [Area((_padded(box_of(label)).ring,), fill=ink.PAPER, line=ink.INK, width_pt=0.8), label]
    return tuple(marks)


def _diamond(at: tuple[float, float]) -> Floats:
    return np.array(at) + _MARK_PT * np.array([[0.0, -1.2], [1.0, 0.0], [0.0, 1.2], [-1.0, 0.0]])


def _beside(label: Label, box: Box, taken: list[Box]) -> Label:
    """Return the label on that side of its place where it stays in the box and off others."""
    wide = text_size(label.words, label.size_pt, bold=label.bold)[0] / 2.0 + 2.0 * _MARK_PT
    x, y = label.at
    aside = [(right * wide, up) for up in (0.0, 20.0, -20.0) for right in (1.0, -1.0)]
    tries = [replace(label, at=(x + dx, y + dy)) for dx, dy in [*aside, (0.0, 22.0), (0.0, -22.0)]]
    for one in tries:
        mine = _padded(box_of(one))
        inside = (
            box.left <= mine.left and mine.right <= box.right and box.low <= mine.low <= mine.high <= box.high
        )
        if inside and not any(mine.overlaps(_padded(other)) for other in taken):
            return one
    return tries[0]


def _padded(box: Box) -> Box:
    return Box(box.left - 3.0, box.low, box.right + 3.0, box.high)
