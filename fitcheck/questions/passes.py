"""How many passes wet every bit of a part, turned how between them, and overlapping by how much.

One pass is `dip`. In two passes each wets the part up to the liquid line: along a line from end to end of the
part that is all up to one place, or from one place on. The poses looked at are square in plan, hung from one
end that is let down as deep as the rules allow, or level; in straight walls such a pose is reached straight
down. Three passes and more are not looked for.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.cells import rotations
from fitcheck.geometry.overhang import lowest_lift_mm
from fitcheck.geometry.wetted import dry_share
from fitcheck.questions.case import Case, case_of
from fitcheck.questions.dip import dip
from fitcheck.questions.fill import fill_at
from fitcheck.questions.prove import recheck_pass
from fitcheck.things.answers import DoesNotFit, Fits
from fitcheck.things.part import Part
from fitcheck.things.passes import Pass, PassAnswer, Turn, Window
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Tank
from fitcheck.words.units import RAD_PER_DEGREE

# Tilts looked at one by one; a window narrower than this may be passed by. Its ends are found by halving.
STEP_DEG, HALVINGS = 0.1, 40
# Angles are set with a spirit level: whole degrees where they work, else finer.
ANGLE_STEPS_DEG = (1.0, 0.5, 0.1, 0.05)
QUARTER, HALF = math.pi / 2.0, math.pi
# How the part may be rolled in the first pass: as drawn, over, or on an edge.
ROLLS_RAD = (0.0, HALF, QUARTER, -QUARTER)
# By how much the roll changes when the part is turned.
TURNED_RAD: dict[Turn, float] = {"same face up": 0.0, "upside down": HALF, "rolled over": HALF}
END_FOR_END: tuple[Turn, ...] = ("same face up", "upside down")


@dataclass(frozen=True, slots=True, eq=False)
class _Hung:
    """One way to let the part down; up . p <= line_mm is wet, in the part's frame.

    raised: not all the way down to the bottom clearance, or it would touch the rim.
    """

    rotation: Floats
    shift_mm: Floats
    up: Floats
    line_mm: float
    raised: bool


@dataclass(frozen=True, slots=True, eq=False)
class _Two:
    """Two passes with a turn between them, and the least that they share along the part (or across it)."""

    turn: Turn
    hung: tuple[_Hung, _Hung]
    shared_mm: float


def passes(part: Part, tank: Tank) -> PassAnswer:
    """Tell in how many passes the part gets wet all over in this tank.

    "fits" with one pass where `dip` fits, or with two that keep every clearance and the overlap, tapes
    included, their poses looked at again by exact distance; "measure again" where the tapes decide; "not
    found" otherwise, with the best two that were found. That one pass will not do is proven by `dip`.
    """
    one = dip(part, tank, with_cures=False)
    names = (part.name, tank.name)
    if isinstance(one, Fits):
        only = Pass(one.advice.pose, one.advice.fill.level_mm, 1.0, one.advice.fill)
        return PassAnswer(*names, "fits", "it goes under in one pass", (only,), None, None, 1.0, 1, ())
    at_least = 2 if isinstance(one, DoesNotFit) else 1
    case = case_of(part, tank)
    windows = tuple(window for turn in END_FOR_END for window in _windows(case, turn, 0.0, 0.0))
    found = _advised(case, case.tape_mm)
    if found is not None:
        reason = "two passes wet all of it, tapes included; one is " + _not(at_least)
        return _answer(case, found, ("fits", reason), at_least, windows)
    found = _advised(case, 0.0)
    if found is not None:
        reason = "two passes wet all of it by the sizes given; the tapes decide, so measure again"
        return _answer(case, found, ("measure again", reason), at_least, windows)
    best = max(_tries(case, 0.0), key=lambda two: _covered(case, two), default=None)
    reason = "no two passes were found that wet all of it with the overlap; three are not looked for"
    if best is None:
        reason = "no way was found to let it down in part, square in plan"
        return PassAnswer(*names, "not found", reason, (), None, None, 0.0, at_least, windows)
    return _answer(case, best, ("not found", reason), at_least, windows)


def _not(at_least: int) -> str:
    return "proven not to do" if at_least == 2 else "not proven not to do"


def _answer(
    case: Case, two: _Two, said: tuple[str, str], at_least: int, windows: tuple[Window, ...]
) -> PassAnswer:
    part, tank = case.part, case.tank
    return PassAnswer(
        part.name,
        tank.name,
        said[0],  # type: ignore[arg-type]
        said[1],
        tuple(_pass(case, hung) for hung in two.hung),
        two.turn,
        two.shared_mm,
        _covered(case, two),
        at_least,
        windows,
    )


def _covered(case: Case, two: _Two) -> float:
    """Return the share of the surface that two passes wet."""
    ups = np.array([hung.up for hung in two.hung])
    return 1.0 - dry_share(case.part.solid, ups, np.array([hung.line_mm for hung in two.hung]))


def _pass(case: Case, hung: _Hung) -> Pass:
    part, tank = case.part, case.tank
    level = _level_mm(case)
    pose = _pose(case, hung)
    covers = 1.0 - dry_share(part.solid, hung.up[None, :], np.array([hung.line_mm]))
    return Pass(pose, level, covers, fill_at(part, pose, tank, level))


def _pose(case: Case, hung: _Hung) -> Pose:
    shift = hung.shift_mm - hung.rotation @ case.points.middle_mm
    return Pose(f"tank {case.tank.name}", f"part {case.part.name}", hung.rotation, shift)


def _level_mm(case: Case) -> float:
    """Return the highest level that the freeboard leaves."""
    return case.tank.depth_mm - case.tank.rules.freeboard_mm


def _advised(case: Case, tape_mm: float) -> _Two | None:
    """Return the two passes to advise; None where none were found that keep the clearances and the overlap.

    Rolled over level where that does; else end for end and let all the way down, at the lowest tilt; else
    the same, raised over the rim.
    """
    overlap = case.tank.rules.overlap_mm + tape_mm
    for two in _hopeful(case, tape_mm):
        if two is None or two.shared_mm < overlap:
            continue
        if all(recheck_pass(case.part, case.tank, _pose(case, hung)).holds for hung in two.hung):
            return two
    return None


def _hopeful(case: Case, tape_mm: float) -> Iterator[_Two | None]:
    for roll in ROLLS_RAD:
        yield _at(case, "rolled over", 0.0, roll, tape_mm)
    for raised in (False, True):
        for roll in ROLLS_RAD:
            for turn in END_FOR_END:
                for window in _windows(case, turn, roll, tape_mm, raised):
                    yield _at(case, turn, _round_tilt(window), roll, tape_mm)


def _round_tilt(window: Window) -> float:
    """Return the lowest tilt in a window in whole degrees, else in ever finer steps, else its middle."""
    for step_deg in ANGLE_STEPS_DEG:
        step = step_deg * RAD_PER_DEGREE
        tilt = math.ceil(window.low_rad / step) * step
        if tilt <= window.high_rad:
            return tilt
    return (window.low_rad + window.high_rad) / 2.0


def _tries(case: Case, tape_mm: float) -> Iterator[_Two]:
    """Give two passes at every whole degree and turn, where the part can be let down so."""
    for roll in ROLLS_RAD:
        for turn in (*END_FOR_END, "rolled over"):
            degrees = (0,) if turn == "rolled over" else range(1, 91)
            for degree in degrees:
                two = _at(case, turn, degree * RAD_PER_DEGREE, roll, tape_mm)
                if two is not None:
                    yield two


def _windows(case: Case, turn: Turn, roll_rad: float, tape_mm: float, raised: bool = False) -> list[Window]:
    """Return the ranges of tilt in which two passes, so turned, share the overlap.

    raised: also those where the part is raised over the rim.
    """
    overlap = case.tank.rules.overlap_mm + tape_mm

    def works(tilt_rad: float) -> bool:
        two = _at(case, turn, tilt_rad, roll_rad, tape_mm)
        if two is None or two.shared_mm < overlap:
            return False
        return raised or not any(hung.raised for hung in two.hung)

    def edge(out_rad: float, in_rad: float) -> float:
        for _ in range(HALVINGS):
            middle = (out_rad + in_rad) / 2.0
            out_rad, in_rad = (out_rad, middle) if works(middle) else (middle, in_rad)
        return in_rad

    step = STEP_DEG * RAD_PER_DEGREE
    tilts = np.linspace(step, QUARTER, round(QUARTER / step))
    enough = _at_most_mm(case, turn, tilts, roll_rad, tape_mm) >= overlap
    hopeful = dict(zip(tilts.tolist(), enough.tolist(), strict=True))
    found: list[Window] = []
    start: float | None = None
    before = 0.0
    for tilt in [*hopeful, math.inf]:
        working = math.isfinite(tilt) and hopeful[tilt] and works(tilt)
        if working and start is None:
            start = edge(before, tilt)
        if not working and start is not None:
            end = before if math.isinf(tilt) else edge(tilt, before)
            found.append(Window(turn, start, end))
            start = None
        before = tilt
    return found


def _at(case: Case, turn: Turn, tilt_rad: float, roll_rad: float, tape_mm: float) -> _Two | None:
    """Return two passes at a tilt, the part turned between them; None where it cannot be let down so."""
    first = Angles(tilt_rad, roll_rad, 0.0)
    swing = 0.0 if turn == "rolled over" else HALF
    second = Angles(-tilt_rad, _within_half(roll_rad + TURNED_RAD[turn]), swing)
    hung = tuple(_let_down(case, angles, tape_mm) for angles in (first, second))
    if hung[0] is None or hung[1] is None:
        return None
    return _Two(turn, (hung[0], hung[1]), _shared_mm(case, hung[0], hung[1], turn))


def _at_most_mm(case: Case, turn: Turn, tilts_rad: Floats, roll_rad: float, tape_mm: float) -> Floats:
    """Return for tilts (k,) what two passes share at most: were there no rim, and walls at the sides only."""
    rules, width = case.tank.rules, case.tank.size_mm[1]
    points, other = case.points.all_mm, _within_half(roll_rad + TURNED_RAD[turn])
    ends = []
    for sign, roll in ((1.0, roll_rad), (-1.0, other)):
        angles = np.column_stack([np.zeros_like(tilts_rad), sign * tilts_rad, np.full_like(tilts_rad, roll)])
        turned = np.einsum("kij,nj->kin", rotations(angles), points)
        narrow = np.ptp(turned[:, 1], axis=1) <= width - 2.0 * (rules.side_clearance_mm + tape_mm)
        up = rotations(angles)[:, 2]
        line = _level_mm(case) - rules.bottom_clearance_mm - tape_mm + turned[:, 2].min(axis=1)
        along = (line[:, None] - up[:, 1:] @ points[:, 1:].T) / up[:, :1]
        ends.append(np.where(narrow[:, None], along, -sign * np.inf))
    return np.asarray((ends[0] - ends[1]).min(axis=1))


def _within_half(angle_rad: float) -> float:
    return angle_rad - 2.0 * HALF * math.ceil(angle_rad / (2.0 * HALF) - 0.5)


def _let_down(case: Case, angles: Angles, tape_mm: float) -> _Hung | None:
    """Return the part let down as deep as it goes at an attitude; None where the walls are too near.

    Its low end is near one end wall, the other end out over the opposite rim where it is too long.
    """
    attitude, rules, tank = case.part.attitude, case.tank.rules, case.tank
    swing = min(abs(angles.swing_rad), HALF - abs(angles.swing_rad))
    if abs(angles.tilt_rad) > attitude.tilt_rad or abs(angles.roll_rad) > attitude.roll_rad:
        return None
    if swing > attitude.swing_rad:
        return None
    length, width, depth = tank.size_mm
    clear = rules.side_clearance_mm + tape_mm
    rotation = rotation_from(angles)
    points = case.points.all_mm @ rotation.T
    low, high = points.min(axis=0), points.max(axis=0)
    if high[1] - low[1] > width - 2.0 * clear:
        return None
    along = clear - low[0]
    outline = points[:, [0, 2]] + np.array([along, 0.0])
    down = rules.bottom_clearance_mm + tape_mm - float(low[2])
    lift = max(down, lowest_lift_mm(outline, (length, depth), clear))
    shift = np.array([along, (width - high[1] - low[1]) / 2.0, lift])
    up = rotation[2]
    line = _level_mm(case) - lift + float(up @ case.points.middle_mm)
    return _Hung(rotation, shift, up, line, lift > down)


def _shared_mm(case: Case, first: _Hung, second: _Hung, turn: Turn) -> float:
    """Return the least that two passes share: along the part, or over its height where it is rolled over.

    Along every line from end to end of the part's box the wet stretch of one pass ends, and that of the other
    begins, at places that change evenly over the part's outline, so the least is at a corner of it.
    """
    points = case.part.solid.vertices_mm
    if turn == "rolled over":
        return float((first.line_mm + second.line_mm) - ((first.up + second.up) @ points.T).max())
    ends = [(hung.line_mm - points[:, 1:] @ hung.up[1:]) / hung.up[0] for hung in (first, second)]
    return float((ends[0] - ends[1]).min())
