"""Check of a "does not fit": every cell of rotations, by the simplest bound there is.

Two things make the proof: the cells cover every rotation that is allowed, and in none of them is there room.

Room: each face n_k of the tank's inside, clearances taken off and the tapes given back, leaves the part b_k.
With weights w >= 0 that balance the faces (sum w_k n_k = 0) the shift drops out, and the part fits at a
rotation R only if sum w_k (b_k - n_k . R p_k) >= 0 for whatever points p_k of it (Farkas' lemma). Within a
cell of half-sides (a, b, c) of swing, tilt and roll no point p moves by more than |p| (a + b) + |p_yz| c, for
a chord is no longer than its arc. That is the whole of the bound: no derivatives, no programme. A cell that
is too wide for it is halved.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from fitcheck.proving.rotation_cover import EDGE_RAD, covered, on_end_too, to_be_covered
from fitcheck.proving.tank_planes import balanced, faces, planes, sides_walls
from fitcheck.things.part import Part
from fitcheck.things.proof import Proof
from fitcheck.things.solid import Floats, Mask
from fitcheck.things.tank import Tank

# Cells checked before the proof is left as not shown, and how many at a time.
MOST_CELLS = 4_000_000
AT_ONCE = 4_096
# Sums of tens of products of metres in double precision.
ROUNDING_MM = 1e-7


@dataclass(frozen=True, slots=True)
class RecheckedInfeasible:
    """What came of it. covers: the cells hold every allowed rotation. refused: in none of them is there room.

    cells: checked, with their halves. left: cells where room was not ruled out within the effort.
    """

    covers: bool
    refused: bool
    cells: int
    left: int

    @property
    def holds(self) -> bool:
        """Whether both were shown."""
        return self.covers and self.refused


@dataclass(frozen=True, eq=False)
class _Rows:
    """Weights (q, m) that balance the faces, and what each row has to spare: w . b (q,).

    normals (m, 3), limits_mm (m,): the faces. A shift is no longer than far_mm.
    """

    normals: Floats
    limits_mm: Floats
    far_mm: float
    weights: Floats

    @cached_property
    def room_mm(self) -> Floats:
        """What each row has to spare; the shift drops out but for what rounding leaves of the balance."""
        slack = np.abs(self.weights @ self.normals).sum(axis=1) * self.far_mm
        return np.asarray(self.weights @ self.limits_mm + slack)


def recheck_infeasible(
    part: Part, tank: Tank, proof: Proof, most_cells: int = MOST_CELLS
) -> RecheckedInfeasible:
    """Tell whether a proof's cells show that the part does not fit the tank, tapes in its favour.

    What stands in the tank is left out at first: it can only make less room. Where the tank alone has room,
    what spans it is checked, then (`infeasible_poses.py`) all that stands in it.
    """
    points = _hull_points(part)
    middle, half = np.array(proof.middle_rad), np.array(proof.half_rad)
    if proof.middle_mm is not None:
        return _among(part, tank, proof)
    # A side has less room than the tank alone, but where it is no box more rotations differ in it.
    for sides in (_sides_of(part, tank), [_room(part, tank)]):
        low, high = to_be_covered(part, sides, points, proof)
        covers = len(middle) > 0 and covered(low, high, middle - half, middle + half)
        if covers:
            break
    if not covers:
        return RecheckedInfeasible(covers, False, 0, len(middle))
    evaluated, left = 0, 0
    for rows in (_rows_of(tank, *walls) for walls in sides):
        more, unrefused = _close(points, rows, (middle, half), most_cells)
        evaluated, left = evaluated + more, left + unrefused
    return RecheckedInfeasible(covers, not left, evaluated, left)


def _close(points: Floats, rows: _Rows, cells: tuple[Floats, Floats], most_cells: int) -> tuple[int, int]:
    """Check cells again and again, cut finer; return how many were checked, and how many are left.

    Where nothing refuses the middle of a cell, its own weights are sought. Where it has none there is room,
    and that ends it: however the cell is cut, that stays.
    """
    evaluated, middle, half = 0, cells[0], cells[1] + EDGE_RAD
    while len(middle) and evaluated < most_cells:
        front, back = slice(0, AT_ONCE), slice(AT_ONCE, None)
        some, wide = middle[front], half[front]
        evaluated += len(some)
        refused, has_room = _refused(points, rows, some, wide)
        if has_room.any():
            more = _balanced_at(points, rows, some[has_room][0])
            if more is None:
                break
            rows = replace(rows, weights=np.vstack([rows.weights, more]))
            continue
        open_ = ~refused
        first, second, halved = _halves(some[open_], wide[open_], points)
        middle, half = np.vstack([first, second, middle[back]]), np.vstack([halved, halved, half[back]])
    return evaluated, len(middle)


def _among(part: Part, tank: Tank, proof: Proof) -> RecheckedInfeasible:
    """Check boxes of poses among what stands in the tank."""
    from fitcheck.proving.infeasible_poses import close_again, scene_of, with_height_first

    normals, room = _room(part, tank)
    scene = scene_of(part, tank, (normals, room), _tape_mm(part, tank))
    turns: list[tuple[tuple[Floats, Floats], ...]] = [(to_be_covered(part, [], _hull_points(part), proof),)]
    leaves = [proof]
    if proof.on_end is not None:
        turns, leaves = list(on_end_too()), [proof, proof.on_end]
    # Places are told in the tank's size, so that an edge is as sharp in them as in angles.
    unit = np.append(np.ones(3), np.full(3, 1.0 / float(np.ptp(tank.inside.vertices_mm, axis=0).max())))
    boxes = [_boxes(each) for each in leaves]
    low, high = _places(part, normals, room)
    covers = all(
        covered(np.append(start, low) * unit, np.append(end, high) * unit, lows * unit, highs * unit)
        for (lows, highs), some in zip(boxes, turns, strict=True)
        for start, end in some
    )
    if not covers or scene is None:
        return RecheckedInfeasible(covers, False, 0, sum(len(lows) for lows, _ in boxes))
    evaluated, left = 0, 0
    for (lows, highs), seen in zip(boxes, (scene, with_height_first(scene)), strict=False):
        more, unrefused = close_again(seen, (lows + highs) / 2.0, (highs - lows) / 2.0 + EDGE_RAD / unit)
        evaluated, left = evaluated + more, left + unrefused
    return RecheckedInfeasible(covers, not left, evaluated, left)


def _boxes(leaves: Proof) -> tuple[Floats, Floats]:
    """Return the boxes of poses low, high (n, 6) of a proof: none where it has cells of rotations only."""
    if leaves.middle_mm is None or leaves.half_mm is None:
        return np.zeros((0, 6)), np.zeros((0, 6))
    middle = np.column_stack([leaves.middle_rad, leaves.middle_mm])
    half = np.column_stack([leaves.half_rad, leaves.half_mm])
    return middle - half, middle + half


def _places(part: Part, normals: Floats, room: Floats) -> tuple[Floats, Floats]:
    """Return the box low, high (3,) that has the middle of the part's box wherever the part may be."""
    from scipy.optimize import linprog
    from scipy.spatial import ConvexHull

    points = _hull_points(part)
    inside = (ConvexHull(points).equations[:, 3] <= 0.0).all()
    far = 0.0 if inside else float(np.linalg.norm(points, axis=1).min())
    ends = [
        -float(linprog(-way, normals, room, bounds=(None, None)).fun)
        for way in np.vstack([np.eye(3), -np.eye(3)])
    ]
    return -np.array(ends[3:]) - far, np.array(ends[:3]) + far


