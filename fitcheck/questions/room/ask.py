"""Whether what stands in a room leaves the doors, the working places and the aisles free.

Overlaps are exact (`rules.py`), the aisles are known from both sides (`geometry/plan/aisles.py`), and every
conflict comes with one change that cures it, where there is one: found as a place that is free of all
conflicts, and then checked as the layout itself was.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from fitcheck.geometry.plan.aisles import WIDTH_MM, Passages, Widest, joined, pieces
from fitcheck.geometry.plan.convex_outlines import TOUCH_MM
from fitcheck.questions.room.answer import Aisle, Conflict, Layout, Move, RoomAnswer, RoomVerdict
from fitcheck.questions.room.cautions import cautions_of
from fitcheck.questions.room.rules import (
    door_ways,
    floor_of,
    free_shifts,
    moved_by,
    overlaps,
    placed_at,
    side_ways,
    standing,
)
from fitcheck.things.room import Fixture, Place, Point, Room
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused

# An aisle that lacks less than this is wide enough: no tape sees it.
AISLE_MM = WIDTH_MM
# More changes than this are not tried for one conflict.
_TRIES = 24


def room(the_room: Room) -> RoomAnswer:
    """Tell whether what stands in a room leaves doors, working places and aisles free.

    Parameters
    ----------
    the_room : Room
        Its floor, doors, fixtures and the floor to be kept clear, x east and y north in mm.

    Returns
    -------
    RoomAnswer
        "fits", or "does not fit" with each conflict, what it lacks in mm, and one change that cures it, where
        there is one. `best` has the aisles to every working side, known from both sides, in mm.

    Raises
    ------
    Refused
        Where a fixture has no place yet (`arrange` finds one).

    Notes
    -----
    Overlaps are exact for rectangles and for the sector that a door sweeps. An aisle is as wide as the widest
    disc that goes all the way.

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> answer = fc.room(shop.rooms["build"])
    >>> answer.verdict, len(answer.conflicts), round(answer.best.least_aisle_mm)
    ('fits', 0, 914)
    """
    missing = [fixture.name for fixture in the_room.fixtures if fixture.place is None]
    if missing:
        raise Refused(
            f"{the_room.name}: {', '.join(missing)} has no place", "write its at, or ask with --arrange"
        )
    layout = layout_of(the_room)
    conflicts = tuple(
        replace(conflict, cure=_cure(the_room, conflict, layout))
        for conflict in (*overlaps(the_room), *narrow(the_room, layout.aisles))
    )
    verdict: RoomVerdict = "does not fit" if conflicts else "fits"
    count = f"{len(conflicts)} conflict{'s' if len(conflicts) > 1 else ''}"
    reason = count if conflicts else "nothing is in the way of anything"
    answer = RoomAnswer(the_room, verdict, reason, conflicts, (layout,))
    return replace(answer, cautions=cautions_of(answer), asked=Shop.of(the_room))


def layout_of(the_room: Room) -> Layout:
    """Return a layout with its aisles and free floor."""
    aisles = aisles_of(the_room)
    least = min((aisle.width_mm for aisle in aisles), default=None)
    return Layout(the_room.fixtures, aisles, least, _free_mm2(the_room), _on_walls(the_room))


def aisles_of(the_room: Room) -> tuple[Aisle, ...]:
    """Return the widest way from a door to each working side; none for a room without doors."""
    ways = Passages(floor_of(the_room), door_ways(the_room))
    if not ways.starts:
        return ()
    return tuple(
        _aisle(way.name, fixture.name, ways.widest(way))
        for fixture, place in standing(the_room)
        for way in side_ways(fixture, place)
    )


def _aisle(to: str, fixture: str, found: Widest) -> Aisle:
    ends: tuple[Point, Point] | None = None
    if found.pinch_mm is not None:
        (ax, ay), (bx, by) = found.pinch_mm.tolist()
        ends = (ax, ay), (bx, by)
    numbers = found.width_mm, found.at_least_mm, found.at_most_mm
    return Aisle(to, fixture, found.start, *numbers, found.pinch, ends)


def narrow(the_room: Room, aisles: tuple[Aisle, ...]) -> tuple[Conflict, ...]:
    """Return a conflict for each aisle that is narrower than wanted, those with one pinch together."""
    wanted = the_room.aisle_mm
    found: dict[tuple[str, ...], float] = {}
    for aisle in aisles:
        short = wanted - aisle.width_mm
        if short > AISLE_MM:
            between = aisle.pinch if aisle.pinch is not None and aisle.fixture in aisle.pinch else None
            names = between or (aisle.fixture, *(name for name in aisle.pinch or ()))
            found[names] = max(found.get(names, 0.0), short)
    return tuple(Conflict("aisle too narrow", names, short) for names, short in found.items())


def stands(the_room: Room) -> bool:
    """Return whether a layout has no conflict and all its aisles are wide enough.

    Quicker than asking for all widths; where the round corners decide, those are asked for.
    """
    return not overlaps(the_room) and not unreached(the_room)


def unreached(the_room: Room) -> tuple[str, ...]:
    """Return the fixtures that have a working side to which no aisle is wide enough."""
    ways, wanted = Passages(floor_of(the_room), door_ways(the_room)), the_room.aisle_mm - AISLE_MM
    if not ways.starts or wanted <= 0.0:
        return ()
    missed: dict[str, None] = {}
    for fixture, place in standing(the_room):
        for way in side_ways(fixture, place):
            if ways.start_of(way, wanted) is not None:
                continue
            if ways.start_of(way, wanted, sure=False) is None or ways.widest(way).width_mm < wanted:
                missed[fixture.name] = None
    return tuple(missed)


def _cure(the_room: Room, conflict: Conflict, layout: Layout) -> Move | None:
    """Return one change after which the conflict is gone and none has come, the smallest move first."""
    before = {(each.kind, each.between) for each in (*overlaps(the_room), *narrow(the_room, layout.aisles))}
    for move in _moves(the_room, conflict):
        changed = after(the_room, move)
        left = {(each.kind, each.between) for each in overlaps(changed)}
        if not left <= before - {(conflict.kind, conflict.between)}:
            continue
        missed, missed_before = set(unreached(changed)), set(unreached(the_room))
        if conflict.kind == "aisle too narrow":
            if missed < missed_before:
                return move
        elif missed <= missed_before:
            return move
    return None


def after(the_room: Room, move: Move) -> Room:
    """Return the room after one change."""
    if move.by_mm is None:
        doors = (replace(door, swings="out") if door.name == move.name else door for door in the_room.doors)
        return replace(the_room, doors=tuple(doors))
    for fixture, place in standing(the_room):
        if fixture.name == move.name:
            return placed_at(the_room, move.name, moved_by(place, move.by_mm))
    return the_room


def _moves(the_room: Room, conflict: Conflict) -> Iterator[Move]:
    """Yield changes worth trying: moves square to the walls first, the shortest first; then any move."""
    square: list[tuple[float, Move]] = []
    any_way: list[tuple[float, Move]] = []
    for fixture, place in standing(the_room):
        if fixture.name not in conflict.between:
            continue
        for by in _nearest_free(the_room, fixture, place, conflict):
            is_square = min(abs(by[0]), abs(by[1])) <= TOUCH_MM
            (square if is_square else any_way).append((float(np.hypot(*by)), Move(fixture.name, by)))
    for moves in (square, any_way):
        for _, move in sorted(moves, key=lambda pair: pair[0])[:_TRIES]:
            yield move
    for door in the_room.doors:
        if conflict.kind == "in the door swing" and door.name in conflict.between:
            yield Move(door.name, None)


def _nearest_free(the_room: Room, fixture: Fixture, place: Place, conflict: Conflict) -> Iterator[Point]:
    """Yield shifts to places free of overlaps: the nearest along each wall's direction, and any nearest.

    For an aisle, those by what it lacks, or further to where the free places begin.
    """
    import shapely

    free = free_shifts(the_room, fixture, place)
    if free.is_empty:
        return
    far = 2.0 * float(np.ptp(np.array(the_room.outline_mm), axis=0).max())
    start = conflict.short_by_mm if conflict.kind == "aisle too narrow" else 0.0
    for way in np.array([[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]]):
        line = shapely.LineString([start * way, far * way])
        hits = shapely.get_coordinates(free.intersection(line))
        if len(hits):
            by = hits[np.argmin(np.abs(hits @ way))]
            # Free places begin a hair inside the touch: the move is told to the touch.
            by = by + way * TOUCH_MM / 2.0 if np.hypot(*by) > start + TOUCH_MM else by
            yield float(by[0]) + 0.0, float(by[1]) + 0.0
    if conflict.kind != "aisle too narrow":
        near = shapely.get_coordinates(shapely.shortest_line(free, shapely.Point(0.0, 0.0)))[0]
        yield float(near[0]), float(near[1])


def _free_mm2(the_room: Room) -> float:
    """Return the floor that a disc as wide as the aisle sweeps from the doors; without a door, all it can."""
    import shapely

    wanted = the_room.aisle_mm
    found, doors = pieces(floor_of(the_room), max(wanted - AISLE_MM, 0.0)), door_ways(the_room)
    swept = [
        piece for piece in found if not doors or any(joined(doors, way, wanted, [piece]) for way in doors)
    ]
    return float(shapely.union_all(swept).buffer(wanted / 2.0).area) if swept else 0.0


def _on_walls(the_room: Room) -> int:
    """Return how many fixtures stand against a wall along a whole side."""
    count = 0
    for fixture, place in standing(the_room):
        ring = np.array(fixture.ring_mm(place))
        for edge in np.array(the_room.edges_mm):
            step = (edge[1] - edge[0]) / np.hypot(*(edge[1] - edge[0]))
            off = np.abs((ring - edge[0]) @ np.array([-step[1], step[0]]))
            if (off <= TOUCH_MM).sum() >= 2:
                count += 1
                break
    return count
