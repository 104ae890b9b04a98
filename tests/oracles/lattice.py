"""Solids cut from a lattice of bricks, and what they hold, by a second way that is exact and knows no surface.

Every brick is metal or free, and is six tetrahedra. Air leaves a free one through its faces: the higher the
highest corner of a face, the sooner. So the height under which a piece of free space is open is that of the
best way out, the one whose lowest face reaches highest (the widest path: M. Pollack, The maximum capacity
through a network, Operations Research 8 (1960) 733-736), and what is caught is the volume over it. Nothing is
shared with `geometry/liquid/pockets.py`: no join tree, no rays, no surface.
"""

from __future__ import annotations

import heapq
import itertools
from dataclasses import dataclass

import numpy as np
from scipy.ndimage import label
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from fitcheck.things.solid import Floats, Indices, Mask, Solid
from fitcheck.words.errors import Refused

TETS = 6
# The faces of a tetrahedron, each seen from outside, and across from its first to its last corner.
FACES = np.array([[1, 2, 3], [0, 3, 2], [0, 1, 3], [0, 2, 1]])


def _six() -> Indices:
    """Return the corners (6, 4, 3) of the tetrahedra of a unit brick, as steps along x, y and z.

    H. W. Kuhn, Some combinatorial lemmas in topology, IBM J. Research and Development 4 (1960) 518-524: each
    goes from the low corner to the high one by the three axes in another order.
    """
    walks = []
    for axes in itertools.permutations(range(3)):
        steps = np.eye(3, dtype=np.int64)[list(axes)]
        walk = np.vstack([np.zeros((1, 3), dtype=np.int64), np.cumsum(steps, axis=0)])
        walks.append(walk if np.linalg.det(steps) > 0.0 else walk[[0, 1, 3, 2]])
    return np.array(walks)