def _sides_of(part: Part, tank: Tank) -> list[tuple[Floats, Floats]]:
    """Return the planes of the room; where things span it and the part hangs together, of each side."""
    walls = _room(part, tank)
    clearance = tank.rules.side_clearance_mm - _tape_mm(part, tank)
    if clearance < 0.0 or not _hangs_together(part):
        return [walls]
    things = tuple(faces(thing.solid) for thing in tank.standing)
    return sides_walls(walls, things, clearance)


def _hangs_together(part: Part) -> bool:
    from fitcheck.geometry.mesh.distance import pieces_of

    return not pieces_of(part.solid.triangles, len(part.solid.vertices_mm)).any()


def _room(part: Part, tank: Tank) -> tuple[Floats, Floats]:
    """Return the planes of the room, clearances off and the tapes given back."""
    normals, room = planes(tank)
    return normals, room + _tape_mm(part, tank)


def _tape_mm(part: Part, tank: Tank) -> float:
    """Return by how much the tapes, and flats for round faces, may be out."""
    tape_part = tank.rules.tape_part_mm if part.tape_mm is None else part.tape_mm
    return (tape_part + tank.rules.tape_tank_mm) / 2.0 + part.chord_mm + tank.chord_mm


def _refused(points: Floats, rows: _Rows, middle: Floats, half: Floats) -> tuple[Mask, Mask]:
    """Tell in which cells (B, 3) some row has less than nothing to spare, and in which middles none has."""
    reach = np.einsum("bij,pj->bpi", _rotations(middle), points) @ rows.normals.T
    farthest = reach.argmax(axis=1)
    value = np.take_along_axis(reach, farthest[:, None, :], axis=1)[:, 0, :]
    far, short = np.linalg.norm(points, axis=1), np.hypot(points[:, 1], points[:, 2])
    moves = far[farthest] * (half[:, :1] + half[:, 1:2]) + short[farthest] * half[:, 2:]
    spare = rows.room_mm - value @ rows.weights.T
    least = (spare + moves @ rows.weights.T).min(axis=1, initial=math.inf)
    return least < -ROUNDING_MM, spare.min(axis=1, initial=math.inf) >= -ROUNDING_MM


