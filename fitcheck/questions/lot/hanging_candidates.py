"""The ways a part may hang in a tank beside others: each works alone, and takes up its outline from above.

The first is the one that `dip` advises. The others take up less of the length, of the width, or of both: they
are looked for among level rolls, square tilts and a coarse net of both, so there may be better ones. Where a
part has picks of its own, only those ways count at which they hold it and the hook lifts it over the rim.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.liquid.fill_level import covering_level_mm
from fitcheck.geometry.liquid.held_pockets import held_in
from fitcheck.geometry.liquid.pockets import Vessel
from fitcheck.geometry.plan.outline_nesting import Way
from fitcheck.geometry.poses.dip_problem import DipProblem, dip_problem, in_room, left_mm, pose_in, tight
from fitcheck.geometry.poses.dip_with_obstacles import rooms_of
from fitcheck.geometry.rotations.envelope import Envelope
from fitcheck.geometry.rotations.rotation_cells import rotations
from fitcheck.geometry.rotations.rotation_search import FIT_MM, how_turned
from fitcheck.geometry.statics.lift_out import Lifting
from fitcheck.questions.dip.answer import Fits
from fitcheck.things.hook import Hook
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.solid import Floats, Mask
from fitcheck.things.tank import Tank
from fitcheck.words.units import MM3_PER_LITRE, RAD_PER_DEGREE

# Angles are set with a spirit level: whole degrees, and a net of both angles at once.
_FINE, _NET = RAD_PER_DEGREE, 5.0 * RAD_PER_DEGREE
_QUARTER, _HALF = math.pi / 2.0, math.pi
_ROUNDING = 1e-9
# Outlines that differ by less are one: a tape does not tell them apart.
_ALIKE_MM = 0.5
# Ways looked at for air, of those that take up least, before the next best is given up.
_MOST_TRIES = 25


@dataclass(frozen=True, slots=True, eq=False)
class Footprint:
    """One way to hang a part in a tank.

    way: outline and allowed shifts, from `pose`, which holds the part alone. level_mm: that covers it.
    wet_kg: at lift-out, with what it catches. hook_mm: how high its hook must go over the shop floor, on its
    own picks; None where that is not known.
    """

    part: Part
    pose: Pose
    way: Way
    level_mm: float
    wet_kg: float
    hook_mm: float | None

    def moved(self, shift_mm: tuple[float, float]) -> Pose:
        """Return the pose moved in plan."""
        by = np.array([*shift_mm, 0.0])
        return Pose(self.pose.to_frame, self.pose.from_frame, self.pose.rotation, self.pose.shift_mm + by)


class Ways:
    """The ways of one part in any tank; what they catch is worked out once."""

    def __init__(self, part: Part, vessel: Vessel) -> None:
        self.part, self.vessel, self._lifting = part, vessel, Lifting(part)
        self._angles = _tried(part, self._lifting)
        turned = rotations(self._angles) @ part.solid.vertices_mm.T
        self._size = np.ptp(turned, axis=2)
        self._air: dict[tuple[float, float], float] = {}

    def of(self, answer: Fits, tank: Tank) -> tuple[Footprint, ...]:
        """Return the ways in a tank in which the part fits, the advised one first."""
        case = dip_problem(self.part, tank)
        most = max(self.part.air_at_most_l, answer.advice.held.air_l)
        found: list[Footprint] = []
        seen: set[tuple[int, ...]] = set()
        first = _advised(answer)
        for k, room in enumerate(rooms_of(case)):
            search = in_room(case, tight(case, room))
            ways = [first] if search.tau_at(first[None])[0] <= FIT_MM else []
            ways += self._least(search.tau_at(self._angles) <= FIT_MM, most, tank)
            for way in ways:
                each = self._footprint(case, room, way)
                if not self._lifting.lifts(tank, each.pose.angles, each.wet_kg):
                    continue
                # An outline as long and as wide as one before it is no other way to lie beside others.
                key = (k, *np.round(np.ptp(each.way.ring, axis=0) / _ALIKE_MM).astype(int).tolist())
                if key not in seen:
                    seen.add(key)
                    found.append(each)
        return tuple(found)

    def best_hook(self, answer: Fits, tank: Tank) -> Hook | None:
        """Return the hook budget of that way tried, of those at which the part fits, that leaves most.

        None where its picks hold it at none of them.
        """
        case = dip_problem(self.part, tank)
        tried = np.vstack([_advised(answer), self._angles])
        searches = [in_room(case, tight(case, room)) for room in rooms_of(case)]
        fits = np.any([search.tau_at(tried) <= FIT_MM for search in searches], axis=0)
        return self._lifting.best_hook(tank, tried[fits])

    def _least(self, fits: Mask, air_at_most_l: float, tank: Tank) -> Iterator[Floats]:
        """Give the ways that take up least: of the plan, the width, the length, and of plan times level."""
        fits = fits.copy()
        fits[fits] = self._lifting.passes(tank, self._angles[fits])
        angles, size = self._angles[fits], self._size[fits][:, :2]
        if not len(angles):
            return
        turned, rules = how_turned(angles), tank.rules
        level = self._size[fits][:, 2] + rules.bottom_clearance_mm + rules.cover_mm
        room = (size + 2.0 * rules.side_clearance_mm).prod(axis=1) * level
        measures = (size.prod(axis=1) / size.sum(axis=1), size[:, 1], size[:, 0], room / tank.size_mm[0] ** 2)
        for measure in measures:
            order = np.lexsort((turned, size.sum(axis=1).round(), np.round(measure / _ALIKE_MM)))
            for k in order[:_MOST_TRIES]:
                if self._air_l(angles[k]) <= air_at_most_l:
                    yield angles[k]
                    break

    def _air_l(self, angles: Floats) -> float:
        key = (float(angles[1]), float(angles[2]))
        if key not in self._air:
            level = np.array([[0.0, *key]])
            self._air[key] = float(self.vessel.air_mm3(rotations(level))[0]) / MM3_PER_LITRE
        return self._air[key]

    def _footprint(self, case: DipProblem, room: Envelope, angles: Floats) -> Footprint:
        """Return the way at a rotation: as low as the room lets it, the tapes kept in hand at the walls."""
        # So low that the walls, which may lean in towards the floor, still have their tapes there.
        kept = np.where(room.is_floor | room.is_rim, 0.0, case.tape_mm)
        room = room.with_offsets(room.offsets_mm - kept)
        pose = pose_in(case, room, angles)
        # The pose is in the middle of the room: what is left there is from that shift on.
        at = pose.shift_mm + pose.rotation @ case.points.middle_mm
        left = left_mm(case, room, angles) - room.normals @ at
        placed = pose.apply(self.part.solid.vertices_mm)
        tape = case.tank.rules.tape_part_mm if self.part.tape_mm is None else self.part.tape_mm
        apart = (case.tank.rules.part_gap_mm + tape) / 2.0 + self.part.chord_mm
        caught = held_in(self.vessel, self.part, pose.rotation)
        wet = self.part.mass_kg + case.tank.liquid.specific_gravity * caught.carry_out_l
        return Footprint(
            self.part,
            pose,
            Way(outline(placed), _shifts(room, left), apart),
            covering_level_mm(self.part, pose, case.tank),
            wet,
            self._lifting.hook_mm(case.tank, pose.angles, wet),
        )


def outline(points_mm: Floats) -> Floats:
    """Return the convex outline (n, 2) of points (m, 3) seen from above, counter-clockwise."""
    from scipy.spatial import ConvexHull

    hull = ConvexHull(points_mm[:, :2])
    ring: Floats = points_mm[hull.vertices, :2]
    return ring


def _advised(answer: Fits) -> Floats:
    angles = answer.advice.pose.angles
    return np.array([angles.swing_rad, angles.tilt_rad, angles.roll_rad])


def _tried(part: Part, lifting: Lifting) -> Floats:
    """Return the rotations (k, 3) to look at, swing, tilt, roll: all that the attitude allows of the net."""
    most = part.attitude
    tilts, rolls = _steps(most.tilt_rad, _QUARTER, _FINE), _steps(most.roll_rad, _HALF, _FINE)
    square = [roll for roll in (0.0, _QUARTER, -_QUARTER, _HALF) if abs(roll) <= most.roll_rad + _ROUNDING]
    net = (_steps(most.tilt_rad, _QUARTER, _NET), _steps(most.roll_rad, _HALF, _NET))
    ways = [(0.0, roll) for roll in rolls] + [(tilt, roll) for tilt in tilts for roll in square]
    ways += [(tilt, roll) for tilt in net[0] for roll in net[1]]
    ways += [
        (way.tilt_rad, way.roll_rad)
        for way in lifting.ways()
        if abs(way.tilt_rad) <= most.tilt_rad + _ROUNDING and abs(way.roll_rad) <= most.roll_rad + _ROUNDING
    ]
    swings = [swing for swing in (0.0, _QUARTER) if swing <= most.swing_rad + _ROUNDING]
    return np.unique([(swing, *way) for swing in swings for way in ways], axis=0)


def _steps(most_rad: float, end_rad: float, step_rad: float) -> list[float]:
    count = math.floor(min(most_rad, end_rad) / step_rad + _ROUNDING)
    return [k * step_rad for k in range(-count, count + 1)]


def _shifts(room: Envelope, left_mm: Floats) -> Floats:
    """Return the shifts in plan (k, 2) that no plane forbids, convex; left_mm (m,): what each leaves."""
    size = 4.0 * room.size_mm
    ring = np.array([[-size, -size], [size, -size], [size, size], [-size, size]])
    for normal, offset in zip(room.normals[:, :2], left_mm + FIT_MM, strict=True):
        if np.abs(normal).max() > _ROUNDING:
            ring = _clipped(ring, normal, float(offset))
    return ring


def _clipped(ring: Floats, normal: Floats, offset: float) -> Floats:
    """Return the part of a convex ring where normal . p <= offset (Sutherland and Hodgman 1974)."""
    over = ring @ normal - offset
    kept = []
    for k in range(len(ring)):
        one, other = over[k], over[(k + 1) % len(ring)]
        if one <= 0.0:
            kept.append(ring[k])
        if (one < 0.0 < other) or (other < 0.0 < one):
            kept.append(ring[k] + (ring[(k + 1) % len(ring)] - ring[k]) * one / (one - other))
    return np.array(kept).reshape(-1, 2)
