"""Check of a "does not fit" among things: every box of poses, cut where it is too wide.

The boxes must cover all rotations that are allowed and all places that the middle of the part's box may have
in the tank. A box is refused where a wall leaves none of its places, or where a convex piece of the part and
a thing meet at all of its poses: at its middle they overlap along every direction that can part two convex
bodies (the normals of both, and what is square to an edge of each), by more than any point of the piece moves
along it in the box. A point moves no more than its tangent tells, and half of the most that its second
derivatives can be. That the pieces lie in the part is checked by cutting the part out of them; likewise
that things in a row, taken as one, are no more than those that stand there.

None of this is code of the search.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from fitcheck.geometry.convex.convex_merge import merged
from fitcheck.geometry.convex.convex_pieces import inner_pieces
from fitcheck.geometry.convex.offset_bodies import grown_within, hull_of
from fitcheck.shapes.manifold import manifold_of
from fitcheck.things.part import Part
from fitcheck.things.solid import Floats, Indices, Mask, Solid
from fitcheck.things.tank import Tank

# Boxes checked before the proof is left as not shown, and how many at a time.
MOST_BOXES, AT_ONCE = 1_500_000, 1_024
# Boxes that move the part less than this are not cut again.
FINEST_MM = 0.01
# Sums of tens of products of metres in double precision, with a lot to spare.
ROUNDING_MM = 5e-5
# Pieces may be out of the part by rounding of the cuts: this share of their surface times the size.
SKIN = 1e-6
# Edges nearer to parallel than this part nothing that the normals do not.
PARALLEL = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """A convex body: corners (k, 3), unit normals (m, 3), unit vectors along its edges (e, 3)."""

    corners: Floats
    normals: Floats
    edges: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """All that refuses: walls (normals, offsets, hull points of the part), pieces of the part, things."""

    normals: Floats
    offsets: Floats
    points: Floats
    pieces: tuple[Body, ...]
    things: tuple[Body, ...]


def scene_of(part: Part, tank: Tank, walls: tuple[Floats, Floats], tape_mm: float) -> Scene | None:
    """Return the scene, tapes given back; None where a piece does not lie in the part, or a thing in things.

    walls: normals and offsets of the room, tapes given back.
    """
    from scipy.spatial import ConvexHull

    vertices = part.solid.vertices_mm
    middle = (vertices.min(axis=0) + vertices.max(axis=0)) / 2.0
    pieces = inner_pieces(part.solid)
    if not all(_lies_in(hull_of(piece, "piece"), (part.solid,)) for piece in pieces):
        return None
    standing = tuple(thing.solid for thing in tank.standing)
    things = merged(standing)
    if not all(_lies_in(thing, standing) for thing in things):
        return None
    by = tank.rules.side_clearance_mm - tape_mm
    grown = [grown_within(thing, by) for thing in things]
    return Scene(
        *walls,
        vertices[ConvexHull(vertices).vertices] - middle,
        tuple(_body(piece - middle) for piece in pieces),
        tuple(_body(each) for each in grown if each is not None),
    )


def with_height_first(scene: Scene) -> Scene:
    """Return the scene with the axes of the part named anew: height, length, width."""
    return replace(
        scene,
        points=_height_first(scene.points),
        pieces=tuple(
            Body(_height_first(each.corners), _height_first(each.normals), _height_first(each.edges))
            for each in scene.pieces
        ),
    )


def _height_first(points: Floats) -> Floats:
    return np.ascontiguousarray(points[:, [2, 0, 1]])


def _lies_in(body: Solid, solids: tuple[Solid, ...]) -> bool:
    """Tell whether a convex body lies in some solids together, but for rounding of its surface."""
    left = manifold_of(body)
    size, area = float(np.ptp(body.vertices_mm, axis=0).max()), left.surface_area()
    for solid in solids:
        left -= manifold_of(solid)
    return bool(left.volume() <= SKIN * size * area)


def close_again(scene: Scene, middle: Floats, half: Floats) -> tuple[int, int]:
    """Check boxes of poses (n, 6); return how many were checked, and how many are left unrefused.

    A pose in the middle of a box that nothing refuses ends it: it will never be refused.
    """
    evaluated, pair = 0, np.zeros(len(middle), dtype=np.int64)
    while len(middle) and evaluated < MOST_BOXES:
        now, later = slice(0, AT_ONCE), slice(AT_ONCE, None)
        evaluated += len(middle[now])
        refused, axis, told, at, ends = _look(scene, middle[now], half[now], pair[now])
        if ends:
            break
        some, wide = middle[now][~refused], half[now][~refused]
        rows, axis = np.arange(len(some)), axis[~refused]
        low, high = some - wide, some + wide
        cut = at[~refused][rows, axis]
        left, right = high.copy(), low.copy()
        left[rows, axis], right[rows, axis] = cut, cut
        middle = np.vstack([(low + left) / 2.0, (right + high) / 2.0, middle[later]])
        half = np.vstack([(left - low) / 2.0, (high - right) / 2.0, half[later]])
        pair = np.concatenate([told[~refused], told[~refused], pair[later]])
    return evaluated, len(middle)


def _look(
    scene: Scene, middle: Floats, half: Floats, pair: Indices
) -> tuple[Mask, Indices, Indices, Floats, bool]:
    """Tell which boxes are refused, along which axis and where to cut the others, and which pair told."""
    turn, ways = _turns(middle[:, :3])
    near, far, none = _places(scene, turn, ways, middle, half)
    refused, meets = none.copy(), np.zeros(len(none), dtype=bool)
    place, aside = (near + far) / 2.0, np.maximum((far - near) / 2.0, 0.0)
    at = np.column_stack([middle[:, :3], place])
    best, told = np.full(len(middle), -np.inf), pair.copy()
    levers = np.linalg.norm(scene.points, axis=1).max()
    short = np.hypot(scene.points[:, 1], scene.points[:, 2]).max()
    shares = np.column_stack([half[:, :3] * [levers, levers, short], aside])
    pairs = len(scene.pieces) * len(scene.things)
    for first in (True, False):
        for k in range(pairs):
            todo = np.flatnonzero(~refused & ((pair == k) == first))
            if not len(todo):
                continue
            piece, thing = scene.pieces[k // len(scene.things)], scene.things[k % len(scene.things)]
            todo = todo[_meet(piece, thing, turn[todo], place[todo])]
            if not len(todo):
                continue
            left, share, deep = _overlap(
                piece, thing, (turn[todo], ways[todo]), place[todo], (half[todo, :3], aside[todo])
            )
            meets[todo] |= deep > 0.0
            better = left > best[todo]
            best[todo[better]], told[todo[better]] = left[better], k
            touching = better & (deep > 0.0)
            shares[todo[touching]] = share[touching]
            refused[todo[left > 0.0]] = True
    narrow = shares.max(axis=1) < FINEST_MM
    ends = bool((~refused & (narrow | (~meets & _is_kept(scene, turn, place)))).any())
    return refused, shares.argmax(axis=1), told, at, ends


def _is_kept(scene: Scene, turn: Floats, place: Floats) -> Mask:
    """Tell at which poses the part is behind every wall."""
    reach = (np.einsum("mi,bij->bmj", scene.normals, turn) @ scene.points.T).max(axis=2)
    return np.asarray((reach + place @ scene.normals.T <= scene.offsets).all(axis=1))


def _meet(piece: Body, thing: Body, turn: Floats, place: Floats) -> Mask:
    """Tell at which poses the balls round the two bodies meet."""
    mine = (piece.corners.min(axis=0) + piece.corners.max(axis=0)) / 2.0
    yours = (thing.corners.min(axis=0) + thing.corners.max(axis=0)) / 2.0
    reach = np.linalg.norm(piece.corners - mine, axis=1).max()
    reach += np.linalg.norm(thing.corners - yours, axis=1).max()
    return np.asarray(np.linalg.norm(turn @ mine + place - yours, axis=1) <= reach)


def _places(
    scene: Scene, turn: Floats, ways: Floats, middle: Floats, half: Floats
) -> tuple[Floats, Floats, Mask]:
    """Return the places low, high (B, 3) that the walls leave of each box, and where they leave none."""
    seen = np.einsum("mi,bij->bmj", scene.normals, turn)
    farthest = (seen @ scene.points.T).argmax(axis=2)
    points = scene.points[farthest]
    moved = np.abs(np.einsum("mi,baij,bmj->bma", scene.normals, ways, points))
    fall = np.einsum("bma,ba->bm", moved, half[:, :3]) + _bend(half, points)
    room = scene.offsets - np.einsum("bmj,bmj->bm", seen, points) + fall + ROUNDING_MM
    low, high = middle[:, 3:] - half[:, 3:], middle[:, 3:] + half[:, 3:]
    for k, normal in enumerate(scene.normals):
        least = np.minimum(normal * low, normal * high)
        for i in range(3):
            if abs(normal[i]) > PARALLEL:
                limit = (room[:, k] - (least.sum(axis=1) - least[:, i])) / normal[i]
                if normal[i] > 0.0:
                    high[:, i] = np.minimum(high[:, i], limit)
                else:
                    low[:, i] = np.maximum(low[:, i], limit)
    return low, high, np.asarray((low > high).any(axis=1))


def _bend(half: Floats, points: Floats) -> Floats:
    """Return how far points (..., k, 3) may leave their tangents in boxes (B, .): (B, k)."""
    far, short = np.linalg.norm(points, axis=-1), np.hypot(points[..., 1], points[..., 2])
    along, roll = half[:, 0] + half[:, 1], half[:, 2]
    return np.asarray(0.5 * (far * (along**2)[:, None] + short * (roll * (2.0 * along + roll))[:, None]))


def _overlap(
    piece: Body, thing: Body, turned: tuple[Floats, Floats], place: Floats, wide: tuple[Floats, Floats]
) -> tuple[Floats, Floats, Floats]:
    """Return how much deeper a piece is than it moves (B,), each coordinate's share, and the depth."""
    turn, ways = turned
    half, aside = wide
    placed = np.einsum("bij,kj->bki", turn, piece.corners) + place[:, None]
    moves = np.einsum("baij,kj->baki", ways, piece.corners)
    bend = _bend(half, np.broadcast_to(piece.corners, (1, *piece.corners.shape))).max(axis=1)
    own = np.einsum("bij,mj->bmi", turn, piece.normals)
    edges = np.einsum("bij,mj->bmi", turn, piece.edges)
    square = np.cross(edges[:, :, None], thing.edges[None, None]).reshape(len(turn), -1, 3)
    size = np.linalg.norm(square, axis=2, keepdims=True)
    parts = size[..., 0] >= PARALLEL
    square /= np.maximum(size, PARALLEL)
    fixed = np.broadcast_to(thing.normals, (len(turn), *thing.normals.shape))
    ways_out = np.concatenate([fixed, own, square], axis=1)
    along = ways_out @ placed.transpose(0, 2, 1)
    other = ways_out @ thing.corners.T
    depth = np.minimum(along.max(axis=2) - other.min(axis=2), other.max(axis=2) - along.min(axis=2))
    swept = np.abs(np.einsum("bdi,baki->bdak", ways_out, moves)) * half[:, None, :, None]
    move = swept.sum(axis=2).max(axis=2) + np.einsum("bdi,bi->bd", np.abs(ways_out), aside)
    depth[:, fixed.shape[1] + own.shape[1] :][~parts] = np.inf
    left = depth - move - bend[:, None] - ROUNDING_MM
    worst = left.argmin(axis=1)
    rows = np.arange(len(turn))
    share = np.column_stack([swept[rows, worst].max(axis=2), np.abs(ways_out[rows, worst]) * aside])
    far = np.linalg.norm(piece.corners, axis=1).max()
    widest = (half * [far, far, np.hypot(piece.corners[:, 1], piece.corners[:, 2]).max()]).argmax(axis=1)
    share[rows, widest] += bend
    return left[rows, worst], share, depth.min(axis=1)


