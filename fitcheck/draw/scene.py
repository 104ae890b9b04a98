"""Scene of a picture of one part in one tank: the part at its pose, the liquid, the room round it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from fitcheck.draw.outline import UP, View, body_of, half_plane, rings_of, silhouette
from fitcheck.draw.posed_part import Hung
from fitcheck.things.fill import Fill
from fitcheck.things.pose import Pose
from fitcheck.things.solid import Floats, Indices, Solid
from fitcheck.things.tank import FLOOR_SLOPE, Tank

if TYPE_CHECKING:
    from manifold3d import CrossSection, Manifold

# A part that lies exactly on its clearance must not be sliced there: this is too thin to be seen.
_UNSEEN_MM = 0.01


@dataclass(frozen=True, slots=True)
class Gap:
    """The tightest distance from the part to one side of the tank, measured along the tank's own axis.

    mm: below 0 where the part reaches past that side. at_mm: where on the part. needed_mm: the clearance
    that the rules ask for there. short_mm: by how much it is short of that, square to the face; 0 if kept.
    """

    mm: float
    at_mm: tuple[float, float, float]
    needed_mm: float
    short_mm: float


Side = Literal["left", "right", "near", "far", "floor", "rim"]
SIDES: dict[Side, tuple[int, float]] = {
    "left": (0, -1.0),
    "right": (0, 1.0),
    "near": (1, -1.0),
    "far": (1, 1.0),
    "floor": (2, -1.0),
    "rim": (2, 1.0),
}


@dataclass(frozen=True, slots=True, eq=False)
class Shell:
    """A mesh for pictures only: vertices (n, 3) in mm and triangles (m, 3). It need not be checked."""

    vertices_mm: Floats
    triangles: Indices


@dataclass(frozen=True, slots=True, eq=False)
class Scene(Hung):
    """One part at one pose in one tank, with the air caught. fill is None where it does not go under."""

    tank: Tank
    fill: Fill | None


def gaps(scene: Scene) -> tuple[tuple[Side, Gap], ...]:
    """Return the tightest gap to each side that the tank has a face at."""
    normals, offsets = planes_of(scene.tank.inside)
    sides = np.array([_side_of(normal) for normal in normals])
    return tuple(
        (side, _gap(scene, side, normals[sides == side], offsets[sides == side]))
        for side in SIDES
        if (sides == side).any()
    )


def _gap(scene: Scene, side: Side, normals: Floats, offsets: Floats) -> Gap:
    """Return the tightest gap to the faces of one side, by their planes."""
    axis, sign = SIDES[side]
    room = offsets[:, None] - normals @ scene.part.vertices_mm.T
    along = room / (sign * normals[:, axis, None])
    face, vertex = np.unravel_index(int(along.argmin()), along.shape)
    needed = needed_mm(scene.tank, normals[face])
    # Rounding of a pose that rests exactly on its clearance is about 1e-12 mm; 1e-6 mm is no gap at all.
    short = needed - float(room.min())
    x, y, z = (float(v) for v in scene.part.vertices_mm[vertex])
    return Gap(float(along.min()), (x, y, z), needed, short if short > 1e-6 else 0.0)


def planes_of(inside: Solid) -> tuple[Floats, Floats]:
    """Return the planes of a convex solid: outward normals (k, 3) and offsets (k,)."""
    corner = inside.vertices_mm[inside.triangles]
    normals = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    normals /= np.linalg.norm(normals, axis=1, keepdims=True)
    planes = np.column_stack([normals, np.einsum("ij,ij->i", normals, corner[:, 0])])
    # Two triangles of one flat face give the same plane but for rounding; it need not be drawn twice.
    planes = planes[np.unique(planes.round(6), axis=0, return_index=True)[1]]
    return planes[:, :3], planes[:, 3]


def _side_of(normal: Floats) -> Side:
    if normal[2] < FLOOR_SLOPE:
        return "floor"
    if normal[2] > -FLOOR_SLOPE:
        return "rim"
    if abs(normal[0]) >= abs(normal[1]):
        return "left" if normal[0] < 0.0 else "right"
    return "near" if normal[1] < 0.0 else "far"


def needed_mm(tank: Tank, normal: Floats) -> float:
    """Return the clearance that the rules ask for to a face, by its outward normal."""
    rules = tank.rules
    if normal[2] < FLOOR_SLOPE:
        return rules.bottom_clearance_mm
    if normal[2] > -FLOOR_SLOPE:
        return rules.cover_mm + rules.freeboard_mm
    return rules.side_clearance_mm


def room_left(tank: Tank, view: View) -> CrossSection:
    """Return, in a view, the inside less every clearance: where a part that fits has its outline.

    In a view from above the floor and the rim are not seen: all round are walls.
    """
    room = silhouette(tank.inside, view)
    ring = max(rings_of(room), key=len)
    reach = 4.0 * float(np.abs(ring).max())
    for start, end in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        step = end - start
        normal = np.array([step[1], -step[0]]) / np.linalg.norm(step)
        needed = needed_mm(tank, np.array([normal[0], 0.0, normal[1] if view.up == UP else 0.0]))
        room = room ^ half_plane(normal, float(normal @ start) - needed, reach)
    return room


def past_the_room(scene: Scene, view: View) -> CrossSection:
    """Return what of the part's outline lies where a clearance forbids it."""
    return silhouette(scene.part, view) - room_left(scene.tank, view)


