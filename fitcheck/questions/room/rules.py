"""What may not stand where in a room: exact overlaps of bodies, work zones, door swings and keep-clears."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from fitcheck.geometry.plan.aisles import Floor, Thing, Way
from fitcheck.geometry.plan.convex_outlines import TOUCH_MM, Sector, barred, overlap_mm
from fitcheck.questions.room.answer import Conflict, ConflictKind
from fitcheck.things.room import Door, Fixture, Place, Point, Ring, Room, Span
from fitcheck.things.solid import Floats
from fitcheck.words.units import read_length

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

# Nothing on a way for people hangs lower than this (29 CFR 1910.36(g)(1): 6 ft 8 in).
HEADROOM_MM = read_length("6 ft 8 in")


@dataclass(frozen=True, slots=True, eq=False)
class Bar:
    """A shape that a body may not stand in, over a span of heights."""

    name: str
    kind: ConflictKind
    shape: Floats | Sector
    heights_mm: Span
    owner: str = ""


def ring_of(ring: Ring) -> Floats:
    """Return the corners (n, 2) of a ring."""
    return np.array(ring, dtype=np.float64)


def sector_of(door: Door) -> Sector:
    """Return what the leaf of a door sweeps."""
    hinge, strike = np.array(door.hinge_mm), np.array(door.strike_mm)
    return Sector(hinge, door.width_mm, (strike - hinge) / door.width_mm, np.array(door.inward))


def standing(room: Room) -> tuple[tuple[Fixture, Place], ...]:
    """Return the fixtures that have a place, with it."""
    return tuple((fixture, fixture.place) for fixture in room.fixtures if fixture.place is not None)


def placed_at(room: Room, name: str, place: Place | None) -> Room:
    """Return the room with one fixture put elsewhere (None: taken out of the floor)."""
    fixtures = (replace(each, place=place) if each.name == name else each for each in room.fixtures)
    return replace(room, fixtures=tuple(fixtures))


def bars_of(room: Room) -> tuple[Bar, ...]:
    """Return every shape that bodies may not stand in, bodies themselves left out."""
    top = room.ceiling_mm if room.ceiling_mm is not None else float("inf")
    bars = [
        Bar(door.name, "in the door swing", sector_of(door), (0.0, door.height_mm or top))
        for door in room.doors
        if door.takes_floor
    ]
    bars += [
        Bar(zone.name, "in a keep-clear zone", ring_of(zone.ring_mm), (0.0, zone.height_mm or top))
        for zone in room.keep_clear
    ]
    bars += [
        Bar(fixture.name, "in a work zone", ring_of(zone), (0.0, HEADROOM_MM), fixture.name)
        for fixture, place in standing(room)
        for zone in (fixture.work_ring_mm(side, place) for side in fixture.working_sides)
    ]
    return tuple(bars)


def overlaps(room: Room) -> tuple[Conflict, ...]:
    """Return every conflict of a layout but the aisles, each pair and kind once, at its worst."""
    found: dict[tuple[ConflictKind, tuple[str, ...]], float] = {}
    for conflict in _overlaps(room):
        key = conflict.kind, conflict.between
        found[key] = max(found.get(key, 0.0), conflict.short_by_mm)
    return tuple(Conflict(kind, between, short) for (kind, between), short in found.items())


def _overlaps(room: Room) -> Iterator[Conflict]:
    placed = standing(room)
    for fixture, place in placed:
        yield from _outside(room, fixture, place)
    for (one, at), (other, there) in itertools.combinations(placed, 2):
        if share_heights(one.heights_mm, other.heights_mm):
            deep, _ = overlap_mm(ring_of(one.ring_mm(at)), ring_of(other.ring_mm(there)))
            if deep > TOUCH_MM:
                yield Conflict("bodies overlap", (one.name, other.name), deep)
    for bar in bars_of(room):
        for fixture, place in placed:
            if fixture.name != bar.owner and share_heights(fixture.heights_mm, bar.heights_mm):
                deep, _ = overlap_mm(ring_of(fixture.ring_mm(place)), bar.shape)
                if deep > TOUCH_MM:
                    yield Conflict(bar.kind, (fixture.name, bar.name), deep)


def _outside(room: Room, fixture: Fixture, place: Place) -> Iterator[Conflict]:
    """Return whether a body, or the floor for working at it, reaches beyond the walls."""
    kinds: list[tuple[ConflictKind, Ring]] = [("outside the room", fixture.ring_mm(place))]
    kinds += [
        ("work zone outside the room", fixture.work_ring_mm(side, place)) for side in fixture.working_sides
    ]
    for kind, ring in kinds:
        body = ring_of(ring)
        short = outside_mm(room, body)
        if short > TOUCH_MM:
            yield Conflict(kind, (fixture.name, _nearest_wall(room, body)), short)


def outside_mm(room: Room, body: Floats) -> float:
    """Return how far a convex body must be moved to be within the walls; 0 where it is.

    Where it has no room anywhere at its turn, how far it reaches out now.
    """
    import shapely

    floor = shapely.Polygon(room.outline_mm)
    beyond = shapely.Polygon(body).difference(floor)
    if beyond.area <= TOUCH_MM * sum(np.hypot(*(np.roll(body, -1, axis=0) - body).T)):
        return 0.0
    free = inside_shifts(room, body)
    if not free.is_empty:
        return float(free.distance(shapely.Point(0.0, 0.0)))
    return max(float(shapely.Point(corner).distance(floor)) for corner in shapely.get_coordinates(beyond))


def inside_shifts(room: Room, body: Floats) -> BaseGeometry:
    """Return the shifts at which a convex body is within the walls.

    Its middle is over the floor, and no wall runs through it.
    """
    import shapely

    middle = shapely.Polygon(ring_of(room.outline_mm) - body.mean(axis=0))
    walls = [barred(body, np.array(edge)) for edge in room.edges_mm]
    return middle.difference(shapely.union_all(walls))


def free_shifts(room: Room, fixture: Fixture, place: Place) -> BaseGeometry:
    """Return every shift of a fixture from a place at which it is in no conflict (aisles not checked).

    Exact but for the door's sector, which is taken a hair too large.
    """
    import shapely

    others = placed_at(room, fixture.name, None)
    body = ring_of(fixture.ring_mm(place))
    zones = [ring_of(fixture.work_ring_mm(side, place)) for side in fixture.working_sides]
    free = inside_shifts(room, body)
    taken = []
    for zone in zones:
        free = free.intersection(inside_shifts(room, zone))
    for bar in bars_of(others):
        if share_heights(fixture.heights_mm, bar.heights_mm):
            shape = bar.shape.around_mm() if isinstance(bar.shape, Sector) else bar.shape
            taken.append(barred(body, shape))
    for other, there in standing(others):
        ring = ring_of(other.ring_mm(there))
        if share_heights(fixture.heights_mm, other.heights_mm):
            taken.append(barred(body, ring))
        if other.over_mm < HEADROOM_MM:
            taken += [barred(zone, ring) for zone in zones]
    return free.difference(shapely.union_all(taken))


def floor_of(room: Room) -> Floor:
    """Return the floor that people walk on, with what stands on it."""
    walls = tuple(Thing(wall_name(room, i), np.array(edge)) for i, edge in enumerate(room.edges_mm))
    bodies = tuple(
        Thing(fixture.name, ring_of(fixture.ring_mm(place)))
        for fixture, place in standing(room)
        if fixture.over_mm < HEADROOM_MM
    )
    return Floor(ring_of(room.outline_mm), walls, bodies)


def door_ways(room: Room) -> tuple[Way, ...]:
    """Return each door's clear opening as a side that a disc may touch from inside."""
    ways = []
    for door in room.doors:
        a, b = (np.array(end) for end in door.opening_mm)
        step = b - a
        left = np.array([-step[1], step[0]])
        side = np.array([a, b] if left @ np.array(door.inward) > 0.0 else [b, a])
        ways.append(Way(door.name, side))
    return tuple(ways)


