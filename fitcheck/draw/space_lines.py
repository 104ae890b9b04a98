"""View in space as lines, hidden lines removed.

Nothing but the meshes is needed, so it is there without OpenGL, prints crisply and takes a tenth of a
second. The liquid is drawn as tinted walls behind the part and the line of its surface in front of it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fitcheck.draw import ink
from fitcheck.draw.ink import Area, Box, Marks, Stroke
from fitcheck.draw.outline import View, body_of, rings_of, visible_edges
from fitcheck.draw.scene import Shell
from fitcheck.draw.space import Camera, SpaceScene
from fitcheck.draw.space_photo import view_axes
from fitcheck.things.solid import Floats

# Points that are turned to the eye's own axes: across, up, towards the reader.
_SEEN = View(0, 1, 2, 1.0)
# Two faces that meet at more than this have a line between them, as in the flat views.
_SHARP_COSINE = math.cos(math.pi / 6.0)
_FINEST_PT = 0.5
# A face nearer than this to edge-on is neither in front nor behind.
_EDGE_ON = 1e-9
# How each thing is filled and lined: colour, line, width of its outline and of its edges.
_INKS = {
    "standing": (ink.BLOCK, ink.FAINT, 0.8, 0.5),
    "part": (ink.METAL, ink.INK, 1.4, 0.6),
    "through": (ink.METAL, ink.INK, 1.4, 0.6),
    "past": (ink.PAST, ink.WARNING, 1.4, 0.8),
    "air": (ink.AIR, ink.AIR_LINE, 1.0, 0.5),
    "caught": (ink.LIQUID, ink.SURFACE, 1.0, 0.5),
}


@dataclass(frozen=True, slots=True)
class _Sheet:
    """From the tank's space to a place on the sheet."""

    axes: Floats
    middle: Floats
    scale: float
    centre: Floats

    def turned(self, vertices_mm: Floats) -> Floats:
        """Return points (n, 3) as the eye has them: across, up, towards the reader."""
        turned: Floats = vertices_mm @ self.axes.T
        return turned

    def flat(self, points: Floats) -> Floats:
        """Return turned points (n, 2) as points of the sheet."""
        flat: Floats = (np.asarray(points) - self.middle) * self.scale + self.centre
        return flat


def space_lines(scene: SpaceScene, box: Box) -> Marks:
    """Return a scene in space, drawn in lines, as large as fits a box of the sheet."""
    shells = {name: Shell(vertices, triangles) for name, vertices, triangles in scene.meshes}
    sheet = _sheet(scene, box)
    turned = {name: Shell(sheet.turned(s.vertices_mm), s.triangles) for name, s in shells.items()}
    behind, before = _edges(turned["tank"], sheet) if "tank" in turned else ((), ())
    order: list[str] = [name for name in ("part", "through", "past", "air", "caught") if name in turned]
    if "standing" in turned:
        order.insert(len(order) if _is_before(turned, order) else 0, "standing")
    return (
        *(_filled(turned["tank"], sheet, ink.GLASS) if "tank" in turned else ()),
        *(_filled(turned["liquid"], sheet, ink.LIQUID) if "liquid" in turned else ()),
        *behind,
        *(mark for name in order for mark in _drawn(turned, name, sheet)),
        *(_surface(turned["liquid"], sheet, sheet.axes[:, 2]) if "liquid" in turned else ()),
        *before,
    )


def _sheet(scene: SpaceScene, box: Box) -> _Sheet:
    axes = _axes(scene.camera)
    seen = np.vstack([vertices for _, vertices, _ in scene.meshes]) @ axes.T
    low, high = seen[:, :2].min(axis=0), seen[:, :2].max(axis=0)
    wide, tall = (float(v) for v in high - low)
    scale = min((box.width - 4.0) / wide, (box.height - 4.0) / tall)
    centre = np.array([(box.left + box.right) / 2.0, (box.low + box.high) / 2.0])
    return _Sheet(axes, (low + high) / 2.0, scale, centre)


def _axes(camera: Camera) -> Floats:
    """Return the eye's axes as rows: right, up, towards the eye."""
    toward = np.asarray(camera.eye_mm) - camera.focus_mm
    toward = toward / np.linalg.norm(toward)
    return np.vstack([*view_axes(toward), toward])


def _is_before(turned: dict[str, Shell], others: list[str]) -> bool:
    """Whether what stands in the tank is nearer to the reader than the part, by their middles."""
    part = np.vstack([turned[name].vertices_mm for name in others]) if others else None
    here = float(turned["standing"].vertices_mm[:, 2].mean())
    return part is not None and here > float(part[:, 2].mean())


def _filled(shell: Shell, sheet: _Sheet, fill: str, line: str | None = None, width_pt: float = 0.0) -> Marks:
    shadow = body_of(shell.vertices_mm, shell.triangles, "picture").project()
    return (Area(tuple(sheet.flat(ring) for ring in rings_of(shadow)), fill, line, width_pt),)


def _drawn(turned: dict[str, Shell], name: str, sheet: _Sheet) -> Marks:
    """Return one thing: its fill, those of its edges that it does not hide itself, and its outline."""
    fill, line, width, edge = _INKS[name]
    pieces = visible_edges(turned[name], _SEEN, _FINEST_PT / sheet.scale)
    (outline,) = _filled(turned[name], sheet, fill, line, width)
    return (
        outline,
        Stroke(tuple(sheet.flat(piece) for piece in pieces), line, edge),
    )


def _edges(shell: Shell, sheet: _Sheet) -> tuple[Marks, Marks]:
    """Return the sharp edges of a convex tank: those behind what is in it, and those before it."""
    corner = shell.vertices_mm[shell.triangles]
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    length = np.linalg.norm(normal, axis=1, keepdims=True)
    normal = np.divide(normal, length, out=np.zeros_like(normal), where=length > 0.0)
    met: dict[tuple[int, int], list[int]] = {}
    for k, triangle in enumerate(shell.triangles.tolist()):
        for i in range(3):
            a, b = triangle[i], triangle[(i + 1) % 3]
            met.setdefault((min(a, b), max(a, b)), []).append(k)
    behind: list[Floats] = []
    before: list[Floats] = []
    for (a, b), faces in met.items():
        one, two = normal[faces[0]], normal[faces[-1]]
        if len(faces) == 2 and float(one @ two) > _SHARP_COSINE:
            continue
        line = sheet.flat(shell.vertices_mm[[a, b], :2])
        hidden = max(one[2], two[2]) < _EDGE_ON
        (behind if hidden else before).append(line)
    return (Stroke(tuple(behind), ink.FAINT, 0.6),), (Stroke(tuple(before), ink.INK, 1.2),)


def _surface(shell: Shell, sheet: _Sheet, upright: Floats) -> Marks:
    """Return the line of the liquid's surface: the outline of its highest face."""
    height = shell.vertices_mm @ upright
    # The surface is flat: what is nearer to its height than a share of the depth that no eye sees is on it.
    top = height >= height.max() - 1e-6 * max(1.0, float(np.ptp(height)))
    faces = shell.triangles[top[shell.triangles].all(axis=1)]
    start, end = faces.reshape(-1), np.roll(faces, -1, axis=1).reshape(-1)
    pairs = {(int(a), int(b)) for a, b in zip(start, end, strict=True)}
    rim = [sheet.flat(shell.vertices_mm[[a, b], :2]) for a, b in pairs if (b, a) not in pairs]
    return (Stroke(tuple(sorted(rim, key=lambda line: line.tolist())), ink.SURFACE, 1.6),)
