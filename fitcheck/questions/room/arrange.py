"""Where the fixtures that have no place could stand: several layouts, or a proof that there is none.

The solver (`floor_layout`) finds places on a grid; each layout is then checked as any other is, aisles
and all (`room`), and one that does not stand is cut off with all that fail for the same reason. Without a
layout, the hopeful placing is asked: what it cannot do, no places square to the walls can, on the grid or
off.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from fitcheck.geometry.plan.aisles import joined, pieces
from fitcheck.geometry.plan.convex_outlines import Sector
from fitcheck.geometry.plan.grid_boxes import Box, apart, common_step_mm, convex_pieces, covering, within
from fitcheck.geometry.solver.floor_layout import Item, Placed, Placing, Shape, Spot
from fitcheck.questions.room.answer import Layout, RoomAnswer
from fitcheck.questions.room.ask import AISLE_MM, layout_of, room, stands, unreached
from fitcheck.questions.room.cautions import cautions_of
from fitcheck.questions.room.rules import (
    HEADROOM_MM,
    bars_of,
    door_ways,
    floor_of,
    overlaps,
    placed_at,
    ring_of,
    share_heights,
    side_ways,
    standing,
)
from fitcheck.things.room import SIDES, Fixture, Place, Room
from fitcheck.things.shop import Shop
from fitcheck.things.solid import Floats
from fitcheck.words.units import read_length

# Finer steps than a tape's mark make no difference to a shop.
LEAST_STEP_MM = read_length("1/16 in")
# Layouts told, and how different two must be: one thing turned, or moved by this.
MOST_LAYOUTS = 4
DIFFERENT_MM = read_length("1 ft")
# One that failed is left this far behind while searching; for a proof, by a step.
_LEAP_MM = read_length("6 in")
# Effort in the solver's deterministic seconds: for one layout, in all, and for a proof; and layouts tried.
_EFFORT_ONE, _EFFORT_PROOF = 1.5, 60.0
_TRIES, _TRIES_EXACT = 100, 400
_QUARTER = math.pi / 2.0
# Sums of steps are rounded to a millionth of a mm: what rounding leaves is not for a tape.
_DIGITS = 6
_TURNS = range(4)


@dataclass(frozen=True, slots=True, eq=False)
class _Task:
    """What is to be placed. low_mm: low corner of the box round the room, of size_mm; step_mm: the grid."""

    room: Room
    loose: tuple[Fixture, ...]
    low_mm: tuple[float, float]
    size_mm: tuple[float, float]
    step_mm: float


def arrange(the_room: Room) -> RoomAnswer:
    """Tell where the fixtures that have no place could stand; those that have one stay.

    Parameters
    ----------
    the_room : Room
        Its floor, doors, fixtures and the floor to be kept clear, x east and y north in mm.

    Returns
    -------
    RoomAnswer
        "fits" with up to four layouts, best first: by the least aisle, the free floor, the walls used; each
        checked as `room` checks one. "does not fit" with what it rests on (`proof`), else "not found". Where
        every fixture has its place already: what `room` says. Raises nothing of its own.

    Notes
    -----
    Places are searched at quarter turns, on the largest step of which all lengths are whole multiples, by the
    constraint solver OR-Tools CP-SAT within an effort that no clock counts: the layouts are the same on
    every machine.

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> answer = fc.arrange(shop.rooms["build"])
    >>> answer.verdict, len(answer.layouts), sorted(answer.best.places)[:2]
    ('fits', 1, ['bench', 'boom stand'])
    """
    answer = _arranged(the_room)
    return replace(answer, cautions=cautions_of(answer), asked=Shop.of(the_room))


def _arranged(the_room: Room) -> RoomAnswer:
    loose = tuple(fixture for fixture in the_room.fixtures if fixture.place is None)
    if not loose:
        return room(the_room)
    fixed = replace(the_room, fixtures=tuple(f for f in the_room.fixtures if f.place is not None))
    conflicts = overlaps(fixed)
    if conflicts:
        reason = "what has its place already is in each other's way"
        return RoomAnswer(the_room, "does not fit", reason, conflicts, (), proof=reason)
    task = _task_of(the_room, loose)
    layouts, none_on_grid = _layouts(task)
    grid = task.step_mm
    if layouts:
        return RoomAnswer(the_room, "fits", "every fixture has a place", (), layouts, grid)
    hopeful = Placing(_items(task, sure=False), task.size_mm, grid, hopeful=True).solve(_EFFORT_PROOF)
    if hopeful.status == "none":
        proof = "no places at quarter turns, anywhere in the room: bodies and work zones alone leave none"
        return RoomAnswer(the_room, "does not fit", "there is no layout", (), (), grid, proof)
    if none_on_grid or _none_at_all(task):
        proof = "no places at quarter turns on this grid; places between its lines were not looked at"
        return RoomAnswer(the_room, "does not fit", "there is no layout on the grid", (), (), grid, proof)
    reason = "no layout was found, and none is ruled out: the effort was spent"
    return RoomAnswer(the_room, "not found", reason, (), (), grid)


def _task_of(the_room: Room, loose: tuple[Fixture, ...]) -> _Task:
    ring = ring_of(the_room.outline_mm)
    low, high = ring.min(axis=0), ring.max(axis=0)
    # Lengths that round shapes and odd turns have are left out: they are not on any grid.
    lengths = [*(ring - low).ravel().tolist()]
    for fixture in the_room.fixtures:
        lengths += [*fixture.size_mm[:2], *(fixture.work.depth_mm(side) for side in SIDES)]
        if fixture.place is not None:
            lengths += [fixture.place.at_mm[0] - low[0], fixture.place.at_mm[1] - low[1]]
    for zone in the_room.keep_clear:
        lengths += (ring_of(zone.ring_mm) - low).ravel().tolist()
    step = common_step_mm([abs(length) for length in lengths], LEAST_STEP_MM)
    (x0, y0), (wide, tall) = low.tolist(), (high - low).tolist()
    return _Task(the_room, loose, (x0, y0), (wide, tall), step)


def _layouts(task: _Task) -> tuple[tuple[Layout, ...], bool]:
    """Return the layouts found, best first, and whether there is proven to be none on the grid."""
    placing = Placing(_items(task, sure=True), task.size_mm, task.step_mm, hopeful=False)
    leap = max(1, round(_LEAP_MM / task.step_mm))
    different = max(1, math.ceil(DIFFERENT_MM / task.step_mm))
    found: list[Layout] = []
    skipped = False
    for _ in range(_TRIES):
        placed = placing.solve(_EFFORT_ONE)
        if placed.status != "found":
            return _best_first(found), placed.status == "none" and not skipped and not found
        tried = _with(task, placed)
        if stands(tried):
            found.append(layout_of(tried))
            if len(found) == MOST_LAYOUTS:
                break
            placing.move_one(placed.spots, different)
        else:
            placing.move_one(_to_blame(task, tried, placed.spots), leap)
            skipped = skipped or leap > 1
    return _best_first(found), False


def _none_at_all(task: _Task) -> bool:
    """Return whether every layout on the grid is ruled out, one failing set of places after the other."""
    placing = Placing(_items(task, sure=True), task.size_mm, task.step_mm, hopeful=False)
    for _ in range(_TRIES_EXACT):
        placed = placing.solve(_EFFORT_ONE)
        if placed.status != "found":
            return placed.status == "none"
        tried = _with(task, placed)
        if stands(tried):
            return False
        placing.move_one(_to_blame(task, tried, placed.spots), 1)
    return False


def _best_first(found: list[Layout]) -> tuple[Layout, ...]:
    return tuple(
        sorted(
            found,
            # Widths that no tape tells apart are alike.
            key=lambda each: (-round(each.least_aisle_mm or 0.0), -each.free_mm2, -each.on_walls),
        )
    )


def _with(task: _Task, placed: Placed) -> Room:
    """Return the room with the fixtures at their spots."""
    the_room = task.room
    for fixture in task.loose:
        spot = placed.spots[fixture.name]
        low = (task.low_mm[0] + spot.x * task.step_mm, task.low_mm[1] + spot.y * task.step_mm)
        length, width, _ = fixture.size_mm
        # From the low corner of the box round it to its front left corner, about which it is turned.
        out = ((0.0, 0.0), (width, 0.0), (length, width), (0.0, length))[spot.turn]
        at = (round(low[0] + out[0], _DIGITS), round(low[1] + out[1], _DIGITS))
        place = Place(at, spot.turn * _QUARTER)
        the_room = placed_at(the_room, fixture.name, place)
    return the_room


def _to_blame(task: _Task, tried: Room, spots: Mapping[str, Spot]) -> dict[str, Spot]:
    """Return places such that no layout with these stands, whatever else does: as few as can be told.

    One working side without an aisle, and the things that shut it in. All places where that is not the cause.
    """
    missed = unreached(tried)
    target = next((name for name in missed if _is_shut(tried, name)), None)
    if target is None or overlaps(tried):
        return dict(spots)
    kept = tried
    for fixture in task.loose:
        without = placed_at(kept, fixture.name, None)
        if fixture.name != target and _is_shut(without, target):
            kept = without
    return {fixture.name: spots[fixture.name] for fixture, _ in standing(kept) if fixture.name in spots}


def _is_shut(the_room: Room, name: str) -> bool:
    """Return whether a working side of a fixture surely has no aisle wide enough."""
    wanted = the_room.aisle_mm - AISLE_MM
    doors, found = door_ways(the_room), pieces(floor_of(the_room), wanted, sure=False)
    return any(
        joined(doors, way, wanted, found) is None
        for fixture, place in standing(the_room)
        if fixture.name == name
        for way in side_ways(fixture, place)
    )


def _items(task: _Task, *, sure: bool) -> list[Item]:
    return [_item(task, fixture, sure=sure) for fixture in task.loose]


def _item(task: _Task, fixture: Fixture, *, sure: bool) -> Item:
    """Return a fixture as the solver takes it. sure: boxes that cover what is in the way; else, in it."""
    boxed = covering if sure else within

    def boxes(rings: Iterator[Floats]) -> tuple[Box, ...]:
        return tuple(apart([box for ring in rings for box in boxed(ring - task.low_mm, task.step_mm)]))

    return Item(
        fixture.name,
        _shapes(fixture),
        boxes(_off_body(task, fixture)),
        boxes(_off_strips(task)),
        fixture.heights_mm,
        fixture.over_mm >= HEADROOM_MM,
    )


def _shapes(fixture: Fixture) -> tuple[Shape, ...]:
    """Return the shapes of a fixture at quarter turns, each only once."""
    length, width, _ = fixture.size_mm
    work = fixture.work
    # Depths west, south, east and north as drawn; a quarter turn counter-clockwise takes south to east.
    depths = (work.left_mm, work.front_mm, work.right_mm, work.back_mm)
    found: dict[tuple[tuple[float, float], tuple[float, ...]], Shape] = {}
    for turn in _TURNS:
        size = (length, width) if turn % 2 == 0 else (width, length)
        strips = tuple(depths[(side - turn) % 4] for side in _TURNS)
        found.setdefault((size, strips), Shape(turn, size, (strips[0], strips[1], strips[2], strips[3])))
    return tuple(found.values())


def _off_body(task: _Task, fixture: Fixture) -> Iterator[Floats]:
    """Yield convex rings that the body of a fixture must stay off."""
    yield from _outside(task)
    for bar in bars_of(task.room):
        if share_heights(fixture.heights_mm, bar.heights_mm):
            yield bar.shape.around_mm() if isinstance(bar.shape, Sector) else bar.shape
    for other, place in standing(task.room):
        if share_heights(fixture.heights_mm, other.heights_mm):
            yield ring_of(other.ring_mm(place))


def _off_strips(task: _Task) -> Iterator[Floats]:
    """Yield convex rings that no work zone may lie over."""
    yield from _outside(task)
    for other, place in standing(task.room):
        if other.over_mm < HEADROOM_MM:
            yield ring_of(other.ring_mm(place))


def _outside(task: _Task) -> Iterator[Floats]:
    """Yield what the box round the room has that the room has not, in convex pieces."""
    import shapely

    (x0, y0), (wide, tall) = task.low_mm, task.size_mm
    around = shapely.box(x0, y0, x0 + wide, y0 + tall)
    yield from convex_pieces(around.difference(shapely.Polygon(task.room.outline_mm)))
