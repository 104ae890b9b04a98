"""Two passes with a turn between them: end for end, or over about the part's length.

Seen from the side, a pass let all the way down wets the part up to a line; along every line from end to end
of the part that is all up to one place, or from one place on, so two passes share the same along all of a
face, and the least at a corner of the part's outline.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from fitcheck.geometry.liquid.overhang import ROUNDING_MM, lowest_lift_mm
from fitcheck.geometry.solver.interval_bisection import bisected
from fitcheck.questions.passes.answer import Turn, Window
from fitcheck.questions.passes.let_down import LetDown, OverTank, let_down, settled
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.solid import Floats
from fitcheck.words.units import RAD_PER_DEGREE

# No window wider than this is passed by: far finer than anybody can set an angle.
FINEST_RAD = 1e-9
# Angles are set with a spirit level: whole degrees where they work, else finer.
ANGLE_STEPS_DEG = (1.0, 0.5, 0.1, 0.05)
QUARTER, HALF = math.pi / 2.0, math.pi
# How the part may be rolled in the first pass: as drawn, over, or on an edge.
ROLLS_RAD = (0.0, HALF, QUARTER, -QUARTER)
# By how much the roll changes when the part is turned.
TURNED_RAD: dict[Turn, float] = {"same face up": 0.0, "upside down": HALF, "rolled over": HALF}
END_FOR_END: tuple[Turn, ...] = ("same face up", "upside down")
# A window is shown to be one by exact distances this far inside its ends, where rounding no longer decides.
INSIDE_RAD = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Two:
    """Two passes with a turn between them, and the least that they share along the part (or across it)."""

    turn: Turn
    ways: tuple[LetDown, LetDown]
    shared_mm: float


@dataclass(frozen=True, eq=False)
class EndForEnd:
    """Two passes at tilts of one size, the part rolled by roll_rad, let all the way down, turned end for end.

    Everything that decides changes with the tilt no faster than the part's points move, which bounds it over
    a range of tilts from what it is in the middle.
    """

    over: OverTank
    turn: Turn
    roll_rad: float
    tape_mm: float

    @cached_property
    def _outlines(self) -> tuple[Floats, Floats]:
        """Along and up of the points in the two passes, level, the low end to the left in both."""
        points = self.over.outline_mm
        one, two = (points @ np.array(self._up(roll)).T for roll in self._rolls)
        return np.column_stack([points[:, 0], one]), np.column_stack([-points[:, 0], two])

    @property
    def _rolls(self) -> tuple[float, float]:
        return self.roll_rad, within_half(self.roll_rad + TURNED_RAD[self.turn])

    @staticmethod
    def _up(roll: float) -> tuple[float, float, float]:
        return 0.0, math.sin(roll), math.cos(roll)

    @cached_property
    def _apart_mm(self) -> float:
        """By how much level faces of the two passes lie apart at most: their heights add up to this."""
        first, second = self._outlines
        return float((first[:, 1] + second[:, 1]).max())

    @cached_property
    def _wide_mm(self) -> tuple[float, float]:
        """How much of the tank's width the two passes take."""
        points = self.over.outline_mm
        first, second = (float(np.ptp(points @ rotation_from(Angles(0.0, roll))[1])) for roll in self._rolls)
        return first, second

    @cached_property
    def _lever_mm(self) -> float:
        return float(max(np.hypot(outline[:, 0], outline[:, 1]).max() for outline in self._outlines))

    def windows(self) -> list[Window]:
        """Return the ranges of tilt in which the two share the overlap; none over `FINEST_RAD` is missed.

        Where walls are not upright, or something stands in the tank, only those whose ends and middle hold by
        exact distance.
        """
        tank = self.over.case.tank
        if tank.is_box and not tank.standing:
            return self.hopeful()
        return [window for window in self.hopeful() if self._looked_at(window)]

    def hopeful(self) -> list[Window]:
        """Return the same as if walls were upright and nothing stood in the tank."""
        case = self.over.case
        rules, attitude = case.tank.rules, case.part.attitude
        room = case.tank.size_mm[1] - 2.0 * (rules.side_clearance_mm + self.tape_mm) + ROUNDING_MM
        if max(self._wide_mm) > room or max(abs(roll) for roll in self._rolls) > attitude.roll_rad:
            return []
        found = bisected(0.0, min(QUARTER, attitude.tilt_rad), self.judge, FINEST_RAD)
        return [Window(self.turn, low, high) for low, high in found]

    def judge(self, tilt_rad: float, half_rad: float) -> bool | None:
        """Tell whether all tilts within half_rad share the overlap (True), none does (False), or neither."""
        rules, tank = self.over.case.tank.rules, self.over.case.tank
        overlap = rules.overlap_mm + self.tape_mm
        moves = half_rad * (2.0 * self._lever_mm + abs(self._apart_mm) + overlap)
        spare = self._spare_mm(tilt_rad, overlap)
        if spare < -moves:
            return False
        # A point moves along and up, each by no more than the farthest other point is away.
        moves_point = half_rad * math.sqrt(2.0) * 2.0 * self._lever_mm
        clear, rim = rules.side_clearance_mm + self.tape_mm, (tank.size_mm[0], tank.depth_mm)
        placed = [self._placed(outline, tilt_rad, clear) for outline in self._outlines]
        sunk = max(moves_point - clear, 0.0)
        smaller = (rim[0] + sunk, rim[1] - sunk)
        if any(lowest_lift_mm(each, smaller, max(clear - moves_point, 0.0)) > ROUNDING_MM for each in placed):
            return False
        if spare >= moves and all(
            lowest_lift_mm(each, rim, clear + moves_point) <= ROUNDING_MM for each in placed
        ):
            return True
        return None

    def _spare_mm(self, tilt_rad: float, overlap_mm: float) -> float:
        """Return what the two share beyond the overlap, times the sine of the tilt."""
        rules = self.over.case.tank.rules
        wet = self.over.level_mm - rules.bottom_clearance_mm - self.tape_mm
        sine, cosine = math.sin(tilt_rad), math.cos(tilt_rad)
        lowest = sum(float((outline @ [sine, cosine]).min()) for outline in self._outlines)
        return 2.0 * wet + lowest - self._apart_mm * cosine - overlap_mm * sine

    def _placed(self, outline: Floats, tilt_rad: float, clear: float) -> Floats:
        """Return along and up of the points let all the way down, the low end near the low wall."""
        sine, cosine = math.sin(tilt_rad), math.cos(tilt_rad)
        turned = outline @ np.array([[cosine, sine], [-sine, cosine]])
        floor = self.over.case.tank.rules.bottom_clearance_mm + self.tape_mm
        placed: Floats = turned - turned.min(axis=0) + [clear, floor]
        return placed

    def _looked_at(self, window: Window) -> bool:
        inside = min(INSIDE_RAD, (window.high_rad - window.low_rad) / 2.0)
        middle = (window.low_rad + window.high_rad) / 2.0
        tilts = (window.low_rad + inside, middle, window.high_rad - inside)
        pairs = (two_at(self.over, self.turn, tilt, self.roll_rad, self.tape_mm) for tilt in tilts)
        return all(
            pair is not None
            and all(
                (way := settled(self.over, each, self.tape_mm)) and way.held_by == "floor"
                for each in pair.ways
            )
            for pair in pairs
        )


