"""Clear poses by relaxation: a part is pushed out of walls and things, from many starts.

Points of its surface that are beyond a wall, or in a thing, are pushed to the nearest face; all at once, by
least squares over the six freedoms (`kernels/pose_relaxation.py`). Where it comes to rest clear by these
points the whole mesh is checked, by exact distance; where that finds a place that the points missed, the
place is added to them. Nothing here proves anything but by that exact check.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fitcheck.geometry.mesh.distance import Surface, gap_mm, meetings_mm, surface_gap_mm
from fitcheck.geometry.poses.pose_search import Among, room_of, shifts_of
from fitcheck.geometry.rotations.envelope import faces_of
from fitcheck.geometry.rotations.rotation_cells import Allowed, rotations
from fitcheck.things.pose import Pose
from fitcheck.things.solid import Floats

if TYPE_CHECKING:
    from fitcheck.geometry.kernels.pose_relaxation import Things

# Points of the surface that are pushed; steps of a start; starts at a time.
SAMPLES, STEPS, AT_ONCE = 700, 60, 48
# Poses of a batch checked exactly, and places that the points missed added before one is let go.
LOOKED_AT, ADDED = 4, 6
# Places told of one meeting; points at most.
CONTACTS, MOST_SAMPLES = 12, 4000
# What is kept over the clearance while settling, so that it ends at all; halvings of the room left over.
HAND_MM, HALVINGS = 0.02, 9
SEED = 1


@dataclass(frozen=True, slots=True, eq=False)
class Settled:
    """A pose (6,): swing, tilt, roll, and the shift of the part's middle; and its exact spare."""

    pose: Floats
    spare_mm: float


