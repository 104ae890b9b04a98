"""Is a "does not fit" right? Its cells are looked at again, one by one, by the simplest bound there is.

Two things make the proof: the cells cover every rotation that is allowed, and in none of them is there room.

Room: each face n_k of the tank's inside, clearances taken off and the tapes given back, leaves the part b_k.
With weights w >= 0 that balance the faces (sum w_k n_k = 0) the shift drops out, and the part fits at a
rotation R only if sum w_k (b_k - n_k . R p_k) >= 0 for whatever points p_k of it (Farkas' lemma). Within a
cell of half-sides (a, b, c) of swing, tilt and roll no point p moves by more than |p| (a + b) + |p_yz| c, for
a chord is no longer than its arc. That is the whole of the bound: no derivatives, no programme. A cell that
is too wide for it is halved.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from fitcheck.things.answers import Proof
from fitcheck.things.part import HALF_TURN, QUARTER_TURN, Part
from fitcheck.things.solid import Floats, Indices, Mask, Solid
from fitcheck.things.tank import FLOOR_SLOPE, Tank

# Cells looked at before the proof is left as not shown, and how many at a time.
MOST_CELLS = 4_000_000
AT_ONCE = 4_096
# Edges of cells that were halved again and again differ by roundings of radians; each cell is looked at this
# much wider than it is written.
EDGE_RAD = 1e-12
# Sums of tens of products of metres in double precision.
ROUNDING_MM = 1e-7
# Faces of a convex solid that are one but for the rounding of a mesh file, as directions.
ONE_FACE = 1e-6
# Points that a turn brings onto each other differ by rounding of sines only, as a share of the size.
SAME_POINT = 1e-9
# With more faces the balanced sets are too many to list.
MOST_FACES = 24


@dataclass(frozen=True, slots=True)
class RecheckedNo:
    """What came of it. covers: the cells hold every allowed rotation. refused: in none of them is there room.

    cells: looked at, with their halves. left: cells where room was not ruled out within the effort.
    """

    covers: bool
    refused: bool
    cells: int
    left: int

    @property
    def holds(self) -> bool:
        """Whether both were shown."""
        return self.covers and self.refused


@dataclass(frozen=True, slots=True, eq=False)
class _Rows:
    """Weights (q, m) that balance the faces, and what each row has to spare: w . b (q,); normals (m, 3)."""

    normals: Floats
    weights: Floats
    room_mm: Floats


def recheck_no(part: Part, tank: Tank, proof: Proof, most_cells: int = MOST_CELLS) -> RecheckedNo:
    """Tell whether a proof's cells show that the part does not fit the tank, tapes in its favour.

    What stands in the tank is left out at first: it can only make less room. Where the tank alone has room,
    what spans it is looked at, then (`prove_among.py`) all that stands in it.
    """
    points = _hull_points(part)
    middle, half = np.array(proof.middle_rad), np.array(proof.half_rad)
    if proof.middle_mm is not None and proof.half_mm is not None:
        boxes = np.column_stack([middle, proof.middle_mm]), np.column_stack([half, proof.half_mm])
        return _among(part, tank, boxes, _to_be_covered(part, [], points, proof))
    # A side has less room than the tank alone, but where it is no box more rotations differ in it.
    for sides in (_sides_of(part, tank), [_room(part, tank)]):
        low, high = _to_be_covered(part, sides, points, proof)
        covers = len(middle) > 0 and _covered(low, high, middle - half, middle + half)
        if covers:
            break
    each = [_rows_of(tank, *walls) for walls in sides] if covers else []
    if not covers or not all(len(rows.weights) for rows in each):
        return RecheckedNo(covers, False, 0, len(middle))
    looked, left = 0, 0
    for rows in each:
        more, unrefused = _close(points, rows, (middle, half), most_cells)
        looked, left = looked + more, left + unrefused
    return RecheckedNo(covers, not left, looked, left)


def _close(points: Floats, rows: _Rows, cells: tuple[Floats, Floats], most_cells: int) -> tuple[int, int]:
    """Look at cells again and again, cut finer; return how many were looked at, and how many are left.

    A cell in the middle of which nothing refuses ends it: however it is cut, that stays.
    """
    looked, middle, half = 0, cells[0], cells[1] + EDGE_RAD
    while len(middle) and looked < most_cells:
        front, back = slice(0, AT_ONCE), slice(AT_ONCE, None)
        some, wide = middle[front], half[front]
        looked += len(some)
        refused, has_room = _refused(points, rows, some, wide)
        if has_room.any():
            break
        open_ = ~refused
        first, second, halved = _halves(some[open_], wide[open_], points)
        middle, half = np.vstack([first, second, middle[back]]), np.vstack([halved, halved, half[back]])
    return looked, len(middle)


def _among(part: Part, tank: Tank, boxes: tuple[Floats, Floats], turns: tuple[Floats, Floats]) -> RecheckedNo:
    """Look at boxes of poses among what stands in the tank."""
    from fitcheck.questions.prove_among import close_again, scene_of

    normals, room = _room(part, tank)
    low, high = _places(part, normals, room)
    middle, half = boxes
    # Places are told in the tank's size, so that an edge is as sharp in them as in angles.
    unit = np.append(np.ones(3), np.full(3, 1.0 / float(np.ptp(tank.inside.vertices_mm, axis=0).max())))
    wanted = np.append(turns[0], low) * unit, np.append(turns[1], high) * unit
    covers = len(middle) > 0 and _covered(*wanted, (middle - half) * unit, (middle + half) * unit)
    scene = scene_of(part, tank, (normals, room), _tape_mm(part, tank))
    if not covers or scene is None:
        return RecheckedNo(covers, False, 0, len(middle))
    looked, left = close_again(scene, middle, half + EDGE_RAD / unit)
    return RecheckedNo(covers, not left, looked, left)


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
    from fitcheck.questions.prove_among import sides_walls

    walls = _room(part, tank)
    clearance = tank.rules.side_clearance_mm - _tape_mm(part, tank)
    if clearance < 0.0 or not _hangs_together(part):
        return [walls]
    things = tuple(_faces(thing.solid) for thing in tank.standing)
    return sides_walls(walls, things, clearance)


def _hangs_together(part: Part) -> bool:
    from fitcheck.geometry.distance import pieces_of

    return not pieces_of(part.solid.triangles, len(part.solid.vertices_mm)).any()


def _room(part: Part, tank: Tank) -> tuple[Floats, Floats]:
    """Return the planes of the room, clearances off and the tapes given back."""
    normals, room = _planes(tank)
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
    least = (spare + moves @ rows.weights.T).min(axis=1)
    return np.asarray(least < -ROUNDING_MM), np.asarray(spare.min(axis=1) >= -ROUNDING_MM)


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
    weights = _balanced(normals)
    # The shift, of the size of the tank, drops out but for what rounding leaves of the balance.
    slack = np.abs(weights @ normals).sum(axis=1) * 2.0 * float(np.abs(tank.inside.vertices_mm).max())
    return _Rows(normals, weights, weights @ room + slack)


def most_room_mm(part: Part, tank: Tank, rotation: Floats) -> float:
    """Return by how much every clearance can grow at a rotation, at the best shift (a linear programme)."""
    from scipy.optimize import linprog

    normals, room = _planes(tank)
    room = room - (normals @ rotation @ _hull_points(part).T).max(axis=1)
    done = linprog(
        [0.0, 0.0, 0.0, -1.0], np.column_stack([normals, np.ones(len(room))]), room, bounds=(None, None)
    )
    return float(-done.fun) if done.status == 0 else -math.inf


def _planes(tank: Tank) -> tuple[Floats, Floats]:
    """Return the faces (m, 3) of the inside and how far each lets a part go (m,), clearances off."""
    normals, offsets = _faces(tank.inside)
    rules = tank.rules
    floor = normals[:, 2] < FLOOR_SLOPE
    at_rim = (normals[:, 2] > 1.0 - ONE_FACE) & (offsets > tank.depth_mm * (1.0 - ONE_FACE))
    clearance = np.where(floor, rules.bottom_clearance_mm, rules.side_clearance_mm)
    clearance = np.where(at_rim, rules.cover_mm + rules.freeboard_mm, clearance)
    if not at_rim.any():
        normals = np.vstack([normals, [0.0, 0.0, 1.0]])
        offsets = np.append(offsets, tank.depth_mm)
        clearance = np.append(clearance, rules.cover_mm + rules.freeboard_mm)
    return normals, offsets - clearance


def _is_square(normals: Floats) -> bool:
    """Tell whether all planes are square to the axes: the room behind them is a box."""
    return bool((np.abs(normals).max(axis=1) > 1.0 - SAME_POINT).all())


def _faces(solid: Solid) -> tuple[Floats, Floats]:
    """Return the planes of a convex solid: normals (m, 3), each pushed out to the farthest corner."""
    corner = solid.vertices_mm[solid.triangles]
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    normal = normal[np.linalg.norm(normal, axis=1) > 0.0]
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    kept: list[Floats] = []
    for each in normal:
        if not any(np.abs(each - other).max() < ONE_FACE for other in kept):
            kept.append(each)
    normals = np.array(kept)
    return normals, (normals @ solid.vertices_mm.T).max(axis=1)


def _balanced(normals: Floats) -> Floats:
    """Return all least sets of weights (q, m) that balance the faces: two, three or four of them."""
    found: list[Floats] = []
    most = 4 if len(normals) <= MOST_FACES else 2
    for size in range(2, most + 1):
        for few in itertools.combinations(range(len(normals)), size):
            system = np.vstack([normals[list(few)].T, np.ones(size)])
            share, _, rank, _ = np.linalg.lstsq(system, np.array([0.0, 0.0, 0.0, 1.0]), rcond=None)
            balances = np.abs(system @ share - [0.0, 0.0, 0.0, 1.0]).max() < ONE_FACE
            if rank == size and balances and share.min() > 0.0:
                found.append(np.zeros(len(normals)))
                found[-1][list(few)] = share
    return np.array(found).reshape(-1, len(normals))


def _to_be_covered(
    part: Part, sides: list[tuple[Floats, Floats]], points: Floats, proof: Proof
) -> tuple[Floats, Floats]:
    """Return the box of rotations (swing, tilt, roll) that holds one of each kind that is allowed.

    A box tank does not tell a part from itself after half a turn about an upright, lengthwise or crosswise
    line. A part that is the same after a share of a turn about its length needs only that share of the rolls.
    """
    attitude = part.attitude
    swing, tilt = min(attitude.swing_rad, HALF_TURN), min(attitude.tilt_rad, QUARTER_TURN)
    roll, lowest = min(attitude.roll_rad, HALF_TURN), -tilt
    rolls, box = (-roll, roll), len(sides) > 0 and all(_is_square(normals) for normals, _ in sides)
    if box:
        swing = min(swing, QUARTER_TURN)
    if roll >= HALF_TURN:
        lowest = 0.0 if box else -tilt
        rolls = _rolls_told(points, proof) if proof.middle_mm is None else rolls
    return np.array([-swing, lowest, rolls[0]]), np.array([swing, tilt, rolls[1]])


def _rolls_told(points: Floats, proof: Proof) -> tuple[float, float]:
    """Return the rolls that the proof goes over where those are all that differ, else a whole turn."""
    if len(proof.middle_rad):
        low = float((proof.middle_rad[:, 2] - proof.half_rad[:, 2]).min())
        high = float((proof.middle_rad[:, 2] + proof.half_rad[:, 2]).max())
        share = high - low
        if share > EDGE_RAD and _is_the_same_after(points, share):
            return low, high
    return -HALF_TURN, HALF_TURN


def _is_the_same_after(points: Floats, turn_rad: float) -> bool:
    """Tell whether a turn about its length, a whole share of one, brings a part's hull onto itself."""
    times = 2.0 * HALF_TURN / turn_rad
    if abs(times - round(times)) > EDGE_RAD * times:
        return False
    from scipy.spatial import cKDTree

    cosine, sine = math.cos(turn_rad), math.sin(turn_rad)
    turned = points @ np.array([[1.0, 0.0, 0.0], [0.0, cosine, sine], [0.0, -sine, cosine]])
    apart, _ = cKDTree(points).query(turned)
    return bool(apart.max() <= SAME_POINT * float(np.abs(points).max()))


