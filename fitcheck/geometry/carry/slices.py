"""Free places (configuration space) of an outline at one swing, or over a slice of swings.

At one swing the free places are exact: the floor less each convex piece of the outline, mirrored, swept
along every wall (Minkowski sums: T. Lozano-Perez, Spatial planning: a configuration space approach, IEEE
Trans. Computers C-32 (1983) 108-120). For a slice of swings it is done with what the part covers at every
swing of the slice, which leaves more room than there is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from fitcheck.geometry.carry.outlines import Pieces, covered_always, grown, hull_of, trimmed
from fitcheck.things.solid import Floats, Indices

WHOLE = 2.0 * math.pi
# Swings evaluated in one go: their outlines along all walls are held in memory.
AT_ONCE = 256
# A part may touch; what is taken off it, all round, where a proof stands on one swing alone.
TOUCHING_MM = 1e-3
# Swings are compared to the rounding of a few sums.
SAME_RAD = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """What must be kept clear of: the floor, posts taken out of it, and obstacles (o, c, 2).

    An obstacle is the convex hull of its corners: a wall, or a whole post; some corners may be repeated.
    """

    floor: Any
    obstacles: Floats

    @classmethod
    def of(cls, floor: Any) -> Ground:
        """Return the ground of a floor, a shapely polygon with the posts as holes or cut off."""
        found: list[Floats] = []
        for part in shapely.get_parts(floor):
            found += _walls(part.exterior)
            for ring in part.interiors:
                corners = hull_of(np.asarray(ring.coords))
                convex = shapely.Polygon(ring).area >= shapely.Polygon(corners).area * (1.0 - SAME_RAD)
                found += [corners] if convex else _walls(ring)
        most = max((len(each) for each in found), default=2)
        padded = [np.vstack([each, *[each[-1:]] * (most - len(each))]) for each in found]
        return cls(floor, np.array(padded).reshape(-1, most, 2))


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """Free places: polygons, each at all swings within half of one, at one way of carrying.

    swing_of, half_of (k,): rad, half 0 for one swing alone; layer_of (k,): the way of carrying.
    """

    areas: Any
    swing_of: Floats
    half_of: Floats
    layer_of: Indices

    @classmethod
    def all_of(cls, some: list[Places]) -> Places:
        """Return the places of several in one."""
        return cls(
            np.concatenate([each.areas for each in some]),
            np.concatenate([each.swing_of for each in some]),
            np.concatenate([each.half_of for each in some]),
            np.concatenate([each.layer_of for each in some]),
        )


@dataclass(frozen=True, slots=True, eq=False)
class Layer:
    """One way of carrying: the floor that it may be over, its outline, and what is kept clear.

    symmetric: the outline is the same after half a turn.
    """

    ground: Ground
    pieces: Pieces
    clearance_mm: float
    symmetric: bool


def sure_places(layer: Layer, number: int, swings_rad: Floats, margin_mm: float) -> Places:
    """Return where the part is clear of everything at each of some swings, by a margin more than it must.

    Without a margin it may touch.
    """
    pieces = tuple(grown(piece, layer.clearance_mm + margin_mm, outward=True) for piece in layer.pieces)
    if margin_mm == 0.0:
        pieces = tuple(trimmed(piece, TOUCHING_MM) for piece in pieces)
    return _places(layer, number, pieces, swings_rad, 0.0)


def best_places(layer: Layer, swings_rad: Floats, half_rad: float) -> Places:
    """Return places without which the part is clear of everything at no swing within half_rad."""
    trim = [trimmed(piece, TOUCHING_MM) for piece in layer.pieces]
    if half_rad > 0.0:
        trim = [covered_always(piece, half_rad) for piece in trim if len(piece)]
    pieces = tuple(grown(piece, layer.clearance_mm, outward=False) for piece in trim if len(piece))
    if not pieces and any(_holds_middle(piece) for piece in layer.pieces):
        pieces = (np.zeros((1, 2)),)
    return _places(layer, 0, pieces, swings_rad, half_rad)


def _places(layer: Layer, number: int, pieces: Pieces, swings: Floats, half_rad: float) -> Places:
    if not len(swings):
        return Places(np.empty(0, dtype=object), swings, swings, np.zeros(0, dtype=np.int64))
    wanted = np.mod(swings, math.pi if layer.symmetric else WHOLE)
    rounded = np.asarray(np.round(wanted, 12), dtype=np.float64)
    unique, which = np.unique(rounded, return_inverse=True)
    found = [
        free_places(layer.ground, pieces, unique[k : k + AT_ONCE]) for k in range(0, len(unique), AT_ONCE)
    ]
    areas = np.concatenate([each[0] for each in found])
    owner = np.concatenate([each[1] + k * AT_ONCE for k, each in enumerate(found)])
    starts = np.searchsorted(owner, np.arange(len(unique) + 1))
    picks = [np.arange(starts[which[k]], starts[which[k] + 1]) for k in range(len(swings))]
    every = np.concatenate(picks)
    of = np.repeat(swings, [len(pick) for pick in picks])
    return Places(areas[every], of, np.full(len(every), half_rad), np.full(len(every), number))


def free_places(ground: Ground, pieces: Pieces, swings_rad: Floats) -> tuple[Any, Indices]:
    """Return the free places of the outline's middle at some swings: polygons, and which swing each is of."""
    cosine, sine = np.cos(swings_rad), np.sin(swings_rad)
    turns = np.stack([np.stack([cosine, -sine], -1), np.stack([sine, cosine], -1)], -2)
    over = _over_the_floor(ground, pieces, turns)
    swept = [swept_rings(ground.obstacles, -np.einsum("sij,vj->svi", turns, piece)) for piece in pieces]
    found = [
        _left(floor, [ring for each in swept for ring in each[k, :, ::-1]]) for k, floor in enumerate(over)
    ]
    areas = np.array([area for each in found for area in each] or [None])[: sum(map(len, found))]
    invalid = ~shapely.is_valid(areas)
    areas[invalid] = shapely.make_valid(areas[invalid])
    return areas, np.repeat(np.arange(len(found)), [len(each) for each in found])


