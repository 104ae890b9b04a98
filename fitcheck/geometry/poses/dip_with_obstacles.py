"""Clear pose of a part among what stands in its tank, or the proof that there is none.

Poses are found by letting the part settle (`pose_relaxation`); that there is none is shown by refusing
boxes of poses (`pose_search`), or, where something spans the tank, side by side by the search of the
empty tank. Where the part at a pose is wholly on the outer side of a face of each thing, those faces and the
tank are a convex room, in which the search of the empty tank goes on from there.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.geometry.convex.convex_merge import merged
from fitcheck.geometry.convex.offset_bodies import swept_down
from fitcheck.geometry.mesh.distance import pieces_of
from fitcheck.geometry.poses.dip_problem import DipProblem, in_room
from fitcheck.geometry.poses.free_regions import free_regions_of
from fitcheck.geometry.poses.pose_relaxation import HAND_MM, Settled, Settling
from fitcheck.geometry.poses.pose_search import Among, Boxes, Refusal
from fitcheck.geometry.rotations.envelope import Envelope, faces_of
from fitcheck.geometry.rotations.rotation_cells import Allowed, rotations
from fitcheck.geometry.rotations.rotation_search import FIT_MM, Budget, how_turned
from fitcheck.things.pose import Pose
from fitcheck.things.proof import Proof
from fitcheck.things.solid import Floats

# Starts of the first try, and of the last; boxes of poses evaluated for a proof. Counts, so that an answer
# does not depend on the machine.
FIRST_STARTS, MOST_STARTS, MOST_BOXES = 384, 1_536, 1_500_000
# For the search of one side of a thing that spans the tank.
SIDE_BUDGET = Budget(gap_mm=0.0, most_cells=150_000)
# Whether a room is within the tape of having room.
TAPE_BUDGET = Budget(gap_mm=0.1, most_cells=5_000)
# A proof says that this much more than nothing is lacking: far above rounding, far under a tape.
SURE_MM = 1e-5
# A pose that is out by so much may still show the room in which there is one that is not.
NEAR_MM = 5.0
# Convex rooms searched before any pose is let settle, for one attitude.
MOST_ROOMS = 36
# Rotations tried between one that was found and the simplest.
EASINGS = (0.0, 0.25, 0.5, 0.75, 1.0)
QUARTER = math.pi / 2.0


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """Result of the search among obstacles.

    poses: clear ones, best first, by exact distance (or the one that lacks least). at_most_mm: proven that
    no allowed pose has more spare (inf: nothing was). proof: of that, where it refuses the part. evaluated:
    boxes of poses, open_share: of all poses, by volume.
    """

    poses: tuple[Settled, ...]
    at_most_mm: float
    proof: Proof | None
    evaluated: int
    open_share: float


def found_among(case: DipProblem) -> Found:
    """Search a pose clear of everything, the tapes in hand; else a proof that there is none."""
    among = among_of(case)
    settling = Settling(among, case.every_turn)
    poses = settling.search(case.tape_mm, FIRST_STARTS)
    if _best_mm(poses) >= case.tape_mm - FIT_MM:
        return Found(tuple(poses), math.inf, None, settling.starts, 1.0)
    evaluated, open_share, within_tape = settling.starts, 1.0, _most_mm(case, poses) >= -case.tape_mm
    if not within_tape:
        side = _refused_by_sides(case)
        if side is not None:
            return Found(tuple(poses), -case.tape_mm - SURE_MM, side, len(side.middle_rad), 0.0)
        goal = -case.tape_mm - SURE_MM
        refusal = among.refuse(case.every_turn, goal, MOST_BOXES)
        evaluated, open_share = refusal.evaluated, refusal.open_share
        if refusal.closed:
            return Found(tuple(poses), goal, proof_of(refusal), evaluated, 0.0)
        poses = _best([*poses, *_from(settling, refusal, case.tape_mm)])
        within_tape = refusal.free is not None or _most_mm(case, poses) >= -case.tape_mm
    if within_tape and _best_mm(poses) < case.tape_mm - FIT_MM:
        again = among.refuse(case.every_turn, case.tape_mm, MOST_BOXES)
        evaluated, open_share = evaluated + again.evaluated, min(open_share, again.open_share)
        poses = _best([*poses, *_from(settling, again, case.tape_mm)])
        if again.closed:
            return Found(tuple(poses), case.tape_mm, None, evaluated, 0.0)
    if _best_mm(poses) < case.tape_mm - FIT_MM:
        poses = _best([*poses, *settling.search(case.tape_mm, MOST_STARTS)])
    return Found(tuple(poses), math.inf, None, evaluated, open_share)


def liftable(case: DipProblem) -> tuple[Settled, ...]:
    """Return clear poses from which the part lifts straight out: it is clear of all things drawn out down."""
    among = among_of(case)
    far = 2.0 * (case.tank.depth_mm + float(case.points.levers_mm[0]))
    drawn = tuple(swept_down(thing, far) for thing in among.things)
    settling = Settling(replace(among, things=drawn), case.every_turn)
    found = settling.search(case.tape_mm, FIRST_STARTS)
    return tuple(settling.roomier(each) for each in found if each.spare_mm >= case.tape_mm - FIT_MM)


def among_of(case: DipProblem) -> Among:
    """Return the part among what stands in its tank."""
    things = merged(tuple(thing.solid for thing in case.tank.standing))
    return Among(case.points, case.part.solid, case.outer, things, case.tank.rules.side_clearance_mm)


def proof_of(refusal: Refusal) -> Proof:
    """Return the boxes of a refusal as a proof."""
    on_end = None if refusal.on_end is None else _proof(refusal.on_end)
    return replace(_proof(refusal.leaves), on_end=on_end)


def _proof(leaves: Boxes) -> Proof:
    middle, half = (leaves.low + leaves.high) / 2.0, (leaves.high - leaves.low) / 2.0
    return Proof(middle[:, :3], half[:, :3], middle[:, 3:], half[:, 3:])


def room_about(case: DipProblem, pose: Floats) -> Envelope | None:
    """Return the tank less the far sides of faces behind which the part is at a pose (6,), one of each thing.

    None where it is on the outer side of no face of some thing, as one that straddles it is.
    """
    placed = case.points.all_mm @ rotations(pose[None, :3])[0].T + pose[3:]
    room, clearance = case.outer, case.tank.rules.side_clearance_mm
    for thing in case.tank.standing:
        normals, offsets = faces_of(thing.solid)
        apart = (placed @ normals.T).min(axis=0) - offsets
        k = int(apart.argmax())
        if apart[k] < clearance - NEAR_MM:
            return None
        room = room.also(-normals[[k]], -(offsets[[k]] + clearance))
    return room


def rooms_by_faces(case: DipProblem) -> tuple[Envelope, ...]:
    """Return the tank less the far side of one face of each thing, in all ways; none where these are many."""
    sides = [faces_of(thing.solid) for thing in case.tank.standing]
    if math.prod(len(offsets) for _, offsets in sides) > MOST_ROOMS:
        return ()
    rooms, clearance = [case.outer], case.tank.rules.side_clearance_mm
    for normals, offsets in sides:
        rooms = [
            room.also(-normals[[k]], -(offsets[[k]] + clearance))
            for room in rooms
            for k in range(len(offsets))
        ]
    return tuple(rooms)


def rooms_of(case: DipProblem) -> tuple[Envelope, ...]:
    """Return convex rooms of the tank that are clear of what stands there, in each of which the part may be.

    Not all that there are: those about the poses that were found. The whole of an empty tank.
    """
    if not case.tank.standing:
        return (case.outer,)
    poses = Settling(among_of(case), case.every_turn).search(case.tape_mm, FIRST_STARTS)
    rooms = (room_about(case, found.pose) for found in poses)
    return tuple(room for room in rooms if room is not None)


def pose_of(case: DipProblem, pose: Floats) -> Pose:
    """Return a pose (6,) of the part's middle as one of the part as drawn."""
    turn = rotations(pose[None, :3])[0]
    shift = pose[3:] - turn @ case.points.middle_mm
    return Pose(f"tank {case.tank.name}", f"part {case.part.name}", turn, shift)


