"""Can the part be carried through? Level, or tipped up, with the path or a proof that there is none.

What counts is the outline of the part in plan, hollows and all. Tipped up, the way is looked for at the
tilts that make it shortest under each headroom, and it is tipped on the way, where there is room. Refused
is only what cannot pass even with what is covered at every tilt that is allowed. The part is carried as
drawn, not rolled.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely

from fitcheck.geometry.carry_chain import chain, holding, joined_at_best, joined_nearly, reached
from fitcheck.geometry.carry_check import TOUCHING_MM, Body, is_clear, least_gap_mm, stands_clear, walls_of
from fitcheck.geometry.carry_outlines import far_mm, grown
from fitcheck.geometry.carry_path import fewer, key_places
from fitcheck.geometry.carry_slices import WHOLE, Layer, Places, best_places, sure_places
from fitcheck.geometry.carry_tilts import Tilts
from fitcheck.geometry.carry_ways import (
    ROUNDING_MM,
    Ways,
    along_walls,
    floor_of,
    floor_under,
    headroom_under,
    most_headroom_mm,
    ways,
)
from fitcheck.things.carrying import CarryAnswer, Shown, Step
from fitcheck.things.part import Part
from fitcheck.things.room import Point
from fitcheck.things.route import Route, Stand
from fitcheck.things.solid import Floats, Indices
from fitcheck.words.errors import Refused

# Slices of a half turn tried in turn until both answers agree. The last only if sharp.
EFFORT = (100, 400, 1600, 6400)
# Turns from one slice to the next that are tried and do not do, before a way is given up.
MOST_TRIES = 40
# Of r h^2, r being the farthest corner and h a turn: what a part may stray by between two places (its own
# arc an eighth, what it is moved by while it turns a quarter).
STRAYS = 0.4
# What is to spare is found to so much, or to a share of it.
SPARE_HALVINGS = 10
SPARE_TO_MM, SPARE_SHARE = 0.2, 0.02
SPARE_SLICES = 400
LEVEL = "proven: no way through, with the outline that it has as drawn"
TIPPED = "proven: no way through, with the outline that it has at every tilt allowed"


@dataclass(frozen=True, slots=True, eq=False)
class _Asked:
    """What is asked: the route, its floor less the posts, and the ways of carrying."""

    route: Route
    floor: Any
    ways: Ways
    exact: Floats


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """A way from start to goal: x, y, swing (k, 3) and the number of the tilt (k,); slices gone through."""

    places: Floats
    tilt_of: Indices
    around: Floats


def carry(part: Part, route: Route, *, sharp: bool = False) -> CarryAnswer:
    """Tell whether a part can be carried along a route.

    "fits": a path, checked by moving the outline along it; "does not fit": proven for the part as drawn, not
    rolled; "measure again": between the two within the effort, which `sharp` makes greater; "not found": it
    is tipped up and its outline is hollow, or it would have to reach under something low. Raises `Refused`
    where it overlaps a wall or a post where it starts or ends.
    """
    tilts = Tilts.of(part, route.tilt_rad)
    empty = CarryAnswer(part.name, route.name, "does not fit", "")
    most = most_headroom_mm(route)
    if float(tilts.tall_mm.min()) - 2.0 * tilts.moves_mm > most + ROUNDING_MM:
        return replace(empty, reason="proven: it is too tall for the headroom at every tilt that is allowed")
    convex = tilts.is_convex()
    found = ways(route, tilts, convex)
    if found is None:
        reason = "it is within a hair of the headroom: measure both again"
        return replace(empty, verdict="measure again", reason=reason)
    floor = floor_of(route)
    answer = replace(empty, outlines=(_shown(found, 0),))
    _refuse_overlaps(part, route, floor, found)
    low = _too_low(route, floor, tilts, found)
    if low:
        return replace(answer, reason=f"proven: it is too tall for {low}")
    swings = [stand.swing_rad for stand in (route.start, route.goal) if stand.swing_rad is not None]
    exact = np.unique(np.mod([*along_walls(floor), *swings], WHOLE))
    hull = None if convex else ways(route, tilts, True)
    if hull is not None:
        # Where its hull goes, it goes, and that is found far sooner.
        simple = _searched(
            replace(answer, outlines=(_shown(hull, 0),)), _Asked(route, floor, hull, exact), False
        )
        if simple.verdict == "fits":
            return simple
    return _searched(answer, _Asked(route, floor, found, exact), sharp)


def _searched(answer: CarryAnswer, asked: _Asked, sharp: bool) -> CarryAnswer:
    """Return the answer with ever more slices."""
    tipped = len(asked.ways.tilts_rad) > 1 or asked.route.tilt_rad > 0.0
    provable = asked.ways.convex or not tipped
    for count in EFFORT if sharp else EFFORT[:-1]:
        best, reach = _at_best(asked, asked.ways, count)
        if best is None and not provable:
            reason = "no way for what is solid of it at every tilt; its hollows are only made use of level"
            return replace(answer, verdict="not found", reason=reason, slices=count)
        if best is None:
            return replace(answer, reason=TIPPED if tipped else LEVEL, slices=count)
        for around in (best, reach):
            found = _surely(asked, asked.ways, count, around)
            if found is not None:
                return _through(answer, asked, found, count)
    if _ends_differ(asked):
        reason = "no way on which all of it is under one headroom; reaching under is not looked for"
        return replace(answer, verdict="not found", reason=reason, slices=count)
    width = far_mm(asked.ways.layers[0].pieces) * math.pi / count / 2.0
    reason = (
        f"it is a matter of {max(width, 0.1):.1f} mm at the pinch: measure the way and the part again there"
    )
    return replace(answer, verdict="measure again", reason=reason, slices=count)


def _at_best(asked: _Asked, way: Ways, count: int) -> tuple[Floats | None, Floats]:
    """Return the swings of a chain at best, None where there is none, and all that can be reached.

    As rows: the middle and the half width of each slice.
    """
    half = math.pi / count / 2.0
    swings: Floats = 2.0 * half * np.arange(2 * count, dtype=np.float64)
    found = Places.all_of([best_places(way.best, swings, 0.0), best_places(way.best, swings + half, half)])
    pairs = joined_at_best(found)
    stands = asked.route.start, asked.route.goal
    start, goal = (_in_slices(found, stand) for stand in stands)
    through = chain(pairs, start, goal)
    rows = np.column_stack([found.swing_of, found.half_of])
    if through is None:
        return None, rows[:0]
    return np.unique(rows[through], axis=0), np.unique(rows[reached(pairs, start, len(rows))], axis=0)


def _in_slices(found: Places, stand: Stand) -> Any:
    every = holding(found, stand.at_mm, stand.swing_rad)
    return every[found.half_of[every] > 0.0]


def _surely(asked: _Asked, way: Ways, count: int, around: Floats) -> _Found | None:
    """Return a way on which the part is surely clear, at swings within some slices; None for none found."""
    wide = math.pi / count
    swings: Floats = wide * np.arange(2 * count, dtype=np.float64)
    swings = swings[_near(swings, around, wide / 2.0)]
    exact = asked.exact[_near(asked.exact, around, 0.0)]
    swings = swings[~_near(swings, np.column_stack([exact, np.zeros(len(exact))]), 1e-7)]
    far = max(far_mm(layer.pieces) for layer in way.layers)
    margin = max(STRAYS * far * wide**2, TOUCHING_MM)
    found = Places.all_of(
        [
            sure_places(layer, number, some, by)
            for number, layer in enumerate(way.layers)
            for some, by in ((swings, margin), (exact, 0.0))
        ]
    )
    pairs = joined_nearly(found, way.between, far)
    # It starts and ends level, or at the lowest tilt that there is room for.
    start, goal = (
        every[found.layer_of[every] == 0]
        for stand in (asked.route.start, asked.route.goal)
        for every in (holding(found, stand.at_mm, stand.swing_rad),)
    )
    for _ in range(MOST_TRIES):
        through = chain(pairs, start, goal)
        if through is None:
            return None
        keys = _keys(asked, way, found, through)
        bad = _not_clear(way, *keys)
        if not len(bad):
            slices = np.column_stack([found.swing_of[through], np.full(len(through), wide)])
            return _Found(keys[0], keys[1], np.unique(slices, axis=0))
        shut = {frozenset(through[k - 1 : k + 1]) for k in bad.tolist() if 0 < k < len(through)}
        if not shut:
            return None
        pairs = pairs[[frozenset(pair) not in shut for pair in pairs.tolist()]]
    return None


def _keys(asked: _Asked, way: Ways, found: Places, through: list[int]) -> tuple[Floats, Indices, Indices]:
    """Return key places of a chain, the number of the tilt of each, and which place of the chain it is in."""
    ends = zip((asked.route.start, asked.route.goal), (through[0], through[-1]), strict=True)
    start, goal = (
        np.array([*stand.at_mm, found.swing_of[end] if stand.swing_rad is None else stand.swing_rad])
        for stand, end in ends
    )
    return key_places(found, through, (start, goal), _carried_at(found.layer_of[through], way))


def _not_clear(way: Ways, places: Floats, tilt_of: Indices, link: Indices) -> Indices:
    """Return the places of the chain, by number, on the way into which the part is not clear."""
    bad = []
    for low, high in _runs(tilt_of):
        layer = way.layers[int(tilt_of[low])]
        walls, body = walls_of(layer.ground.floor), Body.of(layer.pieces)
        if high - low < 2 or is_clear(walls, body, places[low:high], layer.clearance_mm):
            continue
        bad += [
            int(link[k])
            for k in range(low + 1, high)
            if not is_clear(walls, body, places[k - 1 : k + 1], layer.clearance_mm)
        ]
    return np.array(bad, dtype=np.int64)


def _runs(tilt_of: Indices) -> list[tuple[int, int]]:
    """Return from where to where the part is carried at one tilt."""
    breaks = [0, *(np.flatnonzero(np.diff(tilt_of)) + 1).tolist(), len(tilt_of)]
    return list(itertools.pairwise(breaks))


def _near(swings: Floats, around: Floats, half: float) -> Any:
    """Return which swings, each with so much to either side, meet one of some slices."""
    middles, halves = around[:, 0], around[:, 1]
    apart = np.abs(np.mod(swings[:, None] - middles[None, :] + math.pi, WHOLE) - math.pi)
    return (apart <= halves[None, :] + half + 1e-9).any(axis=1)


def _through(answer: CarryAnswer, asked: _Asked, found: _Found, count: int) -> CarryAnswer:
    """Return the answer with the widest path that was found, looked at again, and what is to spare."""
    wider, most = _widest(asked, found, count)
    for each in (wider, found):
        path = _path(asked, each)
        if path is None:
            continue
        steps, gap, pinch = path
        used = sorted({step.tilt_rad for step in steps})
        return replace(
            answer,
            verdict="fits",
            reason=f"it can be carried through, {_tipped(used)}",
            path=steps,
            width_spare_mm=max(gap - asked.route.clearance_mm, 0.0),
            width_spare_at_most_mm=max(most, gap - asked.route.clearance_mm) if most < math.inf else None,
            pinch_mm=pinch,
            outlines=tuple(_shown(asked.ways, asked.ways.tilts_rad.index(tilt)) for tilt in used),
            slices=count,
        )
    reason = "the path that was found does not bear a second look"
    return replace(answer, verdict="not found", reason=reason, slices=count)


def _tipped(tilts: list[float]) -> str:
    return f"tipped up {math.degrees(tilts[-1]):.0f} deg" if tilts[-1] > 0.0 else "level"


def _widest(asked: _Asked, found: _Found, count: int) -> tuple[_Found, float]:
    """Return the way with the most to spare that was found, and what no way has more of."""
    if not asked.ways.convex:
        # Many pieces make this slow: what the path itself keeps is told, and no more.
        return found, math.inf
    low, high = 0.0, _most_to_spare(asked, count)
    most, best = high, found
    for _ in range(SPARE_HALVINGS):
        if high - low <= max(SPARE_TO_MM, SPARE_SHARE * high):
            break
        middle = (low + high) / 2.0
        other = _surely(asked, asked.ways.wider(middle), max(count, SPARE_SLICES), found.around)
        low, high = (low, middle) if other is None else (middle, high)
        best = best if other is None else other
    return best, most


def _most_to_spare(asked: _Asked, count: int) -> float:
    """Return what can be kept clear more at most: with it there is no way at best."""
    edge = shapely.boundary(asked.floor)
    stands = (asked.route.start.at_mm, asked.route.goal.at_mm)
    low, high = 0.0, min(float(shapely.distance(edge, shapely.Point(at))) for at in stands)
    for _ in range(SPARE_HALVINGS):
        if high - low <= max(SPARE_TO_MM, SPARE_SHARE * high):
            break
        middle = (low + high) / 2.0
        best, _ = _at_best(asked, asked.ways.wider(middle), count)
        low, high = (low, middle) if best is None else (middle, high)
    return high


def _path(asked: _Asked, found: _Found) -> tuple[tuple[Step, ...], float, Point] | None:
    """Return key poses, the least gap all along and where; None where the way is not clear after all."""
    clearance = asked.route.clearance_mm
    steps: list[Step] = []
    least, pinch = math.inf, found.places[0]
    for low, high in _runs(found.tilt_of):
        number = int(found.tilt_of[low])
        layer = asked.ways.layers[number]
        walls, body = walls_of(layer.ground.floor), Body.of(layer.pieces)
        some = found.places[low:high]
        if not stands_clear(layer.ground.floor, body, some[0]) or not is_clear(walls, body, some, clearance):
            return None
        wide, _ = least_gap_mm(walls, body, some)
        give = max(SPARE_TO_MM, SPARE_SHARE * (wide - clearance))
        some = fewer(walls, body, some, max(clearance, wide - give))
        gap, where = least_gap_mm(walls, body, some)
        least, pinch = (gap, where) if gap < least else (least, pinch)
        steps += [_step(place, asked.ways.tilts_rad[number]) for place in some]
    return tuple(steps), least, (float(pinch[0]), float(pinch[1]))


def _carried_at(layers: Any, way: Ways) -> Any:
    """Return at which tilt, by number, each place of a chain is gone through: while tipping, as before it."""
    carried, last = [], 0
    for layer in layers.tolist():
        last = layer if layer < len(way.tilts_rad) else last
        carried.append(last)
    return np.array(carried)


def _step(place: Floats, tilt_rad: float) -> Step:
    return Step((float(place[0]), float(place[1])), math.remainder(float(place[2]), WHOLE), tilt_rad)


def _shown(way: Ways, number: int) -> Shown:
    pieces = way.layers[number].pieces
    rings = tuple(tuple((float(x), float(y)) for x, y in piece) for piece in pieces)
    return Shown(way.tilts_rad[number], rings)


def _ends_differ(asked: _Asked) -> bool:
    """Tell whether some floor is too low for the part at a tilt at which it is carried."""
    return any(layer.ground.floor.area < asked.floor.area - 1.0 for layer in asked.ways.layers)


def _refuse_overlaps(part: Part, route: Route, floor: Any, way: Ways) -> None:
    """Raise `Refused` where the part overlaps a wall or a post where it starts or ends."""
    for where, stand in (("at its start", route.start), ("at its end", route.goal)):
        if not shapely.dwithin(floor, shapely.Point(stand.at_mm), ROUNDING_MM) and way.convex:
            raise Refused(
                f"{route.name}: the middle of {part.name} is not on the floor {where}",
                "move it onto the floor",
            )
        if stand.swing_rad is None:
            continue
        body = _placed(way.layers[0], stand)
        hit = _hit(route, body)
        if hit:
            raise Refused(f"{route.name}: {part.name} overlaps {hit} {where}", "move it there, or turn it")


def _placed(layer: Layer, stand: Stand) -> Any:
    """Return what the part takes up where it starts or ends, with what is to be kept clear."""
    cosine, sine = math.cos(stand.swing_rad or 0.0), math.sin(stand.swing_rad or 0.0)
    turned = np.array([[cosine, sine], [-sine, cosine]])
    pieces = [grown(piece, layer.clearance_mm, outward=True) @ turned + stand.at_mm for piece in layer.pieces]
    return shapely.union_all([shapely.Polygon(piece) for piece in pieces])


def _hit(route: Route, body: Any) -> str:
    """Return what a placed part overlaps; nothing where it stands free."""
    inside = shapely.buffer(body, -ROUNDING_MM)
    for k, post in enumerate(route.posts):
        if shapely.intersects(shapely.Polygon(post), inside):
            return route.post_names[k] if k < len(route.post_names) else f"post {k + 1}"
    out = shapely.difference(inside, shapely.Polygon(route.floor))
    if out.is_empty:
        return ""
    east, north = (
        out.representative_point().x - body.centroid.x,
        out.representative_point().y - body.centroid.y,
    )
    side = (
        ("north" if north > 0 else "south") if abs(north) >= abs(east) else ("east" if east > 0 else "west")
    )
    return f"the wall to its {side}"


def _too_low(route: Route, floor: Any, tilts: Tilts, way: Ways) -> str:
    """Return what the part is too tall to be brought under, if start and goal are shut off by it.

    At any tilt some of the part is too high for it, and that can be in one piece only on one side: it is
    convex, or one point of it that is carried level.
    """
    stands = (route.start, route.goal)
    told = all(stand.swing_rad is not None for stand in stands) and len(tilts.tilts_rad) == 1
    if not (way.convex or told):
        return ""
    tall = float(tilts.tall_mm.min()) - 2.0 * tilts.moves_mm
    low = [each for each in route.lows if headroom_under(route, each) + ROUNDING_MM < tall]
    left = floor_under(route, floor, tall)
    at = [
        shapely.Point(stand.at_mm) if way.convex else _placed(way.layers[0], stand).representative_point()
        for stand in stands
    ]
    if not low or any(part.covers(at[0]) and part.covers(at[1]) for part in shapely.get_parts(left)):
        return ""
    return " and ".join(each.name for each in low)
