"""Can the part be carried through? Level, or tipped up, with the path or a proof that there is none.

What counts is the convex outline of the part in plan. The way is looked for at the tilt that makes it
shortest under the headroom, tipped up where it starts and let down where it ends, and refused only where even
what is covered at every allowed tilt cannot pass. The part is carried as drawn, not rolled.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely

from fitcheck.geometry.carry_path import fewer, key_places, passes
from fitcheck.geometry.carry_slices import Ground, Slices, areas_at, chain, grown, hull_of, slices
from fitcheck.things.answers import Verdict
from fitcheck.things.carrying import CarryAnswer, Step
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.room import Ring
from fitcheck.things.route import Route
from fitcheck.things.solid import Floats
from fitcheck.words.errors import Refused

# Slices of a half turn tried in turn until both answers agree: at best, and surely.
AT_BEST = (200, 800, 3200)
SURELY = (400, 1600, 4800)
# For how much is to spare.
SPARE_SLICES, SPARE_HALVINGS = 400, 5
# Steps of tilt looked at, and how many of them are looked through for hollows.
TILTS, LOOKED_THROUGH = 400, 40
# Of an area: what a mesh's rounding may take.
SAME_AREA = 1e-6
ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class _Carried:
    """The part as it is carried.

    outline_mm (n, 2): at `tilt_rad`, the shortest; level_mm: as drawn; core_mm: covered at every tilt that is
    allowed. ends_mm: all that it covers while it is tipped up. convex: the outline is all of the part's.
    """

    tilt_rad: float
    outline_mm: Floats
    level_mm: Floats
    core_mm: Floats
    ends_mm: Floats
    convex: bool


def carry(part: Part, route: Route) -> CarryAnswer:
    """Tell whether a part can be carried along a route.

    "fits": a path, checked by moving the outline along it; "does not fit": proven for the part as drawn, not
    rolled; "measure again": between the two within the effort; "not found": the outline is not convex, or it
    cannot be tipped up where it starts or ends. Raises `Refused` where it overlaps a wall there.
    """
    carried = _carried(part, route)
    empty = CarryAnswer(part.name, route.name, "does not fit", "")
    if carried == "does not fit":
        return replace(empty, reason="proven: it is too tall for the headroom at every tilt that is allowed")
    if not isinstance(carried, _Carried):
        return replace(
            empty, verdict=carried, reason="it is within a hair of the headroom: measure both again"
        )
    floor = shapely.Polygon(route.floor)
    for post in route.posts:
        floor = shapely.difference(floor, shapely.Polygon(post))
    ground = Ground.of(floor)
    answer = replace(empty, outline_mm=_ring(carried.outline_mm))
    level = _blocked(ground, carried.level_mm, route)
    if level is not None:
        raise Refused(
            f"{route.name}: {part.name} overlaps a wall or a post {level}", "move it there, or turn it"
        )
    tipping = _blocked(ground, carried.ends_mm, route)
    if tipping is not None:
        return replace(answer, verdict="not found", reason=f"there is no room to tip it up {tipping}")
    symmetric = _is_the_same_turned(carried.outline_mm)
    for count in AT_BEST:
        best = _way(ground, carried.core_mm, route, count, symmetric, at_best=True)
        if best is None:
            verdict: Verdict = "does not fit" if carried.convex else "not found"
            why = "proven: no way through, with the outline that it has at every tilt allowed"
            if not carried.convex:
                why = "no way for its convex outline; one that makes use of its hollows is not looked for"
            return replace(answer, verdict=verdict, reason=why, slices=count)
        sure = SURELY[AT_BEST.index(count)]
        found = _way(ground, carried.outline_mm, route, sure, symmetric, at_best=False)
        if found is not None:
            return _through(answer, ground, carried, route, found, symmetric)
    half = math.pi / SURELY[-1] / 2.0
    width = float(np.linalg.norm(carried.outline_mm, axis=1).max()) * half
    reason = f"it is a matter of {width:.1f} mm at the pinch: measure the way and the part again there"
    return replace(answer, verdict="measure again", reason=reason, slices=SURELY[-1])


def _way(
    ground: Ground, outline: Floats, route: Route, count: int, symmetric: bool, *, at_best: bool
) -> tuple[Slices, list[int]] | None:
    """Return the slices and the areas that lead through; None where none do."""
    found = slices(
        ground,
        outline,
        2 * count,
        at_best=at_best,
        symmetric=symmetric,
        clearance_mm=route.clearance_mm,
    )
    start = areas_at(found, route.start.at_mm, route.start.swing_rad)
    goal = areas_at(found, route.goal.at_mm, route.goal.swing_rad)
    areas = chain(found, start, goal)
    return None if areas is None else (found, areas)


def _through(
    answer: CarryAnswer,
    ground: Ground,
    carried: _Carried,
    route: Route,
    way: tuple[Slices, list[int]],
    symmetric: bool,
) -> CarryAnswer:
    """Return the answer with the path, looked at again, and what is to spare."""
    found, areas = way
    first, last = ((found.slice_of[area] + 0.5) * found.wide_rad for area in (areas[0], areas[-1]))
    start = first if route.start.swing_rad is None else route.start.swing_rad
    goal = last if route.goal.swing_rad is None else route.goal.swing_rad
    places = key_places(
        found, areas, np.array([*route.start.at_mm, start]), np.array([*route.goal.at_mm, goal])
    )
    outline = grown(carried.outline_mm, route.clearance_mm, outward=True)
    goes, gap, where = passes(ground.floor, outline, places)
    places = fewer(ground.floor, outline, places) if goes else places
    if not goes:
        return replace(
            answer, verdict="not found", reason="the path that was found does not bear a second look"
        )
    path = tuple(
        Step((float(x), float(y)), math.remainder(float(swing), 2.0 * math.pi), carried.tilt_rad)
        for x, y, swing in places
    )
    spare = max(gap, _spare_mm(ground, carried, route, symmetric))
    tipped = f", tipped up {math.degrees(carried.tilt_rad):.0f} deg" if carried.tilt_rad else ", level"
    return replace(
        answer,
        verdict="fits",
        reason=f"it can be carried through{tipped}",
        path=path,
        width_spare_mm=spare,
        pinch_mm=(float(where[0]), float(where[1])),
        slices=found.count,
    )


def _spare_mm(ground: Ground, carried: _Carried, route: Route, symmetric: bool) -> float:
    """Return by how much the clearance can grow and a way is still found for sure."""
    x, y = route.start.at_mm
    low, high = 0.0, float(shapely.distance(shapely.boundary(ground.floor), shapely.Point(x, y)))
    for _ in range(SPARE_HALVINGS):
        middle = (low + high) / 2.0
        wider = replace(route, clearance_mm=route.clearance_mm + middle)
        way = _way(ground, carried.outline_mm, wider, SPARE_SLICES, symmetric, at_best=False)
        low, high = (low, middle) if way is None else (middle, high)
    return low


def _carried(part: Part, route: Route) -> _Carried | Verdict:
    """Return the part as it is carried; a verdict where it is under the headroom at no tilt, or may be."""
    from scipy.spatial import ConvexHull

    vertices = part.solid.vertices_mm
    points = vertices[ConvexHull(vertices).vertices]
    points = points - (points.min(axis=0) + points.max(axis=0)) / 2.0
    room = math.inf if route.headroom_mm is None else route.headroom_mm - 2.0 * route.clearance_mm
    steps = TILTS if route.tilt_rad > 0.0 else 0
    tilts = np.linspace(0.0, route.tilt_rad, steps + 1)
    turned = [points @ rotation_from(Angles(tilt_rad=float(tilt))).T for tilt in tilts]
    # No point moves by more than this from the nearest tilt looked at.
    moves = float(np.linalg.norm(points, axis=1).max()) * route.tilt_rad / max(steps, 1) / 2.0
    tall = np.array([np.ptp(each[:, 2]) for each in turned])
    if tall.min() - 2.0 * moves > room:
        return "does not fit"
    fits = np.flatnonzero(tall <= room + ROUNDING_MM)
    if not len(fits):
        return "measure again"
    outlines = [hull_of(each[:, :2]) for each in turned]
    long = np.array([np.ptp(each[:, 0]) for each in outlines])
    best = int(fits[np.argmin(long[fits])])
    maybe = np.flatnonzero(tall - 2.0 * moves <= room)
    core = shapely.Polygon(outlines[best])
    for k in maybe:
        core = shapely.intersection(core, shapely.Polygon(outlines[k]))
    core = shapely.buffer(core, -moves, join_style="mitre") if steps else core
    core_mm = np.zeros((0, 2)) if core.is_empty else hull_of(np.asarray(shapely.get_coordinates(core)))
    ends = grown(hull_of(np.vstack(outlines[: best + 1])), moves if steps else 0.0, outward=True)
    some = maybe[:: max(len(maybe) // LOOKED_THROUGH, 1)]
    convex = all(_is_convex(part, float(tilts[k]), outlines[k]) for k in some)
    return _Carried(float(tilts[best]), outlines[best], outlines[0], core_mm, ends, convex)


def _is_convex(part: Part, tilt_rad: float, outline: Floats) -> bool:
    """Tell whether the part's own outline in plan is its hull, with no hollow or hole to see through."""
    from fitcheck.shapes.manifold import manifold_of

    turned = part.solid.moved(rotation_from(Angles(tilt_rad=tilt_rad)), np.zeros(3))
    own = manifold_of(turned).project().area()
    return bool(own >= (1.0 - SAME_AREA) * shapely.Polygon(outline).area)


def _is_the_same_turned(outline: Floats) -> bool:
    """Tell whether an outline is the same after half a turn about its middle."""
    apart = np.linalg.norm(outline[:, None, :] + outline[None, :, :], axis=2).min(axis=1)
    return bool(apart.max() <= ROUNDING_MM)


def _blocked(ground: Ground, outline: Floats, route: Route) -> str | None:
    """Return where an outline overlaps a wall or a post, of where the part starts and ends; else None."""
    outline = grown(outline, route.clearance_mm, outward=True)
    for where, stand in (("at its start", route.start), ("at its end", route.goal)):
        if stand.swing_rad is None:
            continue
        cosine, sine = math.cos(stand.swing_rad), math.sin(stand.swing_rad)
        placed = outline @ np.array([[cosine, sine], [-sine, cosine]]) + np.array(stand.at_mm)
        if not _on(ground.floor, placed):
            return where
    return None


def _on(floor: Any, ring: Floats) -> bool:
    return bool(shapely.covers(shapely.buffer(floor, ROUNDING_MM), shapely.Polygon(ring)))


def _ring(outline: Floats) -> Ring:
    return tuple((float(x), float(y)) for x, y in outline)
