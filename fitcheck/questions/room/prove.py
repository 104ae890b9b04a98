"""A room answer checked again: by shapely and a flooded grid.

It shares nothing with `room` and `arrange` but the rules of what may not stand where.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from fitcheck.proving.aisle_grid import LESS, MORE, Edge, Grid
from fitcheck.proving.known import known_thing
from fitcheck.questions.room.answer import Aisle, Layout, RoomAnswer
from fitcheck.questions.room.prove_layout import no_layout_is_left
from fitcheck.things.proved import Check, NotChecked, Proved
from fitcheck.things.room import Door, Fixture, Place, Point, Ring, Room, Side
from fitcheck.things.shop import Shop
from fitcheck.words.units import read_length

# Overlaps thinner than a sheet of paper are none; told places are rounded where they are written.
PAPER_MM, SAME_MM, SAME_RAD = 0.1, 1e-6, 1e-9
# Nothing on a way for people hangs lower than this (29 CFR 1910.36(g)(1): 6 ft 8 in).
HEADROOM_MM = read_length("6 ft 8 in")
# Straight pieces of a door's swing.
PIECES = 128
# Told widths are right to this.
WIDTH_MM = 0.05
NARROW = "aisle too narrow"


Key = tuple[str, frozenset[str]]


@dataclass(frozen=True, slots=True, eq=False)
class _Clash:
    """Two outlines that may not overlap; or one (other None) that must be within the walls."""

    kind: str
    names: frozenset[str]
    one: Any
    other: Any


def prove(answer: RoomAnswer, shop: Shop) -> Proved:
    """Check an answer of `room` or of `arrange` again; raises `Refused` for a room that the shop has not.

    Shown again are the places, every conflict and what it lacks, and the aisles: to what a grid shows, and
    the pinch exactly; of every layout told. That nothing can be arranged is where `prove_layout.py` rules it
    out by bodies and work zones alone; else it is not, and the answer says so. Cures and the free floor are
    not checked.
    """
    room = known_thing(shop.rooms, answer.room.name, "room")
    fits = (answer.verdict == "fits") != bool(answer.conflicts)
    says = Check("it fits if no conflict is told, and not else", fits)
    if answer.layouts and answer.verdict != "not found":
        checks = [
            each
            for k, layout in enumerate(answer.layouts)
            for each in _layout_checks(answer, layout, k, room)
        ]
        return Proved(room.name, answer.verdict, (says, *checks))
    empty = Check("no places are told", not answer.layouts)
    if answer.verdict == "not found":
        found_none = NotChecked("verdict", "that none was found")
        return Proved(room.name, answer.verdict, (empty,), (found_none,))
    if answer.conflicts:
        return Proved(room.name, answer.verdict, (says, empty, *_conflicts_of_what_stands(answer, room)))
    if no_layout_is_left(room):
        none = Check("no places at quarter turns are left for them, anywhere in the room", True)
        return Proved(room.name, answer.verdict, (empty, none))
    open_still = NotChecked("verdict", "that no layout stands")
    return Proved(room.name, answer.verdict, (empty,), (open_still,))


def _layout_checks(answer: RoomAnswer, layout: Layout, number: int, room: Room) -> Iterator[Check]:
    """Yield the checks of one layout; number: from 0, the best."""
    which = f"layout {number + 1}: " if number else ""
    places = layout.places
    placed = [(each, places[each.name]) for each in room.fixtures if each.name in places]
    there = {each.name for each in room.fixtures} == set(places)
    yield Check(
        f"{which}every fixture has a place, those of the shop file their own",
        there and all(_is_there(*each) for each in placed),
    )
    checks = [*_conflict_checks(answer, room, placed)]
    if there:
        checks += _aisle_checks(answer, layout, room, placed)
        checks.append(_walls_check(layout, room, placed))
    yield from (Check(f"{which}{check.what}", check.holds) for check in checks)


def _conflicts_of_what_stands(answer: RoomAnswer, room: Room) -> Iterator[Check]:
    """Yield whether what has its place in the shop file is in each other's way, as is told."""
    placed = [(each, each.place) for each in room.fixtures if each.place is not None]
    yield Check(
        "no aisle is told of, for not all has a place", all(c.kind != NARROW for c in answer.conflicts)
    )
    yield from _conflict_checks(answer, room, placed)


def _is_there(fixture: Fixture, place: Place) -> bool:
    own = fixture.place
    if own is None:
        return True
    turned = abs(math.remainder(own.turn_rad - place.turn_rad, 2.0 * math.pi))
    return math.dist(own.at_mm, place.at_mm) <= SAME_MM and turned <= SAME_RAD


