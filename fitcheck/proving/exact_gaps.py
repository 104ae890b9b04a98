"""Check of a pose by exact mesh distance, from the inputs and the answer alone, without a search.

`recheck` takes only the matrix of a pose. It places the part's own triangles, not their hull, by it and
measures the exact gap to the floor, to the walls, to the rim and to everything that stands in the tank.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fitcheck.geometry.mesh.distance import Surface, encloses, gap_mm, surface_gap_mm
from fitcheck.things.part import Part
from fitcheck.things.pose import Pose
from fitcheck.things.solid import Floats, Indices, Solid
from fitcheck.things.tank import FLOOR_SLOPE, Tank

# Placing a vertex takes three products and three sums, a distance some tens of each, and every one may be
# off by half a unit in the last place of the largest number in it. Nothing else is forgiven.
ROUNDINGS = 64
# Mesh files keep 24 bits of a number: a face nearer than this share of the depth to the rim is at the rim.
STORED = 2.0**-20


@dataclass(frozen=True, slots=True)
class Gap:
    """One exact gap, in mm: `between` the part and what, how large it is, and how large the rules ask.

    gap_mm is below 0 where the part reaches beyond a wall or over the rim, by so much, or into something
    that stands in the tank, by at least so much.
    """

    between: str
    gap_mm: float
    required_mm: float

    @property
    def spare_mm(self) -> float:
        """By how much the gap is larger than it must be."""
        return self.gap_mm - self.required_mm


@dataclass(frozen=True, slots=True)
class Recheck:
    """What the exact distances say of one pose.

    spare_mm: by how much every clearance could grow before the pose breaks one; below 0, one is broken.
    holds: none is broken by more than tolerance_mm, which is what rounding alone may do. gaps: the
    tightest first.
    """

    holds: bool
    spare_mm: float
    tolerance_mm: float
    gaps: tuple[Gap, ...]


def recheck(part: Part, tank: Tank, pose: Pose) -> Recheck:
    """Tell whether the part at this pose, exactly as placed, keeps every clearance.

    Parameters
    ----------
    part : Part
        The part; its own triangles are placed, not their hull.
    tank : Tank
        The tank; its inside and what stands in it must be convex.
    pose : Pose
        Tank from part.

    Returns
    -------
    Recheck
        Always answers, in mm. A part outside the tank, through a wall or in a block has a gap below 0. Tapes
        are left out: they are the verdict's affair.

    Notes
    -----
    Raises nothing of its own. Floor: bottom_clearance. Walls and everything that stands in the tank:
    side_clearance. Rim, over the highest point of the part: cover and freeboard. Distances are exact,
    triangle to triangle, by code that shares nothing with the search.

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> part, tank = shop.parts["P15"], shop.tanks["T5"]
    >>> found = fc.recheck(part, tank, fc.dip(part, tank).advice.pose)
    >>> found.holds
    True
    """
    pose = _straightened(pose)
    placed = _Placed(part.solid, pose, pose.apply(part.solid.vertices_mm))
    tolerance = _tolerance_mm(placed.at_mm, tank)
    rules = tank.rules
    top = float(placed.at_mm[:, 2][part.solid.triangles].max())
    gaps = [Gap("rim", tank.depth_mm - top, rules.cover_mm + rules.freeboard_mm)]
    floor, walls = _floor_and_walls(tank)
    for name, faces, required in (
        ("floor", floor, rules.bottom_clearance_mm),
        ("walls", walls, rules.side_clearance_mm),
    ):
        if len(faces):
            gaps.append(Gap(name, _gap_inside(placed, tank.inside, faces, tolerance), required))
    gaps += _gaps_to_standing(part, tank, pose)
    return _found(gaps, tolerance)


def recheck_pass(part: Part, tank: Tank, pose: Pose) -> Recheck:
    """Tell whether the part at this pose keeps every clearance where it may stand out over the rim.

    Straight-line distances: to the floor bottom_clearance, to the walls up to their rim and to what stands in
    the tank side_clearance. Where the part stands out beyond a wall it must be over the rim there.
    """
    pose = _straightened(pose)
    surface = Surface.of(part.solid.vertices_mm, part.solid.triangles)
    placed = pose.apply(surface.vertices_mm)
    tolerance = _tolerance_mm(placed, tank)
    rules = tank.rules
    floor, walls = _floor_and_walls(tank)
    sunk = placed[placed[:, 2] <= tank.depth_mm]
    gaps = []
    for name, faces, required in (
        ("floor", floor, rules.bottom_clearance_mm),
        ("walls", walls, rules.side_clearance_mm),
    ):
        if len(faces):
            gap = surface_gap_mm(surface, Surface.of(tank.inside.vertices_mm, faces), pose)
            beyond = _room_to_planes(sunk, tank.inside, faces) if len(sunk) else 0.0
            gaps.append(Gap(name, min(gap, beyond) if beyond < 0.0 else gap, required))
    gaps += _gaps_to_standing(part, tank, pose)
    return _found(gaps, tolerance)


def _found(gaps: list[Gap], tolerance_mm: float) -> Recheck:
    """Return what gaps in any order say together."""
    gaps = sorted(gaps, key=lambda gap: gap.spare_mm)
    spare = gaps[0].spare_mm
    return Recheck(spare >= -tolerance_mm, spare, tolerance_mm, tuple(gaps))


def _straightened(pose: Pose) -> Pose:
    """Return the pose with the nearest rotation (polar decomposition): a printed matrix may shrink a part."""
    left, _, right = np.linalg.svd(pose.rotation)
    return Pose(pose.to_frame, pose.from_frame, left @ right, pose.shift_mm)


def _tolerance_mm(placed: Floats, tank: Tank) -> float:
    largest = max(float(np.abs(placed).max()), float(np.abs(tank.inside.vertices_mm).max()))
    return ROUNDINGS * float(np.finfo(np.float64).eps) * largest


def _floor_and_walls(tank: Tank) -> tuple[Indices, Indices]:
    """Return the floor and wall triangles of the inside; its flat top at the rim is open and is neither."""
    inside = tank.inside
    upward = _normals(inside.vertices_mm, inside.triangles)[:, 2]
    lowest = inside.vertices_mm[:, 2][inside.triangles].min(axis=1)
    floor = upward < FLOOR_SLOPE
    rim = (upward > 0.0) & (lowest >= tank.depth_mm * (1.0 - STORED))
    return inside.triangles[floor], inside.triangles[~floor & ~rim]


@dataclass(frozen=True, slots=True, eq=False)
class _Placed:
    """A solid at a pose, and where that puts its vertices, (n, 3)."""

    solid: Solid
    pose: Pose
    at_mm: Floats


def _gap_inside(placed: _Placed, inside: Solid, faces: Indices, tolerance_mm: float) -> float:
    """Return the gap to some faces of the convex inside; below 0 by how far the part is beyond them."""
    wall = Surface.of(inside.vertices_mm, faces)

    def gap_of(triangles: Indices) -> float:
        return surface_gap_mm(Surface.of(placed.solid.vertices_mm, triangles), wall, placed.pose)

    triangles = placed.solid.triangles
    rooms = _rooms_to_planes(placed.at_mm, inside, faces)[triangles].min(axis=1)
    nearest = int(rooms.argmin())
    # A triangle on the inner side of all planes is no nearer to the faces than to those: few can be nearest.
    enough = gap_of(triangles[nearest : nearest + 1]) + tolerance_mm
    gap = gap_of(triangles[rooms <= enough])
    return gap if rooms[nearest] >= 0.0 else min(gap, float(rooms[nearest]))


def _gaps_to_standing(part: Part, tank: Tank, pose: Pose) -> list[Gap]:
    """Return the gaps to everything that stands in the tank."""
    if not tank.standing:
        return []
    surface = Surface.of(part.solid.vertices_mm, part.solid.triangles)
    required = tank.rules.side_clearance_mm
    return [
        Gap(each.name, _gap_to_standing(surface, part, pose, each.solid), required) for each in tank.standing
    ]


def _gap_to_standing(surface: Surface, part: Part, pose: Pose, standing: Solid) -> float:
    """Return the gap to a convex thing; where they overlap, minus a depth by which they do so at least.

    The thing is shrunk about its middle until the part is clear of what is left; its nearest face has then
    drawn in by the depth given, and every other by no less.
    """
    middle = standing.vertices_mm.mean(axis=0)
    depth = _room_to_planes(middle[None], standing, standing.triangles)
    # Nothing can stand in a sealed space, so the skin decides. A middle inside it is so however shrunk.
    if encloses(part.skin, pose.inverse.apply(middle[None]))[0]:
        return -depth

    def gap_to(scale: float) -> float:
        shrunk = middle + scale * (standing.vertices_mm - middle)
        return gap_mm(surface, Surface.of(shrunk, standing.triangles), pose)

    gap = gap_to(1.0)
    if gap > 0.0:
        return gap
    clear, meets = 0.0, 1.0
    # Each halving gains a bit; after those of a double the two no longer differ.
    for _ in range(np.finfo(np.float64).nmant):
        scale = 0.5 * (clear + meets)
        clear, meets = (clear, scale) if gap_to(scale) == 0.0 else (scale, meets)
    return -(1.0 - clear) * depth


def _room_to_planes(points: Floats, solid: Solid, faces: Indices) -> float:
    """Return the least distance of the points from the planes of some faces; below 0 for one beyond."""
    return float(_rooms_to_planes(points, solid, faces).min())


def _rooms_to_planes(points: Floats, solid: Solid, faces: Indices) -> Floats:
    """Return for each point (n, 3) its least distance from those planes, (n,)."""
    normals = _normals(solid.vertices_mm, faces)
    corners = solid.vertices_mm[faces[:, 0]]
    rooms = np.full(len(points), math.inf)
    for normal, corner in zip(normals, corners, strict=True):
        # A triangle without area has no plane; its neighbours bound the solid there.
        if normal.any():
            np.minimum(rooms, (corner @ normal) - points @ normal, out=rooms)
    return rooms


def _normals(vertices: Floats, triangles: Indices) -> Floats:
    """Return outward unit normals (m, 3); 0 for a triangle without area."""
    a, b, c = (vertices[triangles[:, i]] for i in range(3))
    normals = np.cross(b - a, c - a)
    lengths = np.linalg.norm(normals, axis=1, keepdims=True)
    unit: Floats = np.divide(normals, lengths, out=np.zeros_like(normals), where=lengths > 0.0)
    return unit