def two_at(
    over: OverTank, turn: Turn, tilt_rad: float, roll_rad: float, tape_mm: float, swing_rad: float = 0.0
) -> Two | None:
    """Return two passes at a tilt, the part turned between them; None where it may not be turned so."""
    across = 0.0 if turn == "rolled over" else HALF
    second = Angles(-tilt_rad, within_half(roll_rad + TURNED_RAD[turn]), within_half(swing_rad + across))
    ways = [let_down(over, angles, tape_mm) for angles in (Angles(tilt_rad, roll_rad, swing_rad), second)]
    if ways[0] is None or ways[1] is None:
        return None
    return Two(turn, (ways[0], ways[1]), shared_mm(over, (ways[0], ways[1])))


def shared_mm(over: OverTank, ways: tuple[LetDown, LetDown]) -> float:
    """Return the least that two passes share: along the part, or over its height where it is level in both.

    Along every line from end to end of the part's box the wet stretch of one pass ends, and that of the other
    begins, at places that change evenly over the part's outline, so the least is at a corner of it.
    """
    points = over.outline_mm + over.case.points.middle_mm
    first, second = ways
    if first.angles.tilt_rad == 0.0:
        return float((first.line_mm + second.line_mm) - ((first.up + second.up) @ points.T).max())
    ends = [(way.line_mm - points[:, 1:] @ way.up[1:]) / way.up[0] for way in ways]
    apart = ends[0] - ends[1] if first.up[0] > 0.0 else ends[1] - ends[0]
    return float(apart.min())


def advised(over: OverTank, tape_mm: float) -> Two | None:
    """Return the two passes to advise; None where none were found that keep the clearances and the overlap.

    Rolled over level where that does; else end for end and let all the way down, at the lowest tilt.
    """
    overlap = over.case.tank.rules.overlap_mm + tape_mm
    for two in _hopeful(over, tape_mm):
        if two is None or two.shared_mm < overlap - ROUNDING_MM:
            continue
        one, other = (settled(over, each, tape_mm) for each in two.ways)
        if one is None or other is None:
            continue
        # Raised over what stands in the tank, they share less.
        shared = shared_mm(over, (one, other))
        if shared >= overlap - ROUNDING_MM:
            return Two(two.turn, (one, other), shared)
    return None


def _hopeful(over: OverTank, tape_mm: float) -> Iterator[Two | None]:
    for roll in ROLLS_RAD:
        yield two_at(over, "rolled over", 0.0, roll, tape_mm)
    for roll in ROLLS_RAD:
        for turn in END_FOR_END:
            for window in EndForEnd(over, turn, roll, tape_mm).hopeful():
                for tilt in (round_tilt(window), (window.low_rad + window.high_rad) / 2.0):
                    yield two_at(over, turn, tilt, roll, tape_mm)


def round_tilt(window: Window) -> float:
    """Return the lowest tilt in a window in whole degrees, else in ever finer steps, else its middle."""
    for step_deg in ANGLE_STEPS_DEG:
        step = step_deg * RAD_PER_DEGREE
        tilt = math.ceil(window.low_rad / step) * step
        if tilt <= window.high_rad:
            return tilt
    return (window.low_rad + window.high_rad) / 2.0


def tries(over: OverTank, tape_mm: float) -> Iterator[Two]:
    """Give two passes at every fifth degree and turn, also raised over the rim."""
    for roll in ROLLS_RAD:
        for turn in (*END_FOR_END, "rolled over"):
            degrees = (0,) if turn == "rolled over" else range(5, 91, 5)
            for degree in degrees:
                two = two_at(over, turn, degree * RAD_PER_DEGREE, roll, tape_mm)
                if two is not None:
                    yield two


def within_half(angle_rad: float) -> float:
    """Return an angle within half a turn either way."""
    return angle_rad - 2.0 * HALF * math.ceil(angle_rad / (2.0 * HALF) - 0.5)
