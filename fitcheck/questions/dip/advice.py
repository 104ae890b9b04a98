"""The way to hang a part that is advised, with its liquid and what it catches.

It is the simplest that works, unless asked otherwise.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Iterator

import numpy as np

from fitcheck.geometry.liquid.attitude_map import best_way, caught_l, every_way_rad, steps_rad
from fitcheck.geometry.liquid.fill_level import covering_level_mm, fill_at
from fitcheck.geometry.liquid.held_pockets import held_in
from fitcheck.geometry.liquid.pockets import Vessel
from fitcheck.geometry.mesh.measure import volume_mm3
from fitcheck.geometry.poses.dip_problem import (
    DipProblem,
    fitting,
    in_room,
    level_search,
    tight,
    with_some_swing,
)
from fitcheck.geometry.poses.part_memo import PartMemo, least_turned_first, turned
from fitcheck.geometry.rotations.envelope import Envelope
from fitcheck.geometry.rotations.rotation_cells import Allowed, rotations
from fitcheck.geometry.rotations.rotation_search import FIT_MM, Budget, Least, Search, how_turned
from fitcheck.geometry.rotations.rotation_symmetry import held
from fitcheck.questions.dip.answer import Advice, Prefer
from fitcheck.things.pose import Pose
from fitcheck.things.solid import Floats
from fitcheck.words.units import MM3_PER_LITRE, RAD_PER_DEGREE, STANDARD_GRAVITY_M_S2

POSE_BUDGET = Budget(most_cells=60_000)
# Angles are set with a spirit level: whole degrees where they work, else finer.
ANGLE_STEPS_DEG = (1.0, 0.5, 0.1)
# An angle so near to a whole step is that step: a tenth of what a spirit level shows, and far over what the
# search leaves open.
ALREADY_ROUND_DEG = 0.005
# Half a turn.
OVER = math.pi


def advised(case: DipProblem, room: Envelope, found: Least, prefer: Prefer, at_hand: PartMemo) -> Floats:
    """Return the rotation (swing, tilt, roll) to advise: the simplest that works, where `prefer` is level.

    One that catches more air than the part's limit is passed over where another is found that does not.
    """
    if prefer == "most-room" or (case.turns.low_rad == case.turns.high_rad).all():
        return found.angles_rad
    # The lowest and the least tilted pose lie at the edge of what fits: the tapes are kept in hand.
    inner = tight(case, room)
    if prefer == "least-liquid":
        lowest = level_search(case, inner, found.angles_rad)
        return lowest.angles_rad if math.isfinite(lowest.tau_mm) else found.angles_rad
    search = in_room(case, inner)
    simplest = search.simplest(case.turns, POSE_BUDGET, found.angles_rad[None])
    if simplest is None:
        return found.angles_rad
    plain = _rounded(search, simplest, case.turns)
    if prefer == "best-drain":
        return _best_drained(case, room, at_hand.vessel, plain)
    if float(at_hand.vessel.air_mm3(rotations(plain[None]))[0]) <= case.part.air_at_most_l * MM3_PER_LITRE:
        return plain
    return _with_less_air(case, room, at_hand, plain)


def spare_in(case: DipProblem, room: Envelope, pose: Pose) -> float:
    """Return the most spare of a pose's rotation in a convex room, wherever it is shifted to, in mm."""
    return -float(in_room(case, room).tau_at(held(pose.angles).middle_rad[None, :])[0])


