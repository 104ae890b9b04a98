"""The search over all six freedoms of a part among convex things, which proves that no pose is clear.

A cell is a box of rotations (swing, tilt, roll) times a box of shifts of the part's middle. It is refused in
one of three ways.

1. The tank alone has no room for the part at any rotation of the cell (`search.py`, the outer bound).
2. The walls leave no shift of the cell: a point of the part is too far out along some wall's direction.
3. Some convex piece A that lies in the part and some thing B meet at every pose of the cell. Say at the
   middle of the cell they overlap; then they do so by the depth h(d) = max d.a + max -d.b (a in A, b in B),
   for every unit vector d. At another pose of the cell A can be parted from B along d only if some point of A
   has moved there by h(d) along d. No point moves along d by more than

       m(d) = sum |d_i| s_i + max over a of sum_j e_j |d . dR/dj a| + bend,

   s the half-sides of the shifts, e those of the angles, and bend the most that Taylor's theorem lets a point
   leave its tangent, every second derivative being at most the point's distance from the middle (from the
   long axis, where roll is in it). m is the support function of a convex body, h that of the difference of B
   and A, a polytope; so h > m for all d as soon as it is so for the normals of that polytope's faces: the
   normals of A and of B, and what is square to an edge of both (S. Gottschalk, M. Lin, D. Manocha, OBBTree,
   SIGGRAPH 1996). These are looked at one by one.

What is left is cut along the coordinate that moves the part most along the direction that parts them soonest.
A pose in the middle of a cell that none of this refuses ends the search at once: it can never be refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from fitcheck.geometry.cells import Allowed, Cells
from fitcheck.geometry.convex_pieces import inner_pieces
from fitcheck.geometry.envelope import Envelope
from fitcheck.geometry.grown import grown_within
from fitcheck.geometry.hulls import bodies_of
from fitcheck.geometry.points import Points
from fitcheck.geometry.search import Search
from fitcheck.things.solid import Floats, Indices, Mask, Solid

if TYPE_CHECKING:
    from fitcheck.geometry.compiled.six import Room

# Cells in front before each is closed by itself; cells looked at in a round. Measured, not derived.
FRONT, ROUND = 1_024, 256
# Sides of the first cells' rotations.
WIDEST_RAD = np.pi / 4.0
# Cells that move the part less than this are given up: far under any tape.
FINEST_MM = 0.01


@dataclass(frozen=True, slots=True, eq=False)
class Boxes:
    """Boxes of poses: low (n, 6) and high (n, 6): swing, tilt, roll, and the shift of the part's middle."""

    low: Floats
    high: Floats

    def __len__(self) -> int:
        return len(self.low)

    @property
    def share(self) -> Floats:
        """Measure of each box: that of its rotations among all, times the volume of its shifts in mm3."""
        turns = Cells((self.low[:, :3] + self.high[:, :3]) / 2.0, (self.high[:, :3] - self.low[:, :3]) / 2.0)
        # A rotation that is held has no measure of its own: it counts as one.
        wide = np.where(turns.half_rad > 0.0, turns.half_rad, np.pi)
        each = np.where((turns.half_rad > 0.0).all(axis=1), turns.share, wide.prod(axis=1))
        return np.asarray(each * (self.high[:, 3:] - self.low[:, 3:]).prod(axis=1))


@dataclass(frozen=True, slots=True, eq=False)
class Refusal:
    """What came of it. closed: no pose is left. leaves: boxes that cover all poses, refused where closed.

    looked: boxes looked at. open_share: of all poses, by volume. free: a pose (6,) that nothing refuses, or
    None. hopeful (k, 6): poses in the middle of boxes still open.
    """

    closed: bool
    leaves: Boxes
    looked: int
    open_share: float
    free: Floats | None
    hopeful: Floats


