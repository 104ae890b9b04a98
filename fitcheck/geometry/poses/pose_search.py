"""Branch and bound over all six freedoms of a part among convex things: proof that no pose is clear.

A cell is a box of rotations (swing, tilt, roll) times a box of shifts of the part's middle. It is refused in
one of three ways.

1. The tank alone has no room for the part at any rotation of the cell (`rotation_search.py`, outer bound).
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
   SIGGRAPH 1996). These are evaluated one by one.

What is left is cut along the coordinate that moves the part most along the direction that parts them soonest.
A pose in the middle of a cell that none of this refuses ends the search at once: it can never be refused.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from fitcheck.geometry.convex.convex_bodies import bodies_of, with_axes
from fitcheck.geometry.convex.convex_pieces import inner_pieces
from fitcheck.geometry.convex.offset_bodies import grown_within
from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.envelope import Envelope
from fitcheck.geometry.rotations.rotation_cells import Allowed, Cells
from fitcheck.geometry.rotations.rotation_charts import Chart, charts_of
from fitcheck.geometry.rotations.rotation_search import Search
from fitcheck.things.solid import Floats, Indices, Mask, Solid

if TYPE_CHECKING:
    from fitcheck.geometry.kernels.pose_bounds import Bodies, Room

# Cells in front before each is closed by itself; cells evaluated in a round. Measured, not derived.
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
    """Result of a refusal attempt. closed: no pose is left.

    leaves: boxes that cover all poses, refused where closed; on_end: where there are any, those of the part
    with its axes named anew (`rotation_charts.py`). evaluated: how many boxes. open_share: of all, by volume.
    free: a pose (6,) that nothing refuses, or None. hopeful (k, 6): poses in the middle of boxes still open.
    """

    closed: bool
    leaves: Boxes
    on_end: Boxes | None
    evaluated: int
    open_share: float
    free: Floats | None
    hopeful: Floats


@dataclass(frozen=True, eq=False)
class Among:
    """A part among things in a room. solid: the part as drawn.

    clearance_mm: between the part and the things. The envelope's own clearances are off already.
    """

    points: ActivePoints
    solid: Solid
    envelope: Envelope
    things: tuple[Solid, ...]
    clearance_mm: float

    @cached_property
    def pieces(self) -> tuple[Floats, ...]:
        """Corners of convex pieces in the part, about its middle: only a proof asks for them."""
        return tuple(piece - self.points.middle_mm for piece in inner_pieces(self.solid))

    @cached_property
    def bodies(self) -> Bodies:
        """The pieces as the compiled loops take them."""
        return bodies_of(self.pieces)

    def refuse(self, allowed: Allowed, goal_mm: float, most: int) -> Refusal:
        """Try to prove that no allowed pose has a spare of goal_mm or more, in `most` boxes."""
        closings = [_Closing(self, chart, goal_mm) for chart in charts_of(allowed)]
        # A pose that is free is found sooner by evaluating all wide boxes first.
        for step in (_Closing.narrow, _Closing.close):
            for closing in closings:
                step(closing, most - sum(each.evaluated for each in closings))
                if closing.ended:
                    return _refusal(closings)
        return _refusal(closings)


def shifts_of(envelope: Envelope, points: ActivePoints) -> tuple[Floats, Floats]:
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
    """One try to refuse all poses of one chart of rotations.

    done: boxes refused, low and high; boxes: those still open. ended: one of them cannot be refused, or not
    within the boxes allowed: `free` or `hopeful` says where.
    """

    def __init__(self, among: Among, chart: Chart, goal_mm: float) -> None:
        points = among.points if chart.as_drawn else ActivePoints(among.solid.vertices_mm @ chart.axes.T)
        self.chart = chart
        self.search = Search(points, among.envelope, np.ones(len(among.envelope.normals)))
        self.goal_mm = goal_mm
        self.part = with_axes(among.bodies, chart.axes)
        grown = [grown_within(thing, among.clearance_mm + goal_mm) for thing in among.things]
        self.things = bodies_of(tuple(each for each in grown if each is not None))
        self.room = room_of(among.envelope, points, goal_mm)
        self.evaluated = 0
        low, high = shifts_of(among.envelope.with_offsets(self.room.offsets), points)
        turns = chart.cells(WIDEST_RAD)
        self.first = Boxes(
            np.column_stack([turns.middle_rad - turns.half_rad, np.broadcast_to(low, (len(turns), 3))]),
            np.column_stack([turns.middle_rad + turns.half_rad, np.broadcast_to(high, (len(turns), 3))]),
        )
        self.boxes, self.pairs = self.first, np.full(len(self.first), -1)
        self.done: list[tuple[Floats, Floats]] = []
        self.ended, self.hopeful = False, np.zeros((0, 6))
        self.free: Floats | None = None

    def narrow(self, most: int) -> None:
        """Evaluate boxes, the widest first, until they are many, `most` of them."""
        wide, fresh = np.full(len(self.boxes), np.inf), np.ones(len(self.boxes), dtype=bool)
        most += self.evaluated
        while not self.ended and len(self.boxes) and len(self.boxes) < FRONT and self.evaluated < most:
            order = np.argsort(-wide, kind="stable")
            now, later = order[:ROUND], order[ROUND:]
            low, high = self.boxes.low[now], self.boxes.high[now]
            keep = ~self._refused_by_tank(low, high, fresh[now])
            self.done.append((low[~keep], high[~keep]))
            low, high = np.ascontiguousarray(low[keep]), np.ascontiguousarray(high[keep])
            known, axis, pair, cut = self._look(low, high, self.pairs[now][keep])
            self.done.append((low[known == 0], high[known == 0]))
            if (known == 2).any():
                self.ended, self.free = True, cut[np.argmax(known == 2), 2:]
                self.hopeful = cut[known > 0, 2:]
            halves = _halved(low, high, known, axis, cut)
            self.boxes = Boxes(
                np.concatenate([halves.low, self.boxes.low[later]]),
                np.concatenate([halves.high, self.boxes.high[later]]),
            )
            turned = axis[known > 0] < 3
            width = cut[known > 0, 0]
            self.pairs = np.concatenate([pair[known > 0], pair[known > 0], self.pairs[later]])
            wide = np.concatenate([width, width, wide[later]])
            fresh = np.concatenate([turned, turned, fresh[later]])

    def _look(self, low: Floats, high: Floats, pairs: Indices) -> tuple[Indices, Indices, Indices, Floats]:
        from fitcheck.geometry.kernels.pose_bounds import bound_boxes

        self.evaluated += len(low)
        found: tuple[Indices, Indices, Indices, Floats] = bound_boxes(
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
            refused[fresh] = self.search.bound(turns, -self.goal_mm).low_mm > -self.goal_mm
        return refused

    def close(self, most: int) -> None:
        """Close the boxes one by one, in `most` evaluations, up to the first that is not refused."""
        from fitcheck.geometry.kernels.pose_bounds import FREE, REFUSED, close

        boxes, pose, at = self.boxes, np.empty(6), 0
        most += self.evaluated
        while at < len(boxes) and not self.ended:
            low, high = np.ascontiguousarray(boxes.low[at]), np.ascontiguousarray(boxes.high[at])
            known, evaluated = close(
                low,
                high,
                self.part,
                self.things,
                self.room,
                int(self.pairs[at]),
                most - self.evaluated,
                FINEST_MM,
                pose,
            )
            self.evaluated += evaluated
            if known == REFUSED:
                at += 1
                continue
            self.ended, self.free, self.hopeful = True, pose if known == FREE else None, pose[None]
        self.done.append((boxes.low[:at], boxes.high[:at]))
        self.boxes = Boxes(boxes.low[at:], boxes.high[at:])

    @property
    def leaves(self) -> Boxes:
        """All boxes, refused or open: they cover all poses."""
        return _joined([*self.done, (self.boxes.low, self.boxes.high)])


def _refusal(closings: list[_Closing]) -> Refusal:
    """Return what came of all charts, and the poses of the one that ended it."""
    left = sum(float(each.boxes.share.sum()) for each in closings)
    first = sum(float(each.first.share.sum()) for each in closings)
    told = next((each for each in closings if each.ended), closings[-1])
    free = None if told.free is None else told.chart.poses_as_drawn(told.free[None])[0]
    return Refusal(
        not any(len(each.boxes) for each in closings),
        closings[0].leaves,
        closings[1].leaves if len(closings) > 1 else None,
        sum(each.evaluated for each in closings),
        left / max(first, np.finfo(float).tiny),
        free,
        told.chart.poses_as_drawn(told.hopeful),
    )


def room_of(envelope: Envelope, points: ActivePoints, goal_mm: float) -> Room:
    """Return the planes, goal_mm further in, and the points used of the part, for the compiled loops."""
    from fitcheck.geometry.kernels.pose_bounds import Room

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