class Settling:
    """One part among things, its surface made ready."""

    def __init__(self, among: Among, allowed: Allowed) -> None:
        self.among, self.allowed = among, allowed
        solid, middle = among.solid, among.points.middle_mm
        self.surface = Surface.of(solid.vertices_mm - middle, solid.triangles)
        self.stills = [Surface.of(thing.vertices_mm, thing.triangles) for thing in among.things]
        self._faces = [faces_of(thing) for thing in among.things]
        self.samples = _spread(self.surface)
        self.starts = 0
        self._random = np.random.default_rng(SEED)

    def rest(self, starts: Floats, spare_mm: float, steps: int = STEPS) -> tuple[Floats, Floats]:
        """Return where poses (B, 6) settle with that spare by the points, and what they lack (B,)."""
        from fitcheck.geometry.kernels.pose_relaxation import settled

        self.starts += len(starts)
        low, high = self.allowed.low_rad, self.allowed.high_rad
        levers = np.maximum(self.among.points.levers_mm, 1.0)
        found: tuple[Floats, Floats] = settled(
            np.ascontiguousarray(starts),
            low,
            high,
            self._room,
            self.samples,
            self._things,
            levers,
            spare_mm,
            steps,
        )
        return found

    def spare_mm(self, pose: Floats) -> float:
        """Return the exact spare of a pose (6,); -inf where it is in a thing (how deep is not told)."""
        turn = rotations(pose[None, :3])[0]
        envelope = self.among.envelope
        placed = self.among.points.all_mm @ turn.T + pose[3:]
        spare = float((envelope.offsets_mm - (envelope.normals @ placed.T).max(axis=1)).min())
        at = Pose("tank", "part", turn, pose[3:])
        for still, (normals, offsets) in zip(self.stills, self._faces, strict=True):
            # All of it over one face of the thing is a gap that needs no exact distance unless it decides.
            if float(((placed @ normals.T).min(axis=0) - offsets).max()) - self.among.clearance_mm >= spare:
                continue
            gap = gap_mm(self.surface, still, at)
            spare = min(spare, gap - self.among.clearance_mm) if gap > 0.0 else -np.inf
        return spare

    def check(self, pose: Floats, spare_mm: float) -> Settled:
        """Check a pose exactly; where the mesh meets a thing, add the places and let it settle again."""
        best = Settled(pose, self.spare_mm(pose))
        for _ in range(ADDED):
            if best.spare_mm >= spare_mm or not self._add_missed(best.pose, spare_mm):
                break
            poses, left = self.rest(best.pose[None], spare_mm + HAND_MM)
            best = Settled(poses[0], self.spare_mm(poses[0]))
            if left[0] > 2.0 * HAND_MM:
                break
        return best

    def search(self, spare_mm: float, most_starts: int) -> list[Settled]:
        """Return poses found with a spare of spare_mm or more, of the first batch that has some; best first.

        Where none has, the pose that lacks least comes back, whatever its spare.
        """
        nearest, lack = None, np.inf
        while self.starts < most_starts:
            poses, left = self.rest(self._fresh(), spare_mm + HAND_MM)
            order = np.argsort(left, kind="stable")[:LOOKED_AT]
            if left[order[0]] < lack:
                nearest, lack = poses[order[0]], float(left[order[0]])
            tries = [self.check(poses[i], spare_mm) for i in order if left[i] <= 2.0 * HAND_MM]
            good = [found for found in tries if found.spare_mm >= spare_mm]
            if good:
                return sorted(good, key=lambda found: -found.spare_mm)
        return [] if nearest is None else [Settled(nearest, self.spare_mm(nearest))]

    def roomier(self, found: Settled) -> Settled:
        """Return the pose settled with as much spare as can be had near it, by halving."""
        low, high = found.spare_mm, found.spare_mm + 0.25 * float(self.among.points.levers_mm[0])
        best = found
        for _ in range(HALVINGS):
            want = (low + high) / 2.0
            poses, left = self.rest(best.pose[None], want)
            spare = self.spare_mm(poses[0]) if left[0] < want - low else -np.inf
            if spare > best.spare_mm:
                best = Settled(poses[0], spare)
            low, high = (max(low, best.spare_mm), high) if spare >= want - HAND_MM else (low, want)
        return best

    def _fresh(self) -> Floats:
        """Return starts (B, 6): the simple rotations first, then any, the middle anywhere in the room."""
        first = self.starts == 0
        turns = self._random.uniform(self.allowed.low_rad, self.allowed.high_rad, (AT_ONCE, 3))
        if first:
            simple = np.repeat(self.allowed.simple_rad, 4, axis=0)[: AT_ONCE // 2]
            turns[: len(simple)] = simple
        low, high = shifts_of(self.among.envelope, self.among.points)
        return np.column_stack([turns, self._random.uniform(low, high, (AT_ONCE, 3))])

    def _add_missed(self, pose: Floats, spare_mm: float) -> bool:
        """Add to the points the places of the part that are nearest to a thing that is too near."""
        turn = rotations(pose[None, :3])[0]
        at = Pose("tank", "part", turn, pose[3:])
        missed = [
            place
            for still in self.stills
            if surface_gap_mm(self.surface, still, at) - self.among.clearance_mm < spare_mm
            for place in meetings_mm(self.surface, still, at, CONTACTS)
        ]
        if missed and len(self.samples) < MOST_SAMPLES:
            self.samples = np.vstack([self.samples, (np.array(missed) - pose[3:]) @ turn])
        return bool(missed)

    @property
    def _room(self):  # type: ignore[no-untyped-def]
        return room_of(self.among.envelope, self.among.points, 0.0)

    @property
    def _things(self) -> Things:
        from fitcheck.geometry.kernels.pose_relaxation import Things

        faces = self._faces
        return Things(
            np.ascontiguousarray(np.concatenate([normals for normals, _ in faces])),
            np.concatenate([offsets for _, offsets in faces]) + self.among.clearance_mm,
            np.cumsum([0, *(len(offsets) for _, offsets in faces)]),
        )


def _spread(surface: Surface) -> Floats:
    """Return points (k, 3) spread over a surface: its corners, if few, and others by area."""
    random = np.random.default_rng(SEED)
    corners = surface.vertices_mm[surface.triangles]
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    area = np.linalg.norm(np.cross(b - a, c - a), axis=1)
    which = random.choice(len(area), SAMPLES, p=area / area.sum())
    u, v = np.sort(random.random((2, SAMPLES)), axis=0)
    over = a[which] * u[:, None] + b[which] * (v - u)[:, None] + c[which] * (1.0 - v)[:, None]
    few = surface.vertices_mm
    if len(few) > SAMPLES:
        few = few[random.choice(len(few), SAMPLES, replace=False)]
    return np.ascontiguousarray(np.vstack([few, over]))