def _halves(middle: Floats, half: Floats, points: Floats) -> tuple[Floats, Floats, Floats]:
    """Return cells in two, each cut where it moves the part most: both middles, and the half-sides."""
    far, short = np.linalg.norm(points, axis=1).max(), np.hypot(points[:, 1], points[:, 2]).max()
    side = np.argmax(half * [far, far, short], axis=1)
    halved = half.copy()
    halved[np.arange(len(half)), side] /= 2.0
    step = half - halved
    return middle - step, middle + step, halved


def _hull_points(part: Part) -> Floats:
    """Return the corners of the part's convex hull about the middle of its box."""
    from scipy.spatial import ConvexHull

    vertices = part.solid.vertices_mm
    middle = (vertices.min(axis=0) + vertices.max(axis=0)) / 2.0
    return np.asarray(vertices[ConvexHull(vertices).vertices] - middle)


def _rows_of(tank: Tank, normals: Floats, room: Floats) -> _Rows:
    """Return the balanced rows of planes, with clearances off and both tapes given back."""
    far = 2.0 * float(np.abs(tank.inside.vertices_mm).max())
    return _Rows(normals, room, far, balanced(normals))


def _balanced_at(points: Floats, rows: _Rows, angles: Floats) -> Floats | None:
    """Return weights (m,) that refuse a rotation, where any do: those of the faces it is tightest between."""
    rotation = _rotations(angles[None])[0]
    room = rows.limits_mm - (rows.normals @ rotation @ points.T).max(axis=1)
    weights = _most_room(rows.normals, room)[1]
    refuses = weights @ room + np.abs(weights @ rows.normals).sum() * rows.far_mm < -2.0 * ROUNDING_MM
    return weights if refuses else None


def most_room_mm(part: Part, tank: Tank, rotation: Floats) -> float:
    """Return by how much every clearance can grow at a rotation, at the best shift (a linear programme)."""
    normals, room = planes(tank)
    return _most_room(normals, room - (normals @ rotation @ _hull_points(part).T).max(axis=1))[0]


def _most_room(normals: Floats, room: Floats) -> tuple[float, Floats]:
    """Return the most by which room (m,) along normals (m, 3) can shrink at the best shift, and its weights.

    The weights (m,), of sum 1, balance the normals, and w . room is that most (duality): -inf and none where
    there is no end to it.
    """
    from scipy.optimize import linprog

    rows = np.column_stack([normals, np.ones(len(room))])
    done = linprog([0.0, 0.0, 0.0, -1.0], rows, room, bounds=(None, None))
    if done.status != 0:
        return -math.inf, np.zeros(len(room))
    weights = np.maximum(-done.ineqlin.marginals, 0.0)
    return float(-done.fun), np.asarray(weights / weights.sum())


def _rotations(angles: Floats) -> Floats:
    """Return Rz(swing) . Ry(-tilt) . Rx(roll) for angles (B, 3), by multiplying the three: (B, 3, 3)."""
    zero, one = np.zeros(len(angles)), np.ones(len(angles))
    (cs, ct, cr), (ss, st, sr) = np.cos(angles).T, np.sin(angles).T
    swing = np.array([[cs, -ss, zero], [ss, cs, zero], [zero, zero, one]])
    tilt = np.array([[ct, zero, -st], [zero, one, zero], [st, zero, ct]])
    roll = np.array([[one, zero, zero], [zero, cr, -sr], [zero, sr, cr]])
    return np.asarray(np.einsum("ijb,jkb,klb->bil", swing, tilt, roll))
