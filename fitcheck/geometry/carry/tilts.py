"""Plan outline and height of a part at each tilt at which it may be carried."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from fitcheck.geometry.carry.outlines import Pieces, convex_pieces, filled, grown, hull_of
from fitcheck.shapes.manifold import manifold_of
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.solid import Floats

# Steps of tilt evaluated, and how many of them are checked for hollows.
TILTS, LOOKED_THROUGH = 1600, 40
# Of an area: what a mesh's rounding may take.
SAME_AREA = 1e-6
# An outline of more pieces than this is drawn simpler, a little larger or smaller than it is.
MOST_PIECES = 12
COARSER = 1.6


@dataclass(frozen=True, slots=True, eq=False)
class Tilts:
    """Hulls in plan (n, 2) about the middle, and heights (t,), at tilts (t,) from level upward.

    moves_mm: no point moves by more from the nearest of these tilts. middle_mm: the part's, as drawn.
    """

    part: Part
    middle_mm: Floats
    tilts_rad: Floats
    hulls: tuple[Floats, ...]
    tall_mm: Floats
    moves_mm: float

    @classmethod
    def of(cls, part: Part, most_rad: float) -> Tilts:
        """Return them up to the most that the part may be tipped up."""
        from scipy.spatial import ConvexHull

        points = part.solid.vertices_mm
        points = points[ConvexHull(points).vertices]
        middle = (points.min(axis=0) + points.max(axis=0)) / 2.0
        points = points - middle
        steps = TILTS if most_rad > 0.0 else 0
        tilts = np.linspace(0.0, most_rad, steps + 1)
        turned = [points @ rotation_from(Angles(tilt_rad=float(tilt))).T for tilt in tilts]
        moves = float(np.linalg.norm(points, axis=1).max()) * most_rad / max(steps, 1) / 2.0
        tall = np.array([np.ptp(each[:, 2]) for each in turned])
        return cls(part, middle, tilts, tuple(hull_of(each[:, :2]) for each in turned), tall, moves)

    def long_mm(self, k: int) -> float:
        """Return the length in plan at one of the tilts."""
        return float(np.ptp(self.hulls[k][:, 0]))

    def area(self, tilt_rad: float) -> object:
        """Return the part's own outline in plan at a tilt, its holes filled, about its middle."""
        turned = self.part.solid.moved(np.eye(3), -self.middle_mm)
        turned = turned.moved(rotation_from(Angles(tilt_rad=tilt_rad)), np.zeros(3))
        rings = [ring for ring in manifold_of(turned).project().to_polygons() if len(ring) > 2]
        outer = [ring for ring in rings if shapely.is_ccw(shapely.linearrings(ring))]
        return filled(shapely.union_all([shapely.Polygon(ring) for ring in outer]))

    def is_convex(self) -> bool:
        """Tell whether the part's outline is its hull at every tilt that is checked."""
        some = range(0, len(self.hulls), max(len(self.hulls) // LOOKED_THROUGH, 1))
        return all(
            shapely.area(self.area(float(self.tilts_rad[k])))
            >= (1.0 - SAME_AREA) * shapely.Polygon(self.hulls[k]).area
            for k in some
        )

    def core(self, under_mm: float) -> Pieces:
        """Return what the hull covers at every tilt at which it may be under a headroom; none for nothing."""
        maybe = np.flatnonzero(self.tall_mm - 2.0 * self.moves_mm <= under_mm)
        core = shapely.Polygon(self.hulls[maybe[0]])
        for k in maybe[1:]:
            core = shapely.intersection(core, shapely.Polygon(self.hulls[k]))
        if len(self.hulls) > 1:
            core = shapely.buffer(core, -self.moves_mm, join_style="mitre")
        return () if core.is_empty else (hull_of(np.asarray(shapely.get_coordinates(core))),)

    def tipping(self, one: int, other: int) -> Pieces:
        """Return one convex outline that holds all that is covered between two of the tilts."""
        low, high = sorted((one, other))
        return (grown(hull_of(np.vstack(self.hulls[low : high + 1])), self.moves_mm, outward=True),)


def simpler(area: object, *, outward: bool) -> Pieces:
    """Return the convex pieces of an outline; of a simpler one around or in it where they are many.

    Simplifying moves no side by more than it is told (Douglas and Peucker): as much is put on or taken off.
    """
    pieces = convex_pieces(area)
    by = float(np.ptp(shapely.get_coordinates(area), axis=0).max()) / 2000.0
    while len(pieces) > MOST_PIECES:
        plain = shapely.simplify(area, by)
        moved = shapely.buffer(plain, by if outward else -by, join_style="mitre", mitre_limit=2.0)
        pieces = convex_pieces(filled(moved))
        by *= COARSER
    return pieces