def eased(case: DipProblem, found: Settled) -> Settled:
    """Return the least turned pose found near one: its rotation drawn towards a simple one, tapes in hand."""
    among = among_of(case)
    angles = found.pose[:3]
    simple = np.array([QUARTER * round(angles[0] / QUARTER), 0.0, QUARTER * round(angles[2] / QUARTER)])
    for share in EASINGS:
        tried = simple + share * (angles - simple)
        if ((tried < case.every_turn.low_rad) | (tried > case.every_turn.high_rad)).any():
            continue
        if how_turned(tried[None])[0] >= how_turned(angles[None])[0]:
            continue
        settling = Settling(among, Allowed(tried, tried))
        start = np.concatenate([tried, found.pose[3:]])
        poses, left = settling.rest(start[None], case.tape_mm + HAND_MM)
        if left[0] <= 2.0 * HAND_MM:
            other = settling.check(poses[0], case.tape_mm)
            if other.spare_mm >= case.tape_mm:
                return other
    return found


def roomiest(case: DipProblem, found: Settled) -> Settled:
    """Return the pose with the most spare that is had from one by settling."""
    return Settling(among_of(case), case.every_turn).roomier(found)


def lowest_from(case: DipProblem, found: Settled) -> Settled:
    """Return the pose let straight down from one as far as clearances let it, by halving."""
    settling = Settling(among_of(case), case.every_turn)
    best, low, high = found, 0.0, float(found.pose[5])
    for _ in range(14):
        by = (low + high) / 2.0
        pose = found.pose - np.array([0.0, 0.0, 0.0, 0.0, 0.0, by])
        spare = settling.spare_mm(pose)
        if spare >= 0.0:
            best, low = Settled(pose, spare), by
        else:
            high = by
    return best


