"""The bands of a map: from which litres on, in which colours, and the rings round them."""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING, Any

import numpy as np

from fitcheck.draw.ink import AIR, AIR_LINE, SURFACE
from fitcheck.geometry.liquid.attitude_map import SPOONFUL_L
from fitcheck.say.held_words import NOTHING_L
from fitcheck.things.pockets import PocketKind
from fitcheck.things.shop import Show
from fitcheck.things.solid import Floats
from fitcheck.words.units import LITRES_PER_GALLON

if TYPE_CHECKING:
    from contourpy import ContourGenerator

# More bands than this are not told apart at two steps.
_MOST_BANDS = 6
_STEPS = ((1.0, 2.0, 5.0), (1.0, 5.0), (1.0,))
# The second band begins at no less than so many times the first.
_APART = 1.5
# From the lightest band to the darkest, by way of the colour that a pocket has in the views; one hue each.
_RAMPS: dict[PocketKind, tuple[str, str, str]] = {
    "air": ("#fbe7bd", AIR, AIR_LINE),
    "liquid": ("#d5e7f4", "#6ba8d6", SURFACE),
}


def levels_l(most_l: float, show: Show) -> tuple[float, ...]:
    """Return where the bands begin, in litres: at a spoonful, then at round figures in the shop's unit.

    A part that never holds a spoonful has its bands from what is called nothing on. Every band is reached,
    but for the first where even that is not.
    """
    first = SPOONFUL_L if most_l > SPOONFUL_L else NOTHING_L
    unit_l = LITRES_PER_GALLON if show == "ft-in" else 1.0
    decades = range(
        math.floor(math.log10(first / unit_l)), math.ceil(math.log10(max(most_l, first) / unit_l)) + 1
    )
    for steps in _STEPS:
        round_l = [step * 10.0**decade * unit_l for decade in decades for step in steps]
        levels = [first, *(litres for litres in round_l if _APART * first < litres < most_l)]
        if len(levels) <= _MOST_BANDS:
            break
    return tuple(levels[:_MOST_BANDS])


def colours(kind: PocketKind, bands: int) -> tuple[str, ...]:
    """Return a colour for each band, the lightest first."""
    ramp = np.array([_rgb(colour) for colour in _RAMPS[kind]])
    # The darkest is kept for the last band of a full map.
    places = np.arange(bands) * 2.0 / (_MOST_BANDS - 1)
    mixed = np.column_stack([np.interp(places, range(len(ramp)), ramp[:, k]) for k in range(3)])
    return tuple("#" + "".join(f"{round(float(v)):02x}" for v in row) for row in mixed)


def _rgb(colour: str) -> tuple[int, ...]:
    return tuple(int(colour[i : i + 2], 16) for i in (1, 3, 5))


def rings_between(across: Floats, up: Floats, values: Floats, low: float, high: float) -> tuple[Floats, ...]:
    """Return the rings (n, 2) round where values (a, u) on a grid are between two levels.

    Between the grid's points values are taken to change evenly. Holes run clockwise.
    """
    # For this kind of filling: the points of each outline, and where its outer ring and its holes begin.
    outlines: Any = _lines(across, up, values).filled(low, high)
    return tuple(
        np.asarray(ring[begin : end - 1])
        for ring, cuts in zip(*outlines, strict=True)
        for begin, end in itertools.pairwise(cuts)
    )


def line_at(across: Floats, up: Floats, values: Floats, level: float) -> tuple[Floats, ...]:
    """Return the lines (n, 2) along which values (a, u) on a grid are at a level."""
    return tuple(np.asarray(line) for line in _lines(across, up, values).lines(level))


def _lines(across: Floats, up: Floats, values: Floats) -> ContourGenerator:
    from contourpy import FillType, LineType, contour_generator

    return contour_generator(
        across, up, values.T, fill_type=FillType.OuterOffset, line_type=LineType.Separate
    )
