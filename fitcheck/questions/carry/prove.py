"""A carry answer checked again: from the part, the route and the answer alone.

The way is checked by `proving/way_clearance.py`, and that there is none, or none with more to
spare, by `prove_no_way.py`. They share nothing with the search.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
import shapely

from fitcheck.proving.known import known_thing
from fitcheck.proving.way_clearance import Shape, floor_for, keeps_clear, tips_clear
from fitcheck.questions.carry.answer import CarryAnswer, KeyPose
from fitcheck.questions.carry.prove_no_way import no_way_checks
from fitcheck.things.proved import Check, NotChecked, Proved
from fitcheck.things.room import Ring
from fitcheck.things.route import Route, Stand
from fitcheck.things.shop import Shop

# Told numbers are rounded where they are written.
SAME_MM, SAME_RAD = 1e-6, 1e-9
# The way is told by its key poses; a place on it is on the line between two of them.
ON_THE_WAY_MM = 0.1
TURN = 2.0 * math.pi
# Outlines are drawn: seams between their pieces may open by rounding, and where there are many pieces a
# simpler outline goes round them, by shares of the part's length.
DRAWN_MM, OUTLINE_SHARE = 1e-3, 0.01


def prove(answer: CarryAnswer, shop: Shop) -> Proved:
    """Check a carry answer again; raises `Refused` where its part or its route is not of this shop.

    Shown again are the path and what is to spare along it, that no way has more, that something is too
    tall at every tilt, and that there is no way; what could not be within the effort is said to be not shown.
    """
    part = known_thing({**shop.assemblies, **shop.parts}, answer.part, "part or assembly")
    route = known_thing(shop.routes, answer.route, "route")
    shape = Shape.of(part)
    checks = [_outlines_check(answer, shape)]
    never: tuple[NotChecked, ...] = ()
    if answer.verdict == "fits":
        checks += _path_checks(answer, shape, route)
        most = answer.width_spare_at_most_mm
        if most is not None and all(check.holds for check in checks):
            more, why = no_way_checks(shape, route, most)
            checks += more
            never = _not_checked("width_spare_at_most_mm", why)
    else:
        checks.append(Check("no path is told", not answer.path))
        if answer.verdict != "does not fit":
            never = _not_checked("verdict", (f'that it is "{answer.verdict}"',))
        elif _too_tall(shape, route):
            checks.append(Check("it is too tall at every tilt that is allowed", True))
        else:
            shut, why = no_way_checks(shape, route)
            checks += shut
            never = _not_checked("verdict", why)
    return Proved(f"{part.name} by {route.name}", answer.verdict, tuple(checks), never)


def _not_checked(key: str, why: Sequence[str]) -> tuple[NotChecked, ...]:
    return tuple(NotChecked(key, each) for each in why)


def _outlines_check(answer: CarryAnswer, shape: Shape) -> Check:
    """Check that the outlines that are drawn hold all of the part, and not much more than its hull."""
    told = {step.tilt_rad for step in answer.path} <= {shown.tilt_rad for shown in answer.outlines}
    holds = all(_is_outline(shape, shown.tilt_rad, shown.pieces_mm) for shown in answer.outlines)
    return Check("the outlines told are of this part, one for each tilt of the path", told and holds)


def _is_outline(shape: Shape, tilt_rad: float, pieces_mm: Sequence[Ring]) -> bool:
    told = shapely.union_all([shapely.Polygon(ring) for ring in pieces_mm])
    most = OUTLINE_SHARE * float(np.ptp(shape.corners_mm, axis=0).max())
    all_of_it = shapely.covers(shapely.buffer(told, DRAWN_MM), shape.covered(tilt_rad))
    return bool(all_of_it and shapely.covers(shapely.buffer(shape.hull(tilt_rad), most), told))


def _path_checks(answer: CarryAnswer, shape: Shape, route: Route) -> list[Check]:
    path, spare = answer.path, answer.width_spare_mm or 0.0
    by = route.clearance_mm + spare
    told = len(path) > 1 and answer.width_spare_mm is not None and spare >= 0.0
    ends = told and _stands(path[0], route.start) and _stands(path[-1], route.goal)
    checks = [
        Check("a path and what is to spare are told", told),
        Check("it begins and ends where the route does", ends),
        Check(
            f"it is tipped by no more than {math.degrees(route.tilt_rad):.0f} deg",
            all(-SAME_RAD <= step.tilt_rad <= route.tilt_rad + SAME_RAD for step in path),
        ),
        Check("the pinch is on the way", told and _on_the_way(answer)),
    ]
    if not all(check.holds for check in checks):
        return checks
    what = "all along it the part keeps its clearance and what is to spare, under every headroom"
    clear = all(_move_is_clear(shape, route, pair, by) for pair in itertools.pairwise(path))
    return [*checks, Check(what, clear)]


def _stands(step: KeyPose, stand: Stand) -> bool:
    there = math.dist(step.at_mm, stand.at_mm) <= SAME_MM
    return there and (stand.swing_rad is None or abs(_turn(stand.swing_rad, step.swing_rad)) <= SAME_RAD)


def _move_is_clear(shape: Shape, route: Route, pair: tuple[KeyPose, KeyPose], by_mm: float) -> bool:
    """Tell whether a move is clear: straight and turned the shorter way round, or tipped on the spot."""
    one, other = pair
    start = np.array([*one.at_mm, one.swing_rad])
    goal = np.array([*other.at_mm, one.swing_rad + _turn(one.swing_rad, other.swing_rad)])
    if one.tilt_rad != other.tilt_rad:
        stays = math.dist(one.at_mm, other.at_mm) <= SAME_MM and abs(goal[2] - start[2]) <= SAME_RAD
        return stays and tips_clear(shape, route, start, (one.tilt_rad, other.tilt_rad), by_mm)
    floor = floor_for(route, shape.tall_mm(one.tilt_rad))
    if floor is None:
        return False
    return keeps_clear(shape.plan(one.tilt_rad), floor, np.array([start, goal]), by_mm)


def _turn(one_rad: float, other_rad: float) -> float:
    return math.remainder(other_rad - one_rad, TURN)


def _on_the_way(answer: CarryAnswer) -> bool:
    if answer.pinch_mm is None:
        return False
    line = shapely.LineString([step.at_mm for step in answer.path])
    return bool(shapely.distance(line, shapely.Point(answer.pinch_mm)) <= ON_THE_WAY_MM)


def _too_tall(shape: Shape, route: Route) -> bool:
    """Tell whether no tilt that is allowed has the part under the headroom, anywhere."""
    todo = [(0.0, route.tilt_rad)]
    while todo:
        low, high = todo.pop()
        middle, moves = (low + high) / 2.0, shape.far_mm * (high - low) / 2.0
        if floor_for(route, shape.tall_mm(middle)) is not None:
            return False
        if floor_for(route, shape.tall_mm(middle) - 2.0 * moves) is not None:
            todo += [(low, middle), (middle, high)]
    return True