@dataclass(frozen=True, eq=False)
class Among:
    """A part among things in a room. solid: the part as drawn.

    clearance_mm: between the part and the things. The envelope's own clearances are off already.
    """

    points: Points
    solid: Solid
    envelope: Envelope
    things: tuple[Solid, ...]
    clearance_mm: float

    @cached_property
    def pieces(self) -> tuple[Floats, ...]:
        """Corners of convex pieces in the part, about its middle: only a proof asks for them."""
        return tuple(piece - self.points.middle_mm for piece in inner_pieces(self.solid))

    def refuse(self, allowed: Allowed, goal_mm: float, most: int) -> Refusal:
        """Try to prove that no allowed pose has a spare of goal_mm or more, in `most` looks."""
        return _Closing(self, allowed, goal_mm).run(most)


def shifts_of(envelope: Envelope, points: Points) -> tuple[Floats, Floats]:
    """Return the box low, high (3,) that holds the part's middle wherever the part is behind the planes."""
    from scipy.optimize import linprog

    far = _out_of_hull(points.all_mm)
    ends = []
    for way in np.vstack([-np.eye(3), np.eye(3)]):
        done = linprog(-way, envelope.normals, envelope.offsets_mm, bounds=(None, None))
        ends.append(float(-done.fun) if done.status == 0 else 0.0)
    return -np.array(ends[:3]) - far, np.array(ends[3:]) + far


def _out_of_hull(points: Floats) -> float:
    """Return a distance within which of the origin there is a point of the hull: 0 where it is inside."""
    from scipy.spatial import ConvexHull

    if (ConvexHull(points).equations[:, 3] <= 0.0).all():
        return 0.0
    return float(np.linalg.norm(points, axis=1).min())