def _conflict_checks(told: RoomAnswer, room: Room, placed: list[tuple[Fixture, Place]]) -> Iterator[Check]:
    """Yield whether the conflicts told are those there are, and each lacks what is told."""
    floor = shapely.Polygon(room.outline_mm)
    found: dict[Key, float] = {}
    for clash in _clashes(room, placed):
        if (short := _least_move_mm(floor, clash)) > 0.0:
            key = clash.kind, clash.names
            found[key] = max(found.get(key, 0.0), short)
    said = {
        (each.kind, frozenset(each.between[:1] if "outside" in each.kind else each.between)): each.short_by_mm
        for each in told.conflicts
        if each.kind != NARROW
    }
    what = "no two things are in each other's way" if not said else "these things are in each other's way"
    yield Check(what, set(found) == set(said))
    for key, short in said.items():
        holds = abs(found.get(key, -math.inf) - short) <= PAPER_MM
        yield Check(f"{key[0]}, {' and '.join(sorted(key[1]))}: by {short:.1f} mm", holds)


def _clashes(room: Room, placed: list[tuple[Fixture, Place]]) -> Iterator[_Clash]:
    """Yield every pair of outlines that may not overlap, and every one that must be within the walls."""
    bodies = {fixture.name: shapely.Polygon(fixture.ring_mm(place)) for fixture, place in placed}
    top = math.inf if room.ceiling_mm is None else room.ceiling_mm
    kept: list[tuple[str, str, Any, tuple[float, float]]] = [
        ("in the door swing", door.name, _swing(door), (0.0, door.height_mm or top))
        for door in room.doors
        if door.takes_floor
    ]
    kept += [
        ("in a keep-clear zone", zone.name, shapely.Polygon(zone.ring_mm), (0.0, zone.height_mm or top))
        for zone in room.keep_clear
    ]
    for fixture, place in placed:
        yield _Clash("outside the room", frozenset({fixture.name}), bodies[fixture.name], None)
        for side in fixture.working_sides:
            zone = shapely.Polygon(fixture.work_ring_mm(side, place))
            kept.append(("in a work zone", fixture.name, zone, (0.0, HEADROOM_MM)))
            yield _Clash("work zone outside the room", frozenset({fixture.name}), zone, None)
    for (one, _), (other, _) in itertools.combinations(placed, 2):
        if _meet(one.heights_mm, other.heights_mm):
            names = frozenset({one.name, other.name})
            yield _Clash("bodies overlap", names, bodies[one.name], bodies[other.name])
    for kind, name, shape, heights in kept:
        for fixture, _ in placed:
            if fixture.name != name and _meet(fixture.heights_mm, heights):
                yield _Clash(kind, frozenset({fixture.name, name}), bodies[fixture.name], shape)