def side_ways(fixture: Fixture, place: Place) -> tuple[Way, ...]:
    """Return the working sides of a fixture, to be reached from outside it."""
    return tuple(
        Way(f"{fixture.name} {side}", np.array(fixture.side_mm(side, place)[::-1]))
        for side in fixture.working_sides
    )


def wall_name(room: Room, edge: int) -> str:
    """Return what to call a wall: by the compass where only one runs along that side, else by its number."""
    for name, axis, far in (("south", 1, min), ("east", 0, max), ("north", 1, max), ("west", 0, min)):
        line = far(corner[axis] for corner in room.outline_mm)
        along = [
            i for i, ends in enumerate(room.edges_mm) if all(abs(p[axis] - line) < TOUCH_MM for p in ends)
        ]
        if along == [edge]:
            return f"{name} wall"
    return f"wall {edge}"


def moved_by(place: Place, by_mm: Point) -> Place:
    """Return a place moved east and north."""
    return Place((place.at_mm[0] + by_mm[0], place.at_mm[1] + by_mm[1]), place.turn_rad)


def _nearest_wall(room: Room, body: Floats) -> str:
    """Return the wall that a body reaches beyond furthest."""
    beyond = []
    for a, b in np.array(room.edges_mm):
        step = (b - a) / np.hypot(*(b - a))
        beyond.append(
            ((body - a) @ np.array([step[1], -step[0]])).max() if _beside(body, a, b, step) else -1.0
        )
    return wall_name(room, int(np.argmax(beyond)))


def _beside(body: Floats, a: Floats, b: Floats, step: Floats) -> bool:
    along = (body - a) @ step
    return bool(along.max() > 0.0 and along.min() < np.hypot(*(b - a)))


def share_heights(one: Span, other: Span) -> bool:
    """Return whether two spans of heights overlap."""
    return min(one[1], other[1]) - max(one[0], other[0]) > TOUCH_MM
