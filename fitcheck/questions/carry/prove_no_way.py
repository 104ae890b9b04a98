"""Is it so that a part gets no way through, or with no more to spare? From the route and the part alone.

Boxes of places are refused by the simplest reason there is, until start and goal are shut off from each other
(`disconnection_proof`); that shares nothing with the search. Where instead a row of boxes is found in which
nothing is in the way, the part is moved along it, and if it keeps clear, what was told is not so.
"""

from __future__ import annotations

import itertools
from typing import Literal

import numpy as np

from fitcheck.proving.disconnection_bodies import held_for
from fitcheck.proving.disconnection_proof import search_for_disconnection
from fitcheck.proving.way_clearance import Shape, floor_for, keeps_clear
from fitcheck.things.proved import Check
from fitcheck.things.route import Route
from fitcheck.things.solid import Floats

# Boxes evaluated before it is left as not shown: some ten seconds of one core.
MOST_BOXES = 200_000
# What is to spare at most is told to rounding, and touching is not shut off: half the thickness of paper.
NO_MORE_MM = 0.05
Shown = Literal["shown", "not so", "not shown"]


def prove_no_way(
    shape: Shape, route: Route, spare_mm: float = 0.0, most_boxes: int = MOST_BOXES
) -> tuple[Shown, int]:
    """Tell whether there is surely no way with so much to spare, and how many boxes were evaluated."""
    by = route.clearance_mm + spare_mm
    held = held_for(shape, route, by)
    if not held:
        return "not shown", 0
    if any(each.ground.is_empty for each in held):
        return "shown", 0
    found = search_for_disconnection(held, route.start, route.goal, most_boxes)
    if found.no_way:
        return "shown", found.evaluated
    if found.way is not None and route.tilt_rad == 0.0 and _goes(shape, route, found.way, by):
        return "not so", found.evaluated
    return "not shown", found.evaluated


def no_way_checks(
    shape: Shape, route: Route, spare_mm: float | None = None
) -> tuple[tuple[Check, ...], tuple[str, ...]]:
    """Return what was checked, and what could not be shown: no way at all, or none with more to spare."""
    said = "that there is no way through" if spare_mm is None else "that no way has more to spare"
    more = 0.0 if spare_mm is None else spare_mm + NO_MORE_MM
    how, evaluated = prove_no_way(shape, route, more)
    if how == "not shown":
        return (), (said,)
    if how == "not so":
        return (Check(f"{said.removeprefix('that ')} (one was found)", False),), ()
    if spare_mm is None:
        what = f"start and goal are shut off from each other: {evaluated} boxes of places checked"
    else:
        more_told = f"with {NO_MORE_MM:g} mm more to spare than is told"
        what = f"{more_told}, start and goal are shut off: {evaluated} boxes of places checked"
    return (Check(what, True),), ()


def _goes(shape: Shape, route: Route, way: Floats, by_mm: float) -> bool:
    """Tell whether a part keeps clear, level, from start to goal by way of places (k, 3)."""
    floor = floor_for(route, shape.tall_mm(0.0))
    if floor is None:
        return False
    ends = [
        np.array([*stand.at_mm, place[2] if stand.swing_rad is None else stand.swing_rad])
        for stand, place in ((route.start, way[0]), (route.goal, way[-1]))
    ]
    places = np.vstack([ends[0], way, ends[1]])
    places[:, 2] = np.unwrap(places[:, 2])
    plan = shape.plan(0.0)
    return all(keeps_clear(plan, floor, np.array(pair), by_mm) for pair in itertools.pairwise(places))
