"""One part in one tank: what the steps of a dip answer share, and searches within it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.best_shift import hung_low
from fitcheck.geometry.rotations.envelope import Envelope, envelope_of
from fitcheck.geometry.rotations.rotation_cells import Allowed
from fitcheck.geometry.rotations.rotation_search import FIT_MM, Budget, Least, Search
from fitcheck.geometry.rotations.rotation_symmetry import all_allowed, allowed, held
from fitcheck.geometry.rotations.support_function import farthest
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.solid import Floats, Mask
from fitcheck.things.tank import Tank

# A level is read off a stick to about 1 mm.
LEVEL_BUDGET = Budget(gap_mm=0.1, gap_share=2e-4, most_cells=100_000)
# Where the shift stays open a cell costs many times as much, and the bound gains little by more of them.
OPEN_LEVEL_BUDGET = Budget(gap_mm=0.1, gap_share=2e-4, most_cells=25_000)
# The swings of one tilt and roll: a narrow search.
SWING_BUDGET = Budget(most_cells=1_000)


@dataclass(frozen=True, slots=True, eq=False)
class DipProblem:
    """One part in one tank.

    outer: the room inside the clearances, whatever stands there. turns: the rotations to search in
    an empty tank, of those that are alike one; every_turn: all that are allowed. tape_mm: by how much the
    tapes, and flats for round faces, may be out.
    """

    part: Part
    tank: Tank
    points: ActivePoints
    outer: Envelope
    turns: Allowed
    every_turn: Allowed
    tape_mm: float


def dip_problem(part: Part, tank: Tank, angles: Angles | None = None) -> DipProblem:
    """Return the case; angles: of this one attitude only."""
    points = ActivePoints(part.solid.vertices_mm)
    outer = envelope_of(tank)
    turns = held(angles) if angles else allowed(part.attitude, points, outer)
    every = held(angles) if angles else all_allowed(part.attitude)
    tape_part = tank.rules.tape_part_mm if part.tape_mm is None else part.tape_mm
    tape = (tape_part + tank.rules.tape_tank_mm) / 2.0 + part.chord_mm + tank.chord_mm
    return DipProblem(part, tank, points, outer, turns, every, tape)


def in_room(case: DipProblem, room: Envelope) -> Search:
    """Return the search whose tau is minus the spare: every plane gives way alike."""
    return Search(case.points, room, np.ones(len(room.normals)))


def tight(case: DipProblem, room: Envelope) -> Envelope:
    """Return the room with the tapes kept in hand."""
    return room.with_offsets(room.offsets_mm - case.tape_mm)


def with_some_swing(case: DipProblem, room: Envelope, way_rad: Floats) -> Floats | None:
    """Return the least swung rotation (swing, tilt, roll) that fits at a tilt and roll (2,), tapes in hand.

    None where the narrow search of the allowed swings finds none.
    """
    low = np.array([case.turns.low_rad[0], *way_rad])
    high = np.array([case.turns.high_rad[0], *way_rad])
    return in_room(case, tight(case, room)).simplest(Allowed(low, high), SWING_BUDGET)


def fitting(case: DipProblem, ways_rad: Floats, *rooms: Envelope) -> Mask:
    """Tell for tilts and rolls (..., 2) whether some allowed swing is found to fit, in one of the rooms."""
    fits = np.zeros(ways_rad.shape[:-1], dtype=bool)
    for k in np.ndindex(fits.shape):
        fits[k] = any(with_some_swing(case, room, ways_rad[k]) is not None for room in rooms)
    return fits


def left_mm(case: DipProblem, room: Envelope, angles_rad: Floats) -> Floats:
    """Return how far the part's middle may still go towards each plane (m,) at a rotation."""
    return np.asarray(room.offsets_mm - farthest(case.points.all_mm, room, angles_rad[None, :])[1][0])


def level_search(case: DipProblem, room: Envelope, first_rad: Floats) -> Least:
    """Search the lowest level, cover left out, in a room; at rotation first_rad it is known to fit."""
    rim = np.where(room.is_rim, 1.0, 0.0)
    lowered = room.with_offsets(np.where(room.is_rim, 0.0, room.offsets_mm))
    highest = float(room.offsets_mm[room.is_rim].min())
    return Search(case.points, lowered, rim).least(
        case.turns,
        LEVEL_BUDGET if room.complete else OPEN_LEVEL_BUDGET,
        highest + FIT_MM,
        first_rad[None, :],
    )


def pose_in(case: DipProblem, room: Envelope, angles_rad: Floats) -> Pose:
    """Return the pose at a rotation: hung as low as the room lets it, in the middle in plan.

    Where the part does not fit, every plane gives way alike, by just as much as it must.
    """
    swing, tilt, roll = (float(angle) for angle in angles_rad)
    rotation = rotation_from(Angles(tilt, roll, swing))
    tau = float(in_room(case, room).tau_at(angles_rad[None, :])[0])
    shift = hung_low(room, left_mm(case, room, angles_rad) + max(tau, 0.0))
    shift = shift - rotation @ case.points.middle_mm
    return Pose(f"tank {case.tank.name}", f"part {case.part.name}", rotation, shift)