def _meet(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return min(one[1], other[1]) - max(one[0], other[0]) > SAME_MM


def _swing(door: Door) -> Any:
    """Return what the leaf of a door sweeps: corners on its arc."""
    hinge, strike = np.array(door.hinge_mm), np.array(door.strike_mm)
    angle = np.linspace(0.0, math.pi / 2.0, PIECES + 1)[:, None]
    inward = door.width_mm * np.array(door.inward)
    return shapely.Polygon(
        np.vstack([hinge, hinge + np.cos(angle) * (strike - hinge) + np.sin(angle) * inward])
    )


def _least_move_mm(floor: Any, clash: _Clash) -> float:
    """Return how far the one must be moved to be free of the other, or within the walls; 0 where it is.

    Of what is nowhere within the walls, how far it reaches out. Both are convex, so the moves that free one
    of another, or a wall, are what is outside the hull of all differences of their corners.
    """
    corners, here = _corners(clash.one), shapely.Point(0.0, 0.0)
    if clash.other is not None:
        held = shapely.convex_hull(shapely.multipoints(_differences(_corners(clash.other), corners)))
        deep = float(shapely.distance(held.boundary, here)) if held.covers(here) else 0.0
        return deep if deep > PAPER_MM else 0.0
    walls = np.asarray(floor.exterior.coords)
    barred = [
        shapely.convex_hull(shapely.multipoints(_differences(walls[k : k + 2], corners)))
        for k in range(len(walls) - 1)
    ]
    middle = corners.mean(axis=0)
    free = shapely.difference(shapely.Polygon(walls - middle), shapely.union_all(barred))
    out = float(shapely.distance(free, here)) if not free.is_empty else _beyond_mm(floor, clash.one)
    return out if out > PAPER_MM else 0.0


def _corners(shape: Any) -> Any:
    return np.asarray(shape.exterior.coords)[:-1]


def _differences(some: Any, others: Any) -> Any:
    return (some[:, None] - others[None]).reshape(-1, 2)


def _beyond_mm(floor: Any, shape: Any) -> float:
    beyond = shapely.get_coordinates(shapely.difference(shape, floor))
    return float(shapely.distance(floor, shapely.points(beyond)).max(initial=0.0))


def _aisle_checks(
    answer: RoomAnswer, layout: Layout, room: Room, placed: list[tuple[Fixture, Place]]
) -> Iterator[Check]:
    """Yield whether each aisle told is there, no wider one is, and what is said to be too narrow."""
    aisles = layout.aisles
    least = min((aisle.width_mm for aisle in aisles), default=None)
    yield Check("the least aisle told is the narrowest of them", layout.least_aisle_mm == least)
    if not room.doors:
        yield Check("no aisle is told, for the room has no door", not aisles)
        return
    sides = {
        f"{each.name} {side}": (each, place, side) for each, place in placed for side in each.working_sides
    }
    yield Check("an aisle to every working side is told", {aisle.to for aisle in aisles} == set(sides))
    standing = [
        shapely.Polygon(fixture.ring_mm(place)) for fixture, place in placed if fixture.over_mm < HEADROOM_MM
    ]
    floor = shapely.Polygon(room.outline_mm)
    grid = Grid.of(floor, standing)
    doors = [Edge(*door.opening_mm, door.inward) for door in room.doors]
    things = [shapely.boundary(each) for each in (floor, *standing)]
    for aisle in aisles:
        if aisle.to in sides:
            yield _width_check(aisle, grid, doors, _side(*sides[aisle.to]))
            if aisle.pinch_mm is not None:
                yield _pinch_check(aisle, things)
    short = max((room.aisle_mm - aisle.width_mm for aisle in aisles), default=0.0)
    lacks = [each.short_by_mm for each in answer.conflicts if each.kind == NARROW]
    same = abs(max(lacks) - short) <= WIDTH_MM if lacks else short <= WIDTH_MM
    yield Check(f"the narrowest {'lacks what is told' if lacks else 'is as wide as is wanted'}", same)


def _width_check(aisle: Aisle, grid: Grid, doors: list[Edge], edge: Edge) -> Check:
    width = aisle.width_mm
    there = width <= 0.0 or grid.surely(doors, edge, width)
    what = (
        f"{width:.0f} mm wide to {aisle.to}, within {LESS * grid.step_mm:.0f} less and "
        f"{MORE * grid.step_mm:.0f} more"
    )
    within = aisle.at_least_mm <= width <= aisle.at_most_mm
    return Check(what, within and there and not grid.maybe(doors, edge, width))


def _pinch_check(aisle: Aisle, things: list[Any]) -> Check:
    ends = aisle.pinch_mm or ()
    on = all(min(shapely.distance(shapely.Point(end), thing) for thing in things) <= WIDTH_MM for end in ends)
    apart = abs(math.dist(*ends) - aisle.width_mm) <= WIDTH_MM
    return Check(f"its pinch of {aisle.width_mm:.1f} mm is between two things", bool(on and apart))


def _walls_check(layout: Layout, room: Room, placed: list[tuple[Fixture, Place]]) -> Check:
    """Check how many fixtures stand with a whole side against a wall."""
    count = sum(
        any(_on_line(*edge, fixture.ring_mm(place)) >= 2 for edge in room.edges_mm)
        for fixture, place in placed
    )
    return Check(f"{layout.on_walls} of them stand against a wall", count == layout.on_walls)


def _on_line(a: Point, b: Point, corners: Ring) -> int:
    """Return how many corners are on the line of a wall."""
    start, corner = np.array(a), np.array(corners)
    step = (np.array(b) - start) / math.dist(a, b)
    off = step[0] * (corner[:, 1] - start[1]) - step[1] * (corner[:, 0] - start[0])
    return int((np.abs(off) <= SAME_MM).sum())


def _side(fixture: Fixture, place: Place, side: Side) -> Edge:
    (ax, ay), (bx, by) = fixture.side_mm(side, place)
    long = math.hypot(bx - ax, by - ay)
    return Edge((ax, ay), (bx, by), ((by - ay) / long, -(bx - ax) / long))