def swept_rings(obstacles: Floats, outlines: Floats) -> Floats:
    """Return the rings (s, o, c + v, 2) of outlines (s, v, 2) swept over obstacles (o, c, 2), all convex.

    Both are counter-clockwise; a wall is there and back. The sides of the sum are those of both, by heading.
    """
    some = np.broadcast_to(obstacles[None], (len(outlines), *obstacles.shape))
    others = np.broadcast_to(outlines[:, None], (*some.shape[:2], *outlines.shape[1:]))
    sides = np.concatenate([np.roll(ring, -1, axis=2) - ring for ring in (some, others)], axis=2)
    heading = np.mod(np.arctan2(sides[..., 1], sides[..., 0]), WHOLE)
    sides = np.take_along_axis(sides, np.argsort(heading, axis=2)[..., None], axis=2)
    return np.asarray(np.cumsum(sides, axis=2) + (_lowest(some) + _lowest(others))[..., None, :])


def _lowest(rings: Floats) -> Floats:
    """Return the lowest corner (..., 2) of rings (..., c, 2), of several the one farthest west."""
    first = np.lexsort((rings[..., 0], rings[..., 1]), axis=-1)[..., :1]
    return np.asarray(np.take_along_axis(rings, first[..., None], axis=-2)[..., 0, :])


def _left(floor: list[Floats], taken: list[Floats]) -> list[Any]:
    """Return the polygons of what is left: where the rings run round once more the one way than the other.

    By Clipper (A. Johnson), which counts windings and rounds to 1e-8 mm; some ten times as quick as unions.
    """
    from manifold3d import CrossSection, FillRule

    parts = CrossSection([*floor, *taken], FillRule.Positive).decompose()
    rings = [part.to_polygons() for part in parts]
    return [shapely.Polygon(outer, holes) for outer, *holes in filter(None, rings)]


def _over_the_floor(ground: Ground, pieces: Pieces, turns: Floats) -> list[list[Floats]]:
    """Return, for each turn, rings that run once round where one point of each piece is over the floor.

    A piece that crosses no wall lies on the floor where one of its points does: the middle if it has it.
    """
    rings = _rings(ground.floor)
    west, south, east, north = shapely.bounds(ground.floor)
    far = (east - west) + (north - south)
    around = np.asarray(shapely.box(west - far, south - far, east + far, north + far).exterior.coords)[:-1]
    if not pieces:
        return [[around] for _ in turns]
    points = [np.zeros(2) if _holds_middle(piece) else piece.mean(axis=0) for piece in pieces]
    shifts = -np.einsum("sij,pj->spi", turns, np.unique(points, axis=0))
    # Once round for each, less once for each but one.
    less = [around[::-1]] * (shifts.shape[1] - 1)
    return [[*less, *(ring + shift for shift in some for ring in rings)] for some in shifts]


def _rings(floor: Any) -> list[Floats]:
    """Return the rings of a floor: the floor is on their left."""
    parts = shapely.get_parts(shapely.orient_polygons(floor))
    rings = [ring for part in parts for ring in (part.exterior, *part.interiors)]
    return [np.asarray(ring.coords)[:-1] for ring in rings]


def _holds_middle(piece: Floats) -> bool:
    if len(piece) < 3:
        return bool(len(piece) and np.abs(piece).max() == 0.0)
    along = np.roll(piece, -1, axis=0) - piece
    return bool((along[:, 0] * -piece[:, 1] - along[:, 1] * -piece[:, 0] >= 0.0).all())


def _walls(ring: Any) -> list[Floats]:
    corners = np.asarray(ring.coords)
    return list(np.stack([corners[:-1], corners[1:]], axis=1))
