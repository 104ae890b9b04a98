"""The heights that the picture of a lift shows, on tiers left and right of the view."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.draw import ink
from fitcheck.draw.dimension import Span, chain_beside
from fitcheck.draw.flat import Frame
from fitcheck.draw.ink import Box, Marks, text_size
from fitcheck.questions.hang.answer import HangAnswer
from fitcheck.questions.hang.draw_scene import Lift
from fitcheck.things.shop import Show
from fitcheck.words.rounding import at_most
from fitcheck.words.units import show_length

_PRINT_PT = 14.0
_TIER_PT = 12.0
_OVER_PT = 2.0
# From a tier to the far edge of its words: the gap to them, a leader, and air.
_WORDS_AIR_PT = 22.0


@dataclass(frozen=True, slots=True)
class Height:
    """One height: from one level to another over the tank's floor, in words."""

    low_mm: float
    high_mm: float
    words: str
    colour: str = ink.INK


@dataclass(frozen=True, slots=True)
class Tiers:
    """What stands left of the view, on one tier, and right of it, on a tier each."""

    lefts: tuple[Height, ...]
    rights: tuple[Height, ...]

    @property
    def left(self) -> float:
        """What the tier left of the view takes of the sheet, in points."""
        return _wide(self.lefts)

    @property
    def right(self) -> float:
        """What the tiers right of the view take of the sheet, in points."""
        return sum(_wide((each,)) for each in self.rights)


def tiers_of(answer: HangAnswer, lift: Lift, show: Show) -> Tiers:
    """Return the rim's height, the gap over it and the rise; and how high the hook must go, and can."""
    depth, hook_mm, floor = lift.tank.depth_mm, float(lift.hook_mm[2]), lift.floor_mm
    lowest = float(lift.here.part.vertices_mm[:, 2].min())
    clear = Height(depth, lowest, f"about {at_most(answer.hook.clear_mm, show)}\nover the rim")
    rise = Height(float(lift.picks_mm[:, 2].max()), hook_mm, f"{show_length(answer.rise_mm, show)}\nrise")
    if floor is None or answer.hook.needed_mm is None:
        return Tiers((clear, rise), ())
    rim = Height(floor, depth, f"{show_length(depth - floor, show)}\nrim")
    short = "hook too low" in answer.faults
    words = f"{at_most(answer.hook.needed_mm, show)}\nhook needs"
    rights = [Height(floor, hook_mm, words, ink.WARNING if short else ink.INK)]
    if lift.highest_mm is not None:
        goes = f"{show_length(lift.highest_mm - floor, show)}\nhook goes to"
        rights.append(Height(floor, lift.highest_mm, goes))
    return Tiers((rim, clear, rise), tuple(rights))


def tier_marks(tiers: Tiers, ends: tuple[float, float], frame: Frame, box: Box) -> Marks:
    """Return the dimension lines left and right of what lies between two ends across the sheet.

    Their words stay within the box, and over the lowest level that is measured.
    """
    left, right = ends
    low = frame.height(tiers.lefts[0].low_mm) + _OVER_PT
    spans = [_span(each, frame, left) for each in tiers.lefts]
    marks = [*chain_beside(spans, left - _TIER_PT, low, box.high, right=False)]
    at = right
    for each in tiers.rights:
        marks += chain_beside([_span(each, frame, right)], at + _TIER_PT, low, box.high)
        at += _wide((each,))
    return tuple(marks)


def _span(each: Height, frame: Frame, foot: float) -> Span:
    low, high = frame.height(each.low_mm), frame.height(each.high_mm)
    return Span(low, high, foot, foot, each.words, _PRINT_PT, each.colour != ink.INK, each.colour)


def _wide(tier: tuple[Height, ...]) -> float:
    words = (text_size(each.words, _PRINT_PT, bold=each.colour != ink.INK)[0] for each in tier)
    return _TIER_PT + _WORDS_AIR_PT + max(words, default=0.0)