def _covered(low: Floats, high: Floats, lows: Floats, highs: Floats) -> bool:
    """Tell whether boxes (n, 3) cover the box low..high: it is cut along their sides, piece by piece."""
    todo: list[tuple[Floats, Floats, Indices]] = [(low, high, np.arange(len(lows)))]
    while todo:
        low, high, near = todo.pop()
        meets = (lows[near] <= high + EDGE_RAD) & (highs[near] >= low - EDGE_RAD)
        near = near[meets.all(axis=1)]
        holds = (lows[near] <= low + EDGE_RAD) & (highs[near] >= high - EDGE_RAD)
        if holds.all(axis=1).any():
            continue
        cut = _cut(low, high, lows[near], highs[near])
        if cut is None:
            return False
        axis, at = cut
        left, right = high.copy(), low.copy()
        left[axis] = right[axis] = at
        todo += [(low, left, near), (right, high, near)]
    return True


def _cut(low: Floats, high: Floats, lows: Floats, highs: Floats) -> tuple[int, float] | None:
    """Return the axis and place of a side to cut the box low..high at: one that cuts the fewest boxes.

    Boxes that come of halving have a side that cuts none; of such the one nearest to the middle.
    """
    best: tuple[int, float, int, float] | None = None
    for axis in range(len(low)):
        first, last = np.sort(lows[:, axis]), np.sort(highs[:, axis])
        sides = np.concatenate([first, last])
        sides = sides[(sides > low[axis] + EDGE_RAD) & (sides < high[axis] - EDGE_RAD)]
        if not len(sides):
            continue
        begun = np.searchsorted(first, sides - EDGE_RAD, side="left")
        cuts = begun - np.searchsorted(last, sides + EDGE_RAD, side="right")
        off = np.abs(sides - (low[axis] + high[axis]) / 2.0) / (high[axis] - low[axis])
        k = int(np.lexsort([off, cuts])[0])
        each = (int(cuts[k]), float(off[k]), axis, float(sides[k]))
        best = each if best is None else min(best, each)
    return None if best is None else best[2:]


def _rotations(angles: Floats) -> Floats:
    """Return Rz(swing) . Ry(-tilt) . Rx(roll) for angles (B, 3), by multiplying the three: (B, 3, 3)."""
    zero, one = np.zeros(len(angles)), np.ones(len(angles))
    (cs, ct, cr), (ss, st, sr) = np.cos(angles).T, np.sin(angles).T
    swing = np.array([[cs, -ss, zero], [ss, cs, zero], [zero, zero, one]])
    tilt = np.array([[ct, zero, -st], [zero, one, zero], [st, zero, ct]])
    roll = np.array([[one, zero, zero], [zero, cr, -sr], [zero, sr, cr]])
    return np.asarray(np.einsum("ijb,jkb,klb->bil", swing, tilt, roll))
