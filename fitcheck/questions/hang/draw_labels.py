"""What stands beside each leg in the picture of a lift: its number, its angle and its pull."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.dimension import spread
from fitcheck.draw.flat import Frame
from fitcheck.draw.ink import Area, Label, Mark, Marks, Stroke, box_of, text_size
from fitcheck.draw.outline import SIDE, region_of, silhouette
from fitcheck.questions.hang.answer import HangAnswer
from fitcheck.questions.hang.draw_scene import Lift
from fitcheck.things.shop import Show
from fitcheck.words.units import show_angle, show_force

_PRINT_PT = 14.0
# From a leg, or from the part where it is in the way, to a label.
_BESIDE_PT = 8.0
# Between labels, and between a label and the pick under it.
_AIR_PT = 4.0


@dataclass(frozen=True, slots=True)
class LegLabel:
    """The words of one leg, or of legs on one side that look alike; toward: -1 left of them, 1 right.

    leg_mm: (across, height) of the leg's middle. low_mm: the height of the lowest pick on that side.
    """

    words: str
    toward: float
    leg_mm: tuple[float, float]
    low_mm: float

    @property
    def size_pt(self) -> tuple[float, float]:
        """How much of the sheet the words take."""
        return text_size(self.words, _PRINT_PT, bold=True)


@dataclass(frozen=True, slots=True)
class Placed:
    """A label and where its inner end stands, in mm of the view."""

    label: LegLabel
    across_mm: float
    height_mm: float


def labels_of(answer: HangAnswer, lift: Lift, show: Show) -> tuple[LegLabel, ...]:
    """Return number, angle and pull in air of each leg; legs of one angle and pull on one side share them."""
    labels = []
    for toward in (-1.0, 1.0):
        groups: dict[str, list[int]] = {}
        for k, leg in enumerate(answer.legs):
            side = 1.0 if lift.picks_mm[k, 0] > lift.hook_mm[0] else -1.0
            if side == toward:
                words = f"{show_angle(leg.angle_rad)}\n{show_force(leg.tension_n, show)}"
                groups.setdefault(words, []).append(k)
        low = min((float(lift.picks_mm[k, 2]) for ks in groups.values() for k in ks), default=0.0)
        for words, ks in groups.items():
            numbers = ", ".join(str(k + 1) for k in ks)
            middle = (lift.picks_mm[ks].mean(axis=0) + lift.hook_mm) / 2.0
            each = " each" if len(ks) > 1 else ""
            at = (float(middle[0]), float(middle[2]))
            labels.append(LegLabel(f"{numbers}: {words}{each}", toward, at, low))
    return tuple(labels)


def placed(labels: Sequence[LegLabel], lift: Lift, scale: float) -> list[Placed]:
    """Return the places of labels at a scale: beside their legs, over the picks, off the part."""
    found = []
    for toward in (-1.0, 1.0):
        side = [label for label in labels if label.toward == toward]
        if not side:
            continue
        heights = [(label.size_pt[1] + _AIR_PT) / scale for label in side]
        # Over the middle of its leg, which slants down outwards, a label hides none of it.
        wanted = [label.leg_mm[1] + height / 2.0 for label, height in zip(side, heights, strict=True)]
        middles = spread(wanted, heights, side[0].low_mm, math.inf)
        for label, middle in zip(side, middles, strict=True):
            found.append(Placed(label, _inner_mm(label, middle, lift, scale), middle))
    return found


def _inner_mm(label: LegLabel, middle: float, lift: Lift, scale: float) -> float:
    """Return where a label begins: just beside its leg, or beyond the part where that is in the way."""
    toward, away = label.toward, _BESIDE_PT / scale
    wide, tall = (size / scale for size in label.size_pt)
    inner = label.leg_mm[0] + toward * away
    ends = sorted((inner, inner + toward * wide))
    taken = _part_between(lift, middle, tall)
    if taken is None or taken[1] < ends[0] or taken[0] > ends[1]:
        return inner
    return taken[1] + away if toward > 0.0 else taken[0] - away


def _part_between(lift: Lift, middle: float, tall: float) -> tuple[float, float] | None:
    """Return from where to where the part reaches at the heights that a label takes; None for nowhere."""
    left, right = float(lift.low_mm[0]), float(lift.high_mm[0])
    low, high = middle - tall / 2.0, middle + tall / 2.0
    ring = np.array([[left, low], [right, low], [right, high], [left, high]])
    there = silhouette(lift.here.part, SIDE) ^ region_of([ring])
    if there.is_empty():
        return None
    x0, _, x1, _ = there.bounds()
    return float(x0), float(x1)


def beyond_pt(labels: Sequence[LegLabel], lift: Lift, scale: float) -> tuple[float, float]:
    """Return how far labels reach beyond the view, left and right, at a scale."""
    left = right = 0.0
    for each in placed(labels, lift, scale):
        wide = each.label.size_pt[0] + _AIR_PT
        if each.label.toward < 0.0:
            left = max(left, wide - scale * (each.across_mm - float(lift.low_mm[0])))
        else:
            right = max(right, wide - scale * (float(lift.high_mm[0]) - each.across_mm))
    return left, right


def leg_labels(labels: Sequence[LegLabel], lift: Lift, frame: Frame) -> Marks:
    """Return the labels with leaders to their legs."""
    marks: list[Mark] = []
    for each in placed(labels, lift, frame.scale):
        label = each.label
        leg = np.array([frame.across(label.leg_mm[0]), frame.height(label.leg_mm[1])])
        at = (frame.across(each.across_mm), frame.height(each.height_mm))
        align: ink.Align = "left" if label.toward > 0.0 else "right"
        words = Label(label.words, at, _PRINT_PT, True, ink.SURFACE, align)
        leader = Stroke((np.array([leg, [at[0] - 2.0 * label.toward, at[1]]]),), ink.FAINT, 0.9)
        marks += [leader, Area((box_of(words).ring,), fill=ink.PAPER), words]
    return tuple(marks)
