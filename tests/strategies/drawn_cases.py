"""Random parts in random tanks, most of them a close call, and what must hold of every answer to them."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from oracles.referee import Room, room_of, roomiest, sampled, spares, tops, turned
from strategies.solids import box, hulled, part_of, tank_of

from fitcheck.questions.dip.answer import DipAnswer, DoesNotFit, Fits, Prefer
from fitcheck.questions.dip.ask import dip
from fitcheck.things.part import Attitude, Part
from fitcheck.things.pose import Pose
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Rules, Tank

# What dip says that it forgives (a millionth of a mm twice over), and sums of metres in double precision.
FORGIVEN_MM = 3e-6
# That much at a wall that leans by 1 in 100 lets a part down by a hundred times as much.
LEVEL_MM = 100.0 * FORGIVEN_MM
PREFERENCES: tuple[Prefer, ...] = ("level", "least-liquid", "most-room")
KINDS = ((1.0, 0.08, 0.05), (1.0, 0.7, 0.02), (1.0, 0.6, 0.4), (1.0, 0.3, 0.01))


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """A case, and how the referee sees it: the room, and swing, tilt, roll from low to high."""

    part: Part
    tank: Tank
    room: Room
    low: Floats
    high: Floats
    prefer: Prefer


def drawn(seed: int) -> Drawn:
    """Return a random case in which the part is about as large as just goes in."""
    rng = np.random.default_rng(seed)
    size = rng.uniform(300.0, 3000.0, 3)
    corners = box(size).vertices_mm
    if rng.random() < 0.3:
        narrow = rng.uniform(0.5, 1.0, 2) if rng.random() < 0.7 else rng.uniform(1.0, 1.3, 2)
        floor = corners[:, 2] == 0.0
        corners = corners.copy()
        corners[floor, :2] = (corners[floor, :2] - size[:2] / 2.0) * narrow + size[:2] / 2.0
        corners[:, :2] -= corners[:, :2].min(axis=0)
    clear = rng.uniform(0.0, 30.0, 4) * (rng.random(4) < 0.7)
    rules = Rules(*clear.tolist())
    points = _shape(rng)
    limits = np.array([math.pi, math.pi / 2.0, math.pi])
    if rng.random() < 0.4:
        limits *= rng.choice([0.0, 0.1, 0.3, 1.0], 3)
    room = room_of(corners, rules)
    points = (
        points * _just_going_in(room, points, sampled(rng, -limits, limits, 300)) * rng.uniform(0.96, 1.1)
    )
    attitude = Attitude(swing_rad=limits[0], tilt_rad=limits[1], roll_rad=limits[2])
    part = replace(part_of(hulled(points)), attitude=attitude)
    prefer = PREFERENCES[int(rng.integers(3))]
    return Drawn(part, tank_of(hulled(corners), rules), room, -limits, limits, prefer)


def _shape(rng: np.random.Generator) -> Floats:
    kind = np.array(KINDS[int(rng.integers(len(KINDS)))])
    if rng.random() < 0.3:
        return box(kind).vertices_mm
    return np.asarray(rng.uniform(-0.5, 0.5, (int(rng.integers(6, 30)), 3)) * kind)


def _just_going_in(room: Room, points: Floats, angles: Floats) -> float:
    """Return the scale at which the best of some rotations has no spare."""
    rotations = turned(angles)
    small, large = 0.0, 1e5
    # Forty halvings of 1e5 leave less than 1e-6.
    for _ in range(40):
        scale = (small + large) / 2.0
        fits = spares(room, scale * points, rotations).max() > 0.0
        small, large = (scale, large) if fits else (small, scale)
    return small


def judged(seed: int, tries: int = 300, starts: int = 2) -> DipAnswer:
    """Ask about a random case, and assert all that must hold of the answer, whatever it is."""
    case = drawn(seed)
    answer = dip(case.part, case.tank, case.prefer, with_cures=False)
    rng = np.random.default_rng(seed + 1)
    points = case.part.solid.vertices_mm
    best, at = roomiest(case.room, points, (case.low, case.high), rng, tries, starts)
    spare = answer.spare
    assert best <= spare.at_most_mm + FORGIVEN_MM, f"seed {seed}: {best} at {at} is over {spare}"
    assert spare.mm <= spare.at_most_mm + FORGIVEN_MM
    assert (spare.low_mm, spare.high_mm) == (spare.mm, spare.at_most_mm), "there is no tape here"
    if isinstance(answer, DoesNotFit):
        assert best < 0.0, f"seed {seed}: it fits at {at}, by {best} mm"
    if isinstance(answer, Fits):
        _check_poses(case, answer)
        _check_level(case, answer, rng, tries)
    return answer


def _check_poses(case: Drawn, answer: Fits) -> None:
    for pose in (answer.advice.pose, answer.roomiest, answer.least.pose):
        assert clear_by(case, pose) >= -FORGIVEN_MM, f"{pose.angles} breaks a clearance"
        tilt, roll, swing = pose.angles
        angles = np.array([swing, tilt, roll])
        within = (np.abs(angles) <= case.high + 1e-9).all()
        # A part on end has swing and roll about one axis, and any split of the turn between them is the same.
        assert within or abs(angles[1]) > math.pi / 2.0 - 1e-6, f"{angles} is not allowed"
    points, rotations = case.part.solid.vertices_mm, answer.roomiest.rotation[None]
    assert abs(spares(case.room, points, rotations)[0] - answer.spare.mm) <= FORGIVEN_MM
    advised = spares(case.room, points, answer.advice.pose.rotation[None])[0]
    assert abs(advised - answer.advice.spare_mm) <= FORGIVEN_MM
    assert advised <= answer.spare.at_most_mm + FORGIVEN_MM


def clear_by(case: Drawn, pose: Pose) -> float:
    """Return the least distance of the placed vertices behind the planes of the room."""
    placed = pose.apply(case.part.solid.vertices_mm)
    return float((case.room.offsets - placed @ case.room.normals.T).min())


def _check_level(case: Drawn, answer: Fits, rng: np.random.Generator, tries: int) -> None:
    least, cover = answer.least, case.tank.rules.cover_mm
    assert least.at_least_mm <= least.level_mm
    points = case.part.solid.vertices_mm
    top = float(least.pose.apply(points)[:, 2].max())
    assert abs(top + cover - least.level_mm) <= LEVEL_MM
    level = answer.advice.fill.level_mm
    assert abs(answer.advice.pose.apply(points)[:, 2].max() + cover - level) <= FORGIVEN_MM
    assert level >= least.at_least_mm - LEVEL_MM
    tilt, roll, swing = least.pose.angles
    around = np.clip([swing, tilt, roll] + rng.normal(0.0, 0.02, (tries, 3)), case.low, case.high)
    angles = np.vstack([sampled(rng, case.low, case.high, tries), around])
    lowest = tops(case.room, points, turned(angles)).min() + cover
    assert lowest >= least.at_least_mm - FORGIVEN_MM, f"{lowest} is under the proven {least.at_least_mm}"
