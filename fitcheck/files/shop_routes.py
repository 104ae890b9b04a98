"""The [routes] of a shop file: where parts are carried."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.files.shop_halls import Joined, joined
from fitcheck.files.shop_outlines import read_outline
from fitcheck.files.shop_words import angle_up_to, any_length, length_above_zero, length_from_zero
from fitcheck.files.toml_table import Table, amount, one_of
from fitcheck.things.room import Point, Ring, Room
from fitcheck.things.route import Route, Stand
from fitcheck.words.units import read_angle

_KEYS = ("floor", "through", "headroom", "from", "to", "tilt_at_most", "clearance", "posts")
_STAND = '{ at = ["2 ft", "10 ft"], swing = "90 deg" }'
_AT = '["2 ft", "10 ft"]'
_FLOOR = '[["0 ft", "0 ft"], ["4 ft", "0 ft"], ...] or through = ["build", "hall"]'


def read_route(table: Table, rooms: Mapping[str, Room]) -> Route | None:
    """Return a route, or None where it has a fault."""
    table.only(_KEYS, "a route")
    headroom = table.read("headroom", length_above_zero)
    tilt = table.read("tilt_at_most", angle_up_to(90.0)) or 0.0
    clearance = table.read("clearance", length_from_zero) or 0.0
    posts = tuple(_post(row) for row in table.rows("posts"))
    if "through" in table:
        if "floor" in table:
            table.entry("floor").fault("floor and through are both given", "give one of them")
        plan = joined(table.entry("through"), rooms, _stood_on(table))
        floor = plan.floor if plan else None
    else:
        plan, entry = None, table.need("floor", _FLOOR)
        floor = read_outline(entry) if entry else None
    start, goal = (_stand(table, key, plan, rooms) for key in ("from", "to"))
    if floor is None or start is None or goal is None or None in posts:
        return None
    standing = tuple(post for post in posts if post)
    if plan is None:
        return Route(table.name, floor, start, goal, headroom, tilt, clearance, standing)
    names = (*(name for name, _ in plan.posts), *(f"post {k + 1}" for k in range(len(standing))))
    every = (*(ring for _, ring in plan.posts), *standing)
    return Route(
        table.name, floor, start, goal, headroom, tilt, clearance, every, plan.lows, names, plan.rooms
    )


def _stood_on(table: Table) -> set[tuple[str, str]]:
    """Return the room and the fixture that the part starts on and ends on."""
    ends = (table.values.get(key) for key in ("from", "to"))
    return {(str(end.get("room")), str(end["on"])) for end in ends if isinstance(end, dict) and "on" in end}


def _stand(table: Table, key: str, plan: Joined | None, rooms: Mapping[str, Room]) -> Stand | None:
    entry = table.need(key, _STAND)
    row = entry.table() if entry else None
    if row is None:
        return None
    through = "through" in table
    row.only(("at", "swing", "room", "on") if through else ("at", "swing"), key)
    if through and plan is None:
        return None
    swing = row.read("swing", amount(read_angle))
    by: Point = (0.0, 0.0)
    room = None
    if plan is not None:
        of = row.need("room", '"build"')
        room = of.read(one_of(tuple(plan.shift_mm))) if of else None
        if room is None:
            return None
        by = plan.shift_mm[room]
    middle = _middle_of(row, rooms[room]) if room and "on" in row else None
    if "on" in row and middle is None:
        return None
    if middle is None or "at" in row:
        at = row.need("at", _AT)
        place = at.read_all(any_length, 2, _AT) if at else None
        middle = None if place is None else (place[0], place[1])
    return Stand((middle[0] + by[0], middle[1] + by[1]), swing) if middle else None


def _middle_of(row: Table, room: Room) -> Point | None:
    """Return the middle of the fixture that the part stands on."""
    stood = {fixture.name: fixture for fixture in room.fixtures if fixture.place is not None}
    name = row.read("on", one_of(tuple(stood)))
    if name is None:
        return None
    fixture = stood[name]
    assert fixture.place is not None  # noqa: S101  # those alone were taken
    ring = fixture.ring_mm(fixture.place)
    return (ring[0][0] + ring[2][0]) / 2.0, (ring[0][1] + ring[2][1]) / 2.0


def _post(row: Table) -> Ring | None:
    row.only(("at", "size"), "a post")
    corner, size = row.need("at", _AT), row.need("size", '["6 in", "6 in"]')
    at = corner.read_all(any_length, 2, _AT) if corner else None
    sides = size.read_all(length_above_zero, 2, '["6 in", "6 in"]') if size else None
    if at is None or sides is None:
        return None
    (x, y), (wide, deep) = at, sides
    return (x, y), (x + wide, y), (x + wide, y + deep), (x, y + deep)