def part_shells(scene: Scene) -> tuple[Shell | None, Shell | None]:
    """Return the part in two: what keeps every clearance to the tank's faces, and what reaches past one.

    Where there is a fill nothing reaches past, and the part stays whole.
    """
    if scene.fill is not None:
        return shell_of(scene.part), None
    kept, past = _body(scene.part), []
    for normal, offset in zip(*planes_of(scene.tank.inside), strict=True):
        limit = float(offset) - needed_mm(scene.tank, normal) + _UNSEEN_MM
        kept, cut = kept.split_by_plane(-normal, -limit)
        past.append(_shell(cut))
    return _shell(kept), joined([shell for shell in past if shell])


def joined(shells: list[Shell]) -> Shell | None:
    """Return several meshes as one, or None where there are none."""
    if not shells:
        return None
    starts = np.cumsum([0, *(len(shell.vertices_mm) for shell in shells[:-1])])
    return Shell(
        np.vstack([shell.vertices_mm for shell in shells]),
        np.vstack([shell.triangles + at for shell, at in zip(shells, starts, strict=True)]),
    )


def liquid_shell(scene: Scene, stretch_mm: tuple[float, float]) -> Shell | None:
    """Return the liquid in a stretch of the tank's length, or None without a fill.

    Blocks and fittings are taken off; the part is not.
    """
    if scene.fill is None:
        return None
    body = _cut(scene.tank.inside, stretch_mm).trim_by_plane((0.0, 0.0, -1.0), -scene.fill.level_mm)
    for thing in scene.tank.standing:
        body -= _body(thing.solid)
    return _shell(body)


def cut_shell(solid: Solid, stretch_mm: tuple[float, float]) -> Shell | None:
    """Return what of a solid lies in a stretch of the tank's length, or None where nothing does."""
    return _shell(_cut(solid, stretch_mm))


def _cut(solid: Solid, stretch_mm: tuple[float, float]) -> Manifold:
    low, high = stretch_mm
    return _body(solid).trim_by_plane((1.0, 0.0, 0.0), low).trim_by_plane((-1.0, 0.0, 0.0), -high)


def shell_of(solid: Solid) -> Shell:
    """Return a solid's mesh alone."""
    return Shell(solid.vertices_mm, solid.triangles)


def _body(solid: Solid) -> Manifold:
    return body_of(solid.vertices_mm, solid.triangles, solid.source)


def _shell(body: Manifold) -> Shell | None:
    if body.is_empty() or not body.volume() > 0.0:
        return None
    mesh = body.to_mesh64()
    return Shell(np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts).astype(np.int64))


def nearest_standing(scene: Scene) -> tuple[str, float] | None:
    """Return the name of the block or fitting nearest to the part and the exact gap to it, in mm."""
    from fitcheck.geometry.mesh.distance import Surface, gap_mm

    if not scene.tank.standing:
        return None
    here = Pose("tank", "tank", np.eye(3), np.zeros(3))
    part = Surface.of(scene.part.vertices_mm, scene.part.triangles)
    gaps = [
        (gap_mm(part, Surface.of(thing.solid.vertices_mm, thing.solid.triangles), here), thing.name)
        for thing in scene.tank.standing
    ]
    gap, name = min(gaps)
    return name, gap