class _Closing:
    """One try to refuse all poses."""

    def __init__(self, among: Among, allowed: Allowed, goal_mm: float) -> None:
        self.search = Search(among.points, among.envelope, np.ones(len(among.envelope.normals)))
        self.goal_mm = goal_mm
        self.part = bodies_of(among.pieces)
        grown = [grown_within(thing, among.clearance_mm + goal_mm) for thing in among.things]
        self.things = bodies_of(tuple(each for each in grown if each is not None))
        self.room = room_of(among.envelope, among.points, goal_mm)
        self.looked = 0
        low, high = shifts_of(among.envelope.with_offsets(self.room.offsets), among.points)
        turns = allowed.cells(WIDEST_RAD)
        self.first = Boxes(
            np.column_stack([turns.middle_rad - turns.half_rad, np.broadcast_to(low, (len(turns), 3))]),
            np.column_stack([turns.middle_rad + turns.half_rad, np.broadcast_to(high, (len(turns), 3))]),
        )

    def run(self, most: int) -> Refusal:
        """Look at boxes, the widest first, until they are many; then close each by itself."""
        boxes, pairs = self.first, np.full(len(self.first), -1)
        wide, done = np.full(len(boxes), np.inf), []
        fresh = np.ones(len(boxes), dtype=bool)
        while len(boxes) and len(boxes) < FRONT and self.looked < most:
            order = np.argsort(-wide, kind="stable")
            now, later = order[:ROUND], order[ROUND:]
            low, high = boxes.low[now], boxes.high[now]
            keep = ~self._refused_by_tank(low, high, fresh[now])
            done.append((low[~keep], high[~keep]))
            low, high = np.ascontiguousarray(low[keep]), np.ascontiguousarray(high[keep])
            known, axis, pair, cut = self._look(low, high, pairs[now][keep])
            if (known == 2).any():
                free = cut[np.argmax(known == 2), 2:]
                everything = _joined([*done, (low, high), (boxes.low[later], boxes.high[later])])
                left = _joined([(low[known > 0], high[known > 0]), (boxes.low[later], boxes.high[later])])
                return self._ended(everything, left, free, cut[known > 0, 2:])
            done.append((low[known == 0], high[known == 0]))
            halves = _halved(low, high, known, axis, cut)
            turned = axis[known > 0] < 3
            width = cut[known > 0, 0]
            boxes = Boxes(
                np.concatenate([halves.low, boxes.low[later]]),
                np.concatenate([halves.high, boxes.high[later]]),
            )
            pairs = np.concatenate([pair[known > 0], pair[known > 0], pairs[later]])
            wide = np.concatenate([width, width, wide[later]])
            fresh = np.concatenate([turned, turned, fresh[later]])
        return self._close(boxes, pairs, done, most)

    def _look(self, low: Floats, high: Floats, pairs: Indices) -> tuple[Indices, Indices, Indices, Floats]:
        from fitcheck.geometry.compiled.six import look_at_all

        self.looked += len(low)
        found: tuple[Indices, Indices, Indices, Floats] = look_at_all(
            low, high, self.part, self.things, self.room, np.ascontiguousarray(pairs)
        )
        return found

    def _refused_by_tank(self, low: Floats, high: Floats, fresh: Mask) -> Mask:
        """Tell which boxes (B, 6), where newly turned, have rotations for which the tank is too small."""
        refused = np.zeros(len(low), dtype=bool)
        if fresh.any():
            turns = Cells(
                np.ascontiguousarray(low[fresh, :3] + high[fresh, :3]) / 2.0,
                np.ascontiguousarray(high[fresh, :3] - low[fresh, :3]) / 2.0,
            )
            refused[fresh] = self.search.look(turns, -self.goal_mm).low_mm > -self.goal_mm
        return refused

    def _close(self, boxes: Boxes, pairs: Indices, done: list[tuple[Floats, Floats]], most: int) -> Refusal:
        from fitcheck.geometry.compiled.six import FREE, REFUSED, close

        everything = _joined([*done, (boxes.low, boxes.high)])
        free, pose = None, np.empty(6)
        for i in range(len(boxes)):
            low, high = np.ascontiguousarray(boxes.low[i]), np.ascontiguousarray(boxes.high[i])
            known, looked = close(
                low,
                high,
                self.part,
                self.things,
                self.room,
                int(pairs[i]),
                most - self.looked,
                FINEST_MM,
                pose,
            )
            self.looked += looked
            if known != REFUSED:
                free = pose if known == FREE else None
                return self._ended(everything, Boxes(boxes.low[i:], boxes.high[i:]), free, pose[None])
        return self._ended(everything, Boxes(boxes.low[:0], boxes.high[:0]), None, np.zeros((0, 6)))

    def _ended(self, everything: Boxes, left: Boxes, free: Floats | None, hopeful: Floats) -> Refusal:
        share = float(left.share.sum() / max(self.first.share.sum(), np.finfo(float).tiny))
        return Refusal(not len(left), everything, self.looked, share, free, hopeful)


def room_of(envelope: Envelope, points: Points, goal_mm: float) -> Room:
    """Return the planes, goal_mm further in, and the points used of the part, for the compiled loops."""
    from fitcheck.geometry.compiled.six import Room

    return Room(
        np.ascontiguousarray(envelope.normals),
        np.ascontiguousarray(envelope.offsets_mm - goal_mm),
        np.ascontiguousarray(points.used_mm),
    )


def _halved(low: Floats, high: Floats, known: Indices, axis: Indices, cut: Floats) -> Boxes:
    """Return the two halves of every box that is open."""
    low, high, axis, at = low[known > 0], high[known > 0], axis[known > 0], cut[known > 0, 1]
    rows = np.arange(len(low))
    left, right = high.copy(), low.copy()
    left[rows, axis], right[rows, axis] = at, at
    return Boxes(np.concatenate([low, right]), np.concatenate([left, high]))


def _joined(boxes: list[tuple[Floats, Floats]]) -> Boxes:
    return Boxes(
        np.concatenate([low for low, _ in boxes] or [np.zeros((0, 6))]),
        np.concatenate([high for _, high in boxes] or [np.zeros((0, 6))]),
    )