class Lattice:
    """Bricks between the points (x, y, z, 3) of a lattice, of which `metal` (x - 1, ...) are metal.

    The outermost bricks are free, and the outside of the lattice is convex.
    """

    def __init__(self, points_mm: Floats, metal: Mask) -> None:
        self.points_mm = points_mm.reshape(-1, 3)
        brick = np.argwhere(np.ones(metal.shape, dtype=bool))
        corner = (brick[:, None, None] + _six()).reshape(-1, 4, 3)
        self._tets = np.ravel_multi_index(tuple(np.moveaxis(corner, -1, 0)), points_mm.shape[:3])
        self._metal = np.repeat(metal.reshape(-1), TETS)
        self._faces = self._tets[:, FACES].reshape(-1, 3)
        a, b, c, d = (self.points_mm[self._tets[:, k]] for k in range(4))
        self._mm3 = np.einsum("ij,ij->i", np.cross(b - a, c - a), d - a) / 6.0
        assert self._mm3.min() > 0.0, "a brick is bent until it turns inside out"
        _, place, times = np.unique(
            np.sort(self._faces, axis=1), axis=0, return_inverse=True, return_counts=True
        )
        order = np.argsort(place.reshape(-1), kind="stable")
        shared = times[place.reshape(-1)[order]] == 2
        self._outermost = order[~shared]
        one, other = order[shared][::2], order[shared][1::2]
        self._pairs = np.concatenate([np.column_stack([one, other]), np.column_stack([other, one])])

    def solid(self) -> Solid:
        """Return the metal as a solid. Where bricks touch in an edge alone, the metal is joined there.

        Raises `Refused` where that edge would still be shared by four triangles.
        """
        side = self._metal[self._pairs // 4]
        skin = self._pairs[side[:, 0] & ~side[:, 1]]
        faces = self._faces[skin[:, 0]]
        used, triangles = np.unique(faces, return_inverse=True)
        vertices, triangles = self.points_mm[used], triangles.reshape(-1, 3)
        start, end = triangles.reshape(-1), np.roll(triangles, -1, axis=1).reshape(-1)
        edge = np.minimum(start, end) * len(used) + np.maximum(start, end)
        times, place = np.unique(edge, return_inverse=True, return_counts=True)[1:][::-1]
        if times.max() == 2:
            return Solid(vertices, triangles, "lattice")
        # Of four triangles at an edge, the two that bound the same free brick go together.
        free_brick = np.repeat(skin[:, 1] // (4 * TETS), 3)
        order = np.lexsort([np.where(times[place] == 4, free_brick, 0), edge])
        one, other = order[::2], order[1::2]
        ahead = np.roll(np.arange(triangles.size).reshape(-1, 3), -1, axis=1).reshape(-1)
        ends = np.concatenate([one, ahead[one]]), np.concatenate([ahead[other], other])
        links = coo_array((np.ones(len(ends[0])), ends), shape=(triangles.size,) * 2)
        corner = connected_components(links, directed=False)[1]
        first = np.unique(corner, return_index=True)[1]
        return Solid(vertices[start[first]], corner.reshape(-1, 3).astype(np.int64), "lattice")

    def air_mm3(self, up: Floats, under: float = np.inf) -> float:
        """Return the air caught, lowered with this unit vector upward; only that under a height along it."""
        heights = self.points_mm @ up
        over = heights[self._tets] - self._open_under(heights)[:, None]
        capped = heights[self._tets] - max(under, float(heights.min()))
        share = _share_over(over) - np.minimum(_share_over(capped), _share_over(over))
        return float((share * self._mm3)[~self._metal].sum())

    def _open_under(self, heights: Floats) -> Floats:
        """Return for every tetrahedron the height of its best way out; -inf where there is none."""
        free = ~self._metal[self._pairs // 4].any(axis=1)
        ways = self._pairs[free][np.argsort(self._pairs[free][:, 0], kind="stable")]
        sill = heights[self._faces[ways[:, 0]]].max(axis=1).tolist()
        begins = np.searchsorted(ways[:, 0] // 4, np.arange(len(self._tets) + 1)).tolist()
        to = (ways[:, 1] // 4).tolist()
        edge = heights[self._faces[self._outermost]].max(axis=1)
        found = np.full(len(self._tets), -np.inf)
        queue = [(-height, int(tet)) for height, tet in zip(edge, self._outermost // 4, strict=True)]
        heapq.heapify(queue)
        while queue:
            lowest, tet = heapq.heappop(queue)
            if found[tet] > -np.inf:
                continue
            found[tet] = -lowest
            for k in range(begins[tet], begins[tet + 1]):
                if found[to[k]] == -np.inf:
                    heapq.heappush(queue, (max(lowest, -sill[k]), to[k]))
        return found


def _share_over(heights: Floats) -> Floats:
    """Return the share (n,) of tetrahedra over height 0, by the heights (n, 4) of their corners."""
    a, b, c, d = np.sort(heights, axis=1).T
    with np.errstate(divide="ignore", invalid="ignore"):
        tip = d**3 / ((d - a) * (d - b) * (d - c))
        ac, bc, ad, bd = c / (c - a), c / (c - b), d / (d - a), d / (d - b)
        roof = ac * bc + ac * bd * (1.0 - bc) + (1.0 - ac) * ad * bd
        stump = 1.0 + a**3 / ((b - a) * (c - a) * (d - a))
    cases = [d <= 0.0, c <= 0.0, b < 0.0, a < 0.0]
    return np.select(cases, [np.zeros_like(a), tip, roof, stump], 1.0)


@dataclass(frozen=True, slots=True, eq=False)
class Cut:
    """A solid and the lattice that it was cut from; name: what kind it is."""

    name: str
    solid: Solid
    lattice: Lattice


def touching(metal: Mask) -> bool:
    """Tell whether bricks, or free spaces, meet in an edge or a corner and nothing more."""
    corner = np.lib.stride_tricks.sliding_window_view(metal, (2, 2, 2)).reshape(-1, 2, 2, 2)
    return any(label(half)[1] > 1 for eight in np.unique(corner, axis=0) for half in (eight, ~eight))


def bricks(rng: np.random.Generator, apart: bool = False) -> Cut:
    """Return bricks of one size or of many, square, leaning or bent; apart: none that only touch."""
    while True:
        count = int(rng.integers(2, 5))
        metal = np.pad(rng.random((count,) * 3) < rng.uniform(0.2, 0.65), 1)
        sizes = 10.0 + rng.choice([0.0, 30.0]) * rng.random((3, count + 2))
        points = _grid([np.concatenate([[0.0], np.cumsum(size)]) for size in sizes])
        how = str(rng.choice(["square", "leaning", "bent"]))
        if how == "leaning":
            points @= np.array([[1.0, rng.uniform(-1.0, 1.0), 0.0], [0.0, 1.0, 0.5], [0.0, 0.0, 1.0]])
        if how == "bent":
            points[1:-1, 1:-1, 1:-1] += rng.uniform(-1.2, 1.2, (count + 1,) * 3 + (3,))
        if metal.any() and not (apart and touching(metal)):
            lattice = Lattice(points, metal)
            try:
                return Cut(f"{how} bricks", lattice.solid(), lattice)
            except Refused:
                continue


def rooms(rng: np.random.Generator, thin_mm: float | None = None) -> Cut:
    """Return up to three rooms each way of sheet 0.05 to 10 mm thick, some walls, floors and roofs left out."""
    count = int(rng.integers(1, 4))
    side = 2 * count + 1
    odd = np.indices((side,) * 3) % 2
    sheets = 3 - odd.sum(axis=0)
    metal = (sheets == 1) & (rng.random((side,) * 3) < rng.uniform(0.5, 0.95))
    for meeting in (2, 3):  # posts where walls meet, and knots where posts do
        padded = np.pad(metal, 1)
        beside = [np.roll(padded, step, axis)[1:-1, 1:-1, 1:-1] for axis in range(3) for step in (1, -1)]
        metal = metal | ((sheets == meeting) & np.any(beside, axis=0))
    if not metal.any():
        return rooms(rng, thin_mm)
    thin = float(10.0 ** rng.uniform(-1.3, 1.0)) if thin_mm is None else thin_mm
    planes = []
    for _ in range(3):
        sizes = np.where(np.arange(side) % 2 == 0, thin, rng.uniform(10.0, 80.0, side))
        planes.append(np.cumsum(np.concatenate([[0.0, 10.0], sizes, [10.0]])))
    lattice = Lattice(_grid(planes), np.pad(metal, 1))
    try:
        return Cut("rooms", lattice.solid(), lattice)
    except Refused:
        return rooms(rng, thin_mm)


def _grid(planes: list[Floats]) -> Floats:
    return np.stack(np.meshgrid(*planes, indexing="ij"), axis=-1)


def finer(solid: Solid, rng: np.random.Generator, cuts: int) -> Solid:
    """Return the solid with random edges cut in two, one by one, down to 1e-9 of its size."""
    vertices = list(solid.vertices_mm)
    triangles = [tuple(row) for row in solid.triangles.tolist()]
    shortest = 1e-9 * float(np.ptp(solid.vertices_mm, axis=0).max())
    for _ in range(cuts):
        k = int(rng.integers(len(triangles)))
        a, b, c = triangles[k]
        along = vertices[b] - vertices[a]
        least = shortest / float(np.linalg.norm(along))
        if least > 0.5:
            continue
        other = next(
            j for j, row in enumerate(triangles) if (b, a) in zip(row, row[1:] + row[:1], strict=True)
        )
        d = next(corner for corner in triangles[other] if corner not in (a, b))
        new = len(vertices)
        vertices.append(vertices[a] + np.exp(rng.uniform(np.log(least), np.log(0.5))) * along)
        triangles[k], triangles[other] = (a, new, c), (b, new, d)
        triangles += [(new, b, c), (new, a, d)]
    return Solid(np.array(vertices), np.array(triangles), solid.source)


def turns(rng: np.random.Generator) -> list[tuple[str, Floats]]:
    """Return a rotation of every kind that matters, with any swing: from exactly level to any at all."""
    quarters = np.pi / 2.0 * rng.integers(0, 4, 2)
    hair = rng.choice([1e-12, 1e-9, 1e-7, 1e-5], 2) * rng.normal(size=2)
    anyhow = rng.uniform(-np.pi, np.pi, 2)
    angles = {
        "square": quarters,
        "a hair off": quarters + hair,
        "about an edge": np.array([anyhow[0], quarters[1]]),
        "any": anyhow,
    }
    found = [(name, _up(*pair)) for name, pair in angles.items()]
    whole = rng.integers(-3, 4, 3).astype(float)
    if whole.any():
        # Corners of even bricks line up over each other in many directions that are no quarter turn.
        found.append(("whole numbers", whole / np.linalg.norm(whole)))
    return [(name, _about(up, rng)) for name, up in found]


def _up(tilt: float, roll: float) -> Floats:
    return np.array([np.sin(tilt), np.cos(tilt) * np.sin(roll), np.cos(tilt) * np.cos(roll)])


def _about(up: Floats, rng: np.random.Generator) -> Floats:
    """Return a rotation that takes this unit vector to +z, square to the axes or with a random swing."""
    across = np.eye(3)[int(np.argmin(np.abs(up)))]
    y = np.cross(up, across)
    y /= np.linalg.norm(y)
    rotation = np.array([np.cross(y, up), y, up])
    swing = rng.choice([0.0, np.pi / 2.0, np.radians(37.0), rng.uniform(-np.pi, np.pi)])
    c, s = np.cos(swing), np.sin(swing)
    return np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]]) @ rotation
