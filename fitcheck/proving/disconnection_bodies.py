"""Body and ground in plan for a proof that there is no way: what is covered at every tilt.

Level it is the whole outline, and what is too tall for something low, over the ground beside it. Tipped by
any tilt that is allowed it is what the hull covers at all of them, if the part fills its hull in plan.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import shapely

from fitcheck.proving.disconnection_proof import ROUNDS, Held
from fitcheck.proving.way_clearance import TOUCHING_MM, Shape, floor_for
from fitcheck.things.route import Low, Route
from fitcheck.things.solid import Floats, Mask

# Corners of the polygon in the circle of a clearance.
CIRCLE = 64
# Steps of the tilt.
TILTS = 2000
# Two faces of a hull are one where their normals differ by no more than rounding.
ONE_FACE = 1e-9
# A place on an edge, to the rounding of some sums.
ON_EDGE_MM = 1e-6


def held_for(shape: Shape, route: Route, by_mm: float) -> list[Held]:
    """Return what must keep so far from every wall, and over what; nothing where nothing is known to."""
    posts = [shapely.Polygon(post) for post in route.posts]
    floor = shapely.difference(shapely.Polygon(route.floor), shapely.union_all(posts))
    ground = less_all_round(floor, by_mm)
    if route.tilt_rad > 0.0:
        core = covered_tipped(shape, route)
        return [] if core is None else [Held(core, ground)]
    high = [(low, _too_high(shape, route, low)) for low in route.lows]
    beside = [
        Held(body, shapely.difference(floor, shapely.Polygon(low.ring_mm)))
        for low, body in high
        if body is not None
    ]
    return [Held(_outline(shape, route), ground), *beside]


def less_all_round(floor: Any, by_mm: float) -> Any:
    """Return a floor less all that is nearer to its sides than so much, corners rounded by flats within."""
    if by_mm <= 0.0:
        return floor
    angle = 2.0 * math.pi * np.arange(CIRCLE) / CIRCLE
    circle = by_mm * np.column_stack([np.cos(angle), np.sin(angle)])
    rings = [
        np.asarray(ring.coords)
        for part in shapely.get_parts(floor)
        for ring in (part.exterior, *part.interiors)
    ]
    sides = np.concatenate([np.stack([ring[:-1], ring[1:]], axis=1) for ring in rings])
    near = (sides[:, :, None] + circle).reshape(len(sides), -1, 2)
    return shapely.difference(
        floor, shapely.union_all(shapely.convex_hull([shapely.MultiPoint(each) for each in near]))
    )


def covered_tipped(shape: Shape, route: Route) -> Any | None:
    """Return what a part covers at every tilt at which it may be anywhere; None for nothing, or not known.

    Between two tilts no corner moves by more than its distance from the middle times the step.
    """
    from scipy.spatial import ConvexHull

    if not fills_its_hull(shape):
        return None
    corners = shape.corners_mm[ConvexHull(shape.corners_mm).vertices]
    step = route.tilt_rad / TILTS
    moves = shape.far_mm * step / 2.0
    core = None
    for tilt in (np.arange(TILTS) + 0.5) * step:
        x, y, z = Shape(corners, shape.triangles).tipped(float(tilt)).T
        if floor_for(route, float(np.ptp(z)) - 2.0 * moves) is None:
            continue
        hull = shapely.convex_hull(shapely.multipoints(np.column_stack([x, y])))
        core = hull if core is None else shapely.intersection(core, hull)
    less = None if core is None else shapely.buffer(core, -ROUNDS * moves, join_style="mitre")
    return None if less is None or less.is_empty else less


def fills_its_hull(shape: Shape) -> bool:
    """Tell whether in plan, at every tilt, what stands on the floor gets into the part's hull nowhere.

    The rim of a convex hull in plan is made up of its edges in space. If the part's own edges lie along all
    of them, its plan has that rim at every tilt.
    """
    from scipy.spatial import ConvexHull

    hull = ConvexHull(shape.corners_mm)
    same, found = hull.equations[:, :3], []
    for side in range(3):
        other = hull.neighbors[:, side]
        sharp = (same * same[other]).sum(axis=1) < 1.0 - ONE_FACE
        found.append(np.delete(hull.simplices, side, axis=1)[sharp])
    edges = np.unique(np.sort(np.concatenate(found), axis=1), axis=0)
    of_part = np.sort(np.concatenate([shape.triangles[:, [k, (k + 1) % 3]] for k in range(3)]), axis=1)
    count = len(shape.corners_mm)
    others = edges[~np.isin(edges @ [count, 1], of_part @ [count, 1])]
    ends = shape.corners_mm[np.unique(of_part, axis=0)]
    return all(_along(shape.corners_mm[pair], ends) for pair in others)


def _along(edge: Floats, ends: Floats) -> bool:
    """Tell whether edges (e, 2, 3) lie along all of one (2, 3)."""
    way = edge[1] - edge[0]
    long = float(np.linalg.norm(way))
    at = (ends - edge[0]) @ (way / long)
    off = np.linalg.norm(ends - edge[0] - at[..., None] * (way / long), axis=2)
    spans = np.sort(at[(off <= ON_EDGE_MM).all(axis=1)], axis=1)
    reached = 0.0
    for low, high in spans[np.argsort(spans[:, 0])]:
        if low > reached + ON_EDGE_MM:
            break
        reached = max(reached, float(high))
    return reached >= long - ON_EDGE_MM


def _outline(shape: Shape, route: Route) -> Any:
    """Return what a part covers level; with its holes, unless something might stand in one at the start."""
    at = np.array(route.start.at_mm)
    inside = any(
        float(np.linalg.norm(np.array(post) - at, axis=1).max()) <= shape.far_mm for post in route.posts
    )
    return shape.covered(0.0) if inside else shapely.union_all(shape.plan(0.0))


def _too_high(shape: Shape, route: Route, low: Low) -> Any | None:
    """Return in plan what is too high of a part, level, to be under something; None for nothing."""
    limit = low.headroom_mm - 2.0 * route.clearance_mm + TOUCHING_MM
    high: Mask = shape.corners_mm[:, 2] - shape.corners_mm[:, 2].min() > limit
    return shapely.multipoints(shape.corners_mm[high, :2]) if high.any() else None