def advice(case: DipProblem, pose: Pose, spare_mm: float, level_mm: float | None, vessel: Vessel) -> Advice:
    """Return the pose with its room, its liquid, what is caught there, and what it weighs in and out."""
    part, tank = case.part, case.tank
    caught = held_in(vessel, part, pose.rotation)
    if level_mm is None:
        # Under a level that covers the part is all that it catches.
        level, air_under = covering_level_mm(part, pose, tank), caught.air_l
    else:
        level = level_mm
        air_under = vessel.air_under_mm3(pose.rotation, level - float(pose.shift_mm[2])) / MM3_PER_LITRE
    density = tank.liquid.specific_gravity
    displaced = volume_mm3(part.skin) / MM3_PER_LITRE + caught.air_l
    return Advice(
        pose,
        spare_mm,
        fill_at(part, pose, tank, level, air_under),
        held=caught,
        uplift_n=(density * displaced - part.mass_kg) * STANDARD_GRAVITY_M_S2,
        wet_mass_kg=part.mass_kg + density * caught.carry_out_l,
    )


def _with_less_air(case: DipProblem, room: Envelope, at_hand: PartMemo, plain: Floats) -> Floats:
    """Return the least turned rotation found that fits and keeps the air within its limit, else `plain`.

    Tried are the steps of the map, and `plain` turned over and tilted the other way.
    """
    alike = least_turned_first(at_hand.vented(_likewise(case, plain)))
    ways = heapq.merge(at_hand.vented_ways_rad(), alike, key=lambda way: float(turned(way[None])[0]))
    return next(_fitting_ones(case, room, ways), plain)


def _best_drained(case: DipProblem, room: Envelope, vessel: Vessel, plain: Floats) -> Floats:
    """Return the rotation that holds least air and liquid of those on the map that fit, else `plain`.

    In a tight tank the map may miss what `plain`, turned over and tilted the other way, does as well.
    """
    ways = every_way_rad(*steps_rad(case.part.attitude, vessel))
    best = best_way(vessel, ways, caught_l(vessel, ways), fitting(case, ways, room))
    tries = _likewise(case, plain)
    if best is not None:
        tries = np.vstack([[best.angles.tilt_rad, best.angles.roll_rad], tries])
    found = list(_fitting_ones(case, room, least_turned_first(tries))) or [plain]
    return min(found, key=lambda angles: float(caught_l(vessel, angles[1:]).sum()))


def _fitting_ones(case: DipProblem, room: Envelope, ways_rad: Iterable[Floats]) -> Iterator[Floats]:
    """Give the rotations (swing, tilt, roll) that fit of some tilts and rolls (2,), in their order."""
    for way in ways_rad:
        angles = with_some_swing(case, room, way)
        if angles is not None:
            yield angles


def _likewise(case: DipProblem, angles_rad: Floats) -> Floats:
    """Return the allowed tilts and rolls (k, 2) that ask for much the same room: turned over, tilted back."""
    tilt, roll = angles_rad[1:]
    ways = np.array([[t, r] for t in (tilt, -tilt) for r in (roll, -roll, roll + OVER, OVER - roll)])
    ways -= np.array([0.0, 2.0 * OVER]) * np.round(ways / (2.0 * OVER))
    most = np.array([case.part.attitude.tilt_rad, case.part.attitude.roll_rad])
    return np.asarray(ways[(np.abs(ways) <= most).all(axis=1)])


def _rounded(search: Search, angles_rad: Floats, turns: Allowed) -> Floats:
    """Return the nearest angles in whole degrees that fit too, else halves, else tenths, else as they are."""
    for step_deg in ANGLE_STEPS_DEG:
        step = step_deg * RAD_PER_DEGREE
        whole = np.round(angles_rad / step)
        is_round = np.abs(angles_rad - whole * step) <= ALREADY_ROUND_DEG * RAD_PER_DEGREE
        low = np.where(is_round, whole, np.floor(angles_rad / step))
        high = np.where(is_round, whole, low + 1.0)
        near = step * np.stack(np.meshgrid(*zip(low, high, strict=True), indexing="ij"), axis=-1).reshape(
            -1, 3
        )
        near = near[((near >= turns.low_rad) & (near <= turns.high_rad)).all(axis=1)]
        if len(near):
            fits = near[search.tau_at(near) <= FIT_MM]
            if len(fits):
                return np.asarray(fits[np.argmin(how_turned(fits))])
    return angles_rad
