"""Whether what was told about a room is so: by shapely and a flooded grid.

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
from fitcheck.questions.room.answer import ToldRoom
from fitcheck.questions.room.prove_layout import no_layout_is_left
from fitcheck.things.proved import Check, NotChecked, Proved
from fitcheck.things.room import Door, Fixture, Place, Room, Side
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


def prove_room(told: ToldRoom, room: Room) -> Proved:
    """Look at an answer of `room` or `room --arrange` again.

    Shown again are the places, every conflict and what it lacks, and the aisles: to what a grid shows, and
    the pinch exactly. That nothing can be arranged is where `prove_layout.py` rules it out by bodies and work
    zones alone; else it is not, and the answer says so.
    """
    if told.verdict == "not found" or (told.verdict == "does not fit" and not told.conflicts):
        empty = Check("no places are told", not told.placed)
        if told.verdict == "not found":
            return Proved(room.name, told.verdict, (empty,), (NotChecked("layouts", "that none was found"),))
        if no_layout_is_left(room):
            none = Check("no places at quarter turns are left for them, anywhere in the room", True)
            return Proved(room.name, told.verdict, (empty, none))
        return Proved(room.name, told.verdict, (empty,), (NotChecked("verdict", "that no layout stands"),))
    placed = [(each, told.placed[each.name]) for each in room.fixtures if each.name in told.placed]
    there = {each.name for each in room.fixtures} == set(told.placed)
    checks = [
        Check(
            "every fixture has a place, those of the shop file their own",
            there and all(_is_there(*each) for each in placed),
        ),
        Check(
            "it fits if no conflict is told, and not else", (told.verdict == "fits") != bool(told.conflicts)
        ),
        *_conflict_checks(told, room, placed),
        *(_aisle_checks(told, room, placed) if there else ()),
    ]
    return Proved(room.name, told.verdict, tuple(checks))


def _is_there(fixture: Fixture, place: Place) -> bool:
    own = fixture.place
    if own is None:
        return True
    turned = abs(math.remainder(own.turn_rad - place.turn_rad, 2.0 * math.pi))
    return math.dist(own.at_mm, place.at_mm) <= SAME_MM and turned <= SAME_RAD


def _conflict_checks(told: ToldRoom, room: Room, placed: list[tuple[Fixture, Place]]) -> Iterator[Check]:
    """Yield whether the conflicts told are those there are, and each lacks what is told."""
    floor = shapely.Polygon(room.outline_mm)
    found: dict[Key, float] = {}
    for clash in _clashes(room, placed):
        if (short := _least_move_mm(floor, clash)) > 0.0:
            key = clash.kind, clash.names
            found[key] = max(found.get(key, 0.0), short)
    said = {
        (kind, frozenset(names[:1] if "outside" in kind else names)): short
        for kind, names, short in told.conflicts
        if kind != NARROW
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


def _aisle_checks(told: ToldRoom, room: Room, placed: list[tuple[Fixture, Place]]) -> Iterator[Check]:
    """Yield whether each aisle told is there, no wider one is, and what is said to be too narrow."""
    if not room.doors:
        yield Check("no aisle is told, for the room has no door", not told.aisles)
        return
    sides = {
        f"{each.name} {side}": (each, place, side) for each, place in placed for side in each.working_sides
    }
    yield Check("an aisle to every working side is told", {aisle.to for aisle in told.aisles} == set(sides))
    standing = [
        shapely.Polygon(fixture.ring_mm(place)) for fixture, place in placed if fixture.over_mm < HEADROOM_MM
    ]
    grid = Grid.of(shapely.Polygon(room.outline_mm), standing)
    doors = [Edge(*door.opening_mm, door.inward) for door in room.doors]
    for aisle in told.aisles:
        if aisle.to not in sides:
            continue
        fixture, place, side = sides[aisle.to]
        width = aisle.width_mm
        edge = _side(fixture, place, side)
        there = width <= 0.0 or grid.surely(doors, edge, width)
        what = (
            f"{width:.0f} mm wide to {aisle.to}, within {LESS * grid.step_mm:.0f} less and "
            f"{MORE * grid.step_mm:.0f} more"
        )
        yield Check(what, there and not grid.maybe(doors, edge, width))
        if aisle.pinch_mm is not None:
            ends = shapely.points(aisle.pinch_mm)
            things = [shapely.boundary(each) for each in (shapely.Polygon(room.outline_mm), *standing)]
            on = all(min(shapely.distance(end, thing) for thing in things) <= WIDTH_MM for end in ends)
            apart = abs(math.dist(*aisle.pinch_mm) - width) <= WIDTH_MM
            yield Check(f"its pinch of {width:.1f} mm is between two things", bool(on and apart))
    short = max((room.aisle_mm - aisle.width_mm for aisle in told.aisles), default=0.0)
    lacks = [by for kind, _, by in told.conflicts if kind == NARROW]
    same = abs(max(lacks) - short) <= WIDTH_MM if lacks else short <= WIDTH_MM
    yield Check(f"the narrowest {'lacks what is told' if lacks else 'is as wide as is wanted'}", same)


def _side(fixture: Fixture, place: Place, side: Side) -> Edge:
    (ax, ay), (bx, by) = fixture.side_mm(side, place)
    long = math.hypot(bx - ax, by - ay)
    return Edge((ax, ay), (bx, by), ((by - ay) / long, -(bx - ax) / long))
