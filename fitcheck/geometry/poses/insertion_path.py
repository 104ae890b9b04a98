"""Insertion path of a part into a tank: straight down, checked exactly, or by small steps.

What a part meets while it is lifted straight up is what it would meet, where it hangs, of the same thing
drawn out downward; a convex thing drawn out is convex. So a straight lift is one exact distance a thing.

Any other way is a path of poses. Between two of them no point of the part moves further than the shift of its
middle and the turns times its distance from it; where that is less than the gaps at both ends together, all
poses between are clear (conservative advancement: B. Mirtich, Impulse-based dynamic simulation of rigid body
systems, 1996); else the middle pose is checked too. The path is found backwards, from where the part hangs,
by random trees (S. LaValle, Rapidly-exploring random trees, 1998) whose every pose is tried for a straight
lift. Two of them keep to what hands do first, one end up or one edge up: three freedoms are soon filled where
six are not. That none was found proves nothing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from fitcheck.geometry.convex.offset_bodies import swept_down
from fitcheck.geometry.mesh.distance import Surface, surface_gap_mm
from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.envelope import faces_of
from fitcheck.geometry.rotations.rotation_cells import Allowed, rotations
from fitcheck.things.pose import Pose
from fitcheck.things.solid import Floats, Solid

# Halvings of a step that is to be shown clear, of a path and of a tree; the longest step of a tree, in shares
# of the part's reach.
MOST_HALVINGS, HALVINGS, STEP = 6, 2, 0.15
SEED = 1


class Effort(NamedTuple):
    """How far a tree goes: targets, steps tried in all, and how often one that is in the way is halved."""

    targets: int
    steps: int
    shorter: int


# Of the tree that keeps to one end first, of that of one edge first, and of that of all six freedoms.
MOST = (Effort(350, 350, 1), Effort(350, 350, 1), Effort(160, 660, 0))


@dataclass(frozen=True, slots=True, eq=False)
class Obstacles:
    """What a part must stay clear of on its way: convex things, and walls up to the rim.

    beyond_mm: how far the walls reach out over the inside of the tank.
    """

    things: tuple[Solid, ...]
    walls: tuple[Solid, ...]
    rim_mm: float
    beyond_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class _Still:
    """A convex thing: its surface, and the planes of its faces."""

    surface: Surface
    normals: Floats
    offsets: Floats

    @classmethod
    def of(cls, thing: Solid) -> _Still:
        """Make it ready."""
        return cls(Surface.of(thing.vertices_mm, thing.triangles), *faces_of(thing))


class Way:
    """One part on its way into a tank. Poses are (6,): swing, tilt, roll, and the shift of its middle."""

    def __init__(self, solid: Solid, points: ActivePoints, obstacles: Obstacles) -> None:
        self.surface = Surface.of(solid.vertices_mm - points.middle_mm, solid.triangles)
        self.points, self.obstacles = points, obstacles
        self.stills = [_Still.of(thing) for thing in (*obstacles.things, *obstacles.walls)]
        walls = np.vstack([wall.vertices_mm for wall in obstacles.walls])
        far_mm = float(points.levers_mm[0])
        self.low_mm = np.array([*(walls[:, :2].min(axis=0) + obstacles.beyond_mm), 0.0])
        self.high_mm = np.array(
            [*(walls[:, :2].max(axis=0) - obstacles.beyond_mm), obstacles.rim_mm + far_mm]
        )
        far = obstacles.rim_mm + 2.0 * far_mm
        self.swept = [_Still.of(swept_down(thing, far)) for thing in obstacles.things]
        upright = [wall for wall in obstacles.walls if wall.vertices_mm[:, 2].max() > 0.0]
        self.swept_walls = [_Still.of(swept_down(wall, far)) for wall in upright]

    def straight_mm(self, pose: Floats, most_mm: float = np.inf) -> float:
        """Return the least gap to the things while it is lifted out from a clear pose; 0: it meets one.

        A gap over most_mm is told as that, which takes less.
        """
        return self._nearest_mm(pose, self.swept, most_mm)

    def gap_mm(self, pose: Floats, most_mm: float = np.inf) -> float:
        """Return the least gap of the surface to everything at a pose, or most_mm; 0: it meets something.

        Whether the part has a thing within it is not checked: it cannot come to that from a clear pose
        without meeting it.
        """
        return self._nearest_mm(pose, self.stills, most_mm)

    def _nearest_mm(self, pose: Floats, stills: list[_Still], nearest: float) -> float:
        at = _at(pose)
        placed = at.apply(self.surface.vertices_mm)
        over = [float(((placed @ still.normals.T).min(axis=0) - still.offsets).max()) for still in stills]
        for k in np.argsort(over):
            # All of it over one face of the thing is a gap that needs no exact distance unless it decides.
            if over[k] >= nearest:
                break
            if (placed @ stills[k].normals.T <= stills[k].offsets).all(axis=1).any():
                return 0.0
            nearest = min(nearest, surface_gap_mm(self.surface, stills[k].surface, at))
        return float(nearest)

    def between_mm(self, one: Floats, other: Floats, least_mm: float, halvings: int = MOST_HALVINGS) -> float:
        """Return a gap that all poses between two keep; 0 where it is not shown to be over least_mm."""
        return self._between((one, self.gap_mm(one)), (other, self.gap_mm(other)), least_mm, halvings)

    def _between(
        self, one: tuple[Floats, float], other: tuple[Floats, float], least_mm: float, halvings: int
    ) -> float:
        if min(one[1], other[1]) <= least_mm:
            return 0.0
        kept = (one[1] + other[1] - self.moves_mm(one[0], other[0])) / 2.0
        if kept > least_mm:
            return min(kept, one[1], other[1])
        if halvings == 0:
            return 0.0
        middle = (one[0] + other[0]) / 2.0
        half = (middle, self.gap_mm(middle))
        first = self._between(one, half, least_mm, halvings - 1)
        return min(first, self._between(half, other, least_mm, halvings - 1)) if first > 0.0 else 0.0

    def moves_mm(self, one: Floats, other: Floats) -> float:
        """Return how far any point of the part moves at most between two poses."""
        by = np.abs(other - one)
        return float(np.linalg.norm(by[3:]) + by[:3] @ self.points.levers_mm)

    def out(self, pose: Floats, allowed: Allowed, least_mm: float) -> list[Floats] | None:
        """Return poses from one that lifts straight out back to `pose`, each step clear; None: not found."""
        low = np.append(allowed.low_rad, self.low_mm)
        high = np.append(allowed.high_rad, self.high_mm)
        for moves, most in zip(_freedoms(float(pose[0])), MOST, strict=True):
            ends = _ends(moves, low - pose, high - pose)
            path = self._grown(pose, (moves, ends), least_mm, most)
            if path is not None:
                return self._shorter(path, least_mm)
        return None

    def _grown(
        self, pose: Floats, freedom: tuple[Floats, Floats], least_mm: float, most: Effort
    ) -> list[Floats] | None:
        """Return what `out` does, as found by a tree that keeps to moves (k, 6) between ends (2, k)."""
        random, weights = np.random.default_rng(SEED), np.append(self.points.levers_mm, np.ones(3))
        (moves, ends), longest = freedom, STEP * float(self.points.levers_mm[0])
        # No gap over this is needed to show a step clear.
        enough_mm = longest + 2.0 * least_mm
        tree, gaps, comes_from, left = [pose], [self.gap_mm(pose)], [-1], most.steps
        for _ in range(most.targets):
            target = pose + random.uniform(*ends) @ moves
            at = int(np.linalg.norm((np.array(tree) - target) * weights, axis=1).argmin())
            step, shorter = longest, 0
            # On towards the target until something is in the way.
            while left > 0 and shorter <= most.shorter and (to_go := self.moves_mm(tree[at], target)) > 0.0:
                left -= 1
                other = tree[at] + (target - tree[at]) * min(1.0, step / to_go)
                gap = self.gap_mm(other, enough_mm)
                if self._between((tree[at], gaps[at]), (other, gap), least_mm, HALVINGS) <= 0.0:
                    step, shorter = step / 2.0, shorter + 1
                    continue
                comes_from.append(at)
                tree.append(other)
                gaps.append(gap)
                at = len(tree) - 1
                if self._lifts_out(other, least_mm):
                    return [tree[k] for k in _back(comes_from)]
        return None

    def _lifts_out(self, pose: Floats, least_mm: float) -> bool:
        """Tell whether the part lifts straight out, clear of things, and of walls: drawn out down too."""
        enough_mm = 2.0 * least_mm + 1.0
        return (
            self.straight_mm(pose, enough_mm) > least_mm
            and self._nearest_mm(pose, self.swept_walls, enough_mm) > 0.0
        )

    def _shorter(self, path: list[Floats], least_mm: float) -> list[Floats]:
        """Return a path without poses that may be passed by."""
        kept, k = [path[0]], 0
        while k < len(path) - 1:
            ahead = next(
                j
                for j in range(len(path) - 1, k, -1)
                if j == k + 1 or self.between_mm(path[k], path[j], least_mm)
            )
            kept.append(path[ahead])
            k = ahead
        return kept


def _at(pose: Floats) -> Pose:
    return Pose("tank", "part", rotations(pose[None, :3])[0], pose[3:])


def _freedoms(swing: float) -> tuple[Floats, Floats, Floats]:
    """Return moves (k, 6) for one end first, for one edge first, in the part's upright planes, and all six.

    Along the part in plan or across it, up, and tilt or roll: what hands do to get a part under something.
    """
    _, tilts, rolls, x, y, up = np.eye(6)
    along = math.cos(swing) * x + math.sin(swing) * y
    across = math.cos(swing) * y - math.sin(swing) * x
    return np.array([along, up, tilts]), np.array([across, up, rolls]), np.eye(6)


def _ends(moves: Floats, low: Floats, high: Floats) -> Floats:
    """Return how far (2, k) each move may go, back and on, within what is allowed of all six."""
    with np.errstate(divide="ignore", invalid="ignore"):
        each = np.where(moves == 0.0, np.inf, np.array([low / moves, high / moves]))
    back, on = each.min(axis=0), each.max(axis=0)
    back[moves == 0.0] = -np.inf
    return np.array([np.minimum(back.max(axis=1), 0.0), np.maximum(on.min(axis=1), 0.0)])


def _back(comes_from: list[int]) -> list[int]:
    """Return the numbers from the last of a tree back to the first."""
    path = [len(comes_from) - 1]
    while comes_from[path[-1]] >= 0:
        path.append(comes_from[path[-1]])
    return path