def _turns(angles: Floats) -> tuple[Floats, Floats]:
    """Return Rz(swing) . Ry(-tilt) . Rx(roll) (B, 3, 3), and its three derivatives (B, 3, 3, 3)."""
    axes = (2, 1, 0)
    signs = (1.0, -1.0, 1.0)
    pairs = [_about(axis, sign, angles[:, k]) for k, (axis, sign) in enumerate(zip(axes, signs, strict=True))]
    turn = pairs[0][0] @ pairs[1][0] @ pairs[2][0]
    ways = []
    for k in range(3):
        first, second, third = (pairs[j][1] if j == k else pairs[j][0] for j in range(3))
        ways.append(first @ second @ third)
    return turn, np.stack(ways, axis=1)


def _about(axis: int, sign: float, angle: Floats) -> tuple[Floats, Floats]:
    """Return the turn about an axis by sign times each angle, and its derivative by the angle: (B, 3, 3)."""
    i, j = (axis + 1) % 3, (axis + 2) % 3
    turn, way = np.zeros((len(angle), 3, 3)), np.zeros((len(angle), 3, 3))
    cosine, sine = np.cos(angle), sign * np.sin(angle)
    turn[:, axis, axis] = 1.0
    turn[:, i, i] = turn[:, j, j] = cosine
    turn[:, i, j], turn[:, j, i] = -sine, sine
    way[:, i, i] = way[:, j, j] = -np.sin(angle)
    way[:, i, j], way[:, j, i] = -sign * cosine, sign * cosine
    return turn, way


def _body(points: Floats) -> Body:
    from scipy.spatial import ConvexHull

    hull = ConvexHull(points)
    normals = _unlike(hull.equations[:, :3])
    edges = []
    for simplex, neighbours, plane in zip(hull.simplices, hull.neighbors, hull.equations, strict=True):
        for k, neighbour in enumerate(neighbours):
            if math.dist(hull.equations[neighbour][:3], plane[:3]) > PARALLEL:
                start, end = points[simplex[(k + 1) % 3]], points[simplex[(k + 2) % 3]]
                edges.append((end - start) / math.dist(start, end))
    return Body(points[hull.vertices], normals, _unlike(np.array(edges)))


def _unlike(directions: Floats) -> Floats:
    """Return directions without those that are another, or another turned round."""
    kept = [
        each
        for k, each in enumerate(directions)
        if not any(
            min(np.abs(each - old).max(), np.abs(each + old).max()) <= PARALLEL for old in directions[:k]
        )
    ]
    return np.array(kept)