def _best_mm(poses: list[Settled]) -> float:
    return max((found.spare_mm for found in poses), default=-math.inf)


def _most_mm(case: DipProblem, poses: list[Settled]) -> float:
    """Return the most spare that poses have, or any in the convex room beside all things about the first."""
    room = room_about(case, poses[0].pose) if poses else None
    most = -math.inf if room is None else -in_room(case, room).least(case.every_turn, TAPE_BUDGET).tau_mm
    return max(most, _best_mm(poses))


def _best(poses: list[Settled]) -> list[Settled]:
    return sorted(poses, key=lambda found: -found.spare_mm)


def _from(settling: Settling, refusal: Refusal, spare_mm: float) -> list[Settled]:
    """Return the poses that settle from where a proof was held up."""
    starts = refusal.hopeful if refusal.free is None else np.vstack([refusal.free[None], refusal.hopeful])
    if not len(starts):
        return []
    poses, left = settling.rest(starts[:48], spare_mm + HAND_MM)
    order = np.argsort(left, kind="stable")[:4]
    return [settling.check(poses[k], spare_mm) for k in order]


def _refused_by_sides(case: DipProblem) -> Proof | None:
    """Return the proof that no side of what spans the tank has room; None where that is not so.

    Only for a part that hangs together, and clearances no less than the tapes: else it may be on both sides.
    """
    goal = -case.tape_mm - SURE_MM
    clearance = case.tank.rules.side_clearance_mm + goal
    solid = case.part.solid
    if clearance < -2.0 * SURE_MM or pieces_of(solid.triangles, len(solid.vertices_mm)).max() > 0:
        return None
    room = case.outer.with_offsets(case.outer.offsets_mm - goal)
    things = merged(tuple(thing.solid for thing in case.tank.standing))
    sides = free_regions_of(room, things, max(clearance, 0.0))
    if sides == (room,):
        return None
    turns = case.turns if all(side.complete for side in sides) else case.every_turn
    finest = None
    for side in sides:
        found = in_room(case, side).least(turns, SIDE_BUDGET, 0.0)
        if not found.closed or found.at_least_mm < 0.0:
            return None
        if finest is None or len(found.leaves) > len(finest.middle_rad):
            finest = found.leaves
    if finest is None:
        cells = turns.cells(QUARTER)
        return Proof(cells.middle_rad, cells.half_rad)
    return Proof(finest.middle_rad, finest.half_rad)
