"""A flat sheet sprung into an arc or a U, as a closed mesh."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from fitcheck.shapes.manifold import manifold_of, solid_of
from fitcheck.things.solid import Floats, Solid
from fitcheck.words.errors import Refused

# Flats round a full turn.
FLATS = 144
# Numbers of a mesh file are rounded by up to 6e-8 of its size; a face nearer to flat than this is flat.
FLAT = 1e-6
# Thin sheet formulas hold to about a percent where the sheet is at most this share of its width thick.
THIN = 0.05


@dataclass(frozen=True, slots=True)
class Sheet:
    """A flat sheet: which axis is its thickness, its width (the shorter of the others) and its length."""

    thick: int
    wide: int
    long: int
    low_mm: tuple[float, float, float]
    size_mm: tuple[float, float, float]

    @property
    def thickness_mm(self) -> float:
        """How thick it is."""
        return self.size_mm[self.thick]

    @property
    def width_mm(self) -> float:
        """How wide it is, flat: across what is bent."""
        return self.size_mm[self.wide]

    @property
    def length_mm(self) -> float:
        """How long it is."""
        return self.size_mm[self.long]


def sheet_of(solid: Solid) -> Sheet | None:
    """Return a solid as flat sheet, square to the axes; None where it is not flat and thin."""
    points = solid.vertices_mm
    low, size = points.min(axis=0), np.ptp(points, axis=0)
    thick, wide, long = (int(axis) for axis in np.argsort(size, kind="stable"))
    height = points[:, thick] - low[thick]
    near = FLAT * float(size.max())
    on_a_face = (height <= near) | (height >= size[thick] - near)
    if size[thick] > THIN * size[wide] or not on_a_face.all():
        return None
    return Sheet(thick, wide, long, tuple(low.tolist()), tuple(size.tolist()))


def sprung(solid: Solid, radius_mm: float, half_angle_rad: float) -> tuple[Solid, float]:
    """Return a flat sheet bent across its width, crown to its high face, and how far its flats are off.

    radius_mm: of the middle of the sheet, round over half_angle_rad to either side; what is left is straight.
    Raises `Refused` for a solid that is not flat sheet.
    """
    sheet = sheet_of(solid)
    if sheet is None:
        raise Refused("it is not flat thin sheet", "only flat sheet can be sprung; dip it as it is")
    # Even, so that the crown is a corner and the rise comes out; the ends of a U are near one.
    count = 2 * math.ceil(sheet.width_mm / radius_mm * FLATS / (4.0 * math.pi))
    step = sheet.width_mm / count
    fine = _cut_across(solid, sheet, step)
    outer = radius_mm + sheet.thickness_mm / 2.0
    off = outer * (1.0 - math.cos(step / radius_mm / 2.0))
    return Solid(bent(fine.vertices_mm, sheet, radius_mm, half_angle_rad), fine.triangles, solid.source), off


def bent(points_mm: Floats, sheet: Sheet, radius_mm: float, half_angle_rad: float) -> Floats:
    """Return points (n, 3) of a flat sheet where they go when it is bent; its low corner is at (0, 0, 0)."""
    points = points_mm - np.array(sheet.low_mm)
    along = points[:, sheet.wide] - sheet.width_mm / 2.0
    out = radius_mm + points[:, sheet.thick] - sheet.thickness_mm / 2.0
    round_mm = radius_mm * half_angle_rad
    turn = np.clip(along, -round_mm, round_mm) / radius_mm
    past = np.abs(along) - np.minimum(np.abs(along), round_mm)
    moved: Floats = points.copy()
    moved[:, sheet.wide] = out * np.sin(turn) + np.sign(along) * past * math.cos(half_angle_rad)
    moved[:, sheet.thick] = out * np.cos(turn) - past * math.sin(half_angle_rad)
    # Edges of the inner face are the lowest, those of the outer face the widest.
    edge = sheet.width_mm / 2.0 - round_mm
    half = (radius_mm + sheet.thickness_mm / 2.0) * math.sin(half_angle_rad)
    inner = radius_mm - sheet.thickness_mm / 2.0
    moved[:, sheet.wide] += half + edge * math.cos(half_angle_rad)
    moved[:, sheet.thick] -= inner * math.cos(half_angle_rad) - edge * math.sin(half_angle_rad)
    return moved


def _cut_across(solid: Solid, sheet: Sheet, step_mm: float) -> Solid:
    """Return the solid with its edges cut so that none runs further across the width than a step.

    The other two axes are shrunk meanwhile, so that edges are cut for their run across alone; the slack on
    the step keeps a slanting edge from being cut once more than an upright one.
    """
    shrink = np.ones(3)
    shrink[[sheet.thick, sheet.long]] = step_mm / (20.0 * sheet.length_mm)
    body = manifold_of(Solid(solid.vertices_mm * shrink, solid.triangles, solid.source))
    fine = solid_of(body.refine_to_length(step_mm * (1.0 + 1e-5)), solid.source)
    return Solid(fine.vertices_mm / shrink, fine.triangles, solid.source)
