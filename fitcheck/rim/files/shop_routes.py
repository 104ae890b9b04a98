"""The [routes] of a shop file: where parts are carried."""

from __future__ import annotations

from fitcheck.rim.files.shop_rooms import read_outline
from fitcheck.rim.files.shop_words import (
    angle_up_to,
    any_length,
    length_above_zero,
    length_from_zero,
)
from fitcheck.rim.files.toml_table import Table, amount
from fitcheck.things.room import Ring
from fitcheck.things.route import Route, Stand
from fitcheck.words.units import read_angle

_KEYS = ("floor", "headroom", "from", "to", "tilt_at_most", "clearance", "posts")
_STAND = '{ at = ["2 ft", "10 ft"], swing = "90 deg" }'
_AT = '["2 ft", "10 ft"]'
_FLOOR = '[["0 ft", "0 ft"], ["4 ft", "0 ft"], ...]'


def read_route(table: Table) -> Route | None:
    """Return a route, or None where it has a fault."""
    table.only(_KEYS, "a route")
    entry = table.need("floor", _FLOOR)
    floor = read_outline(entry) if entry else None
    start, goal = (_stand(table, key) for key in ("from", "to"))
    headroom = table.read("headroom", length_above_zero)
    tilt = table.read("tilt_at_most", angle_up_to(90.0)) or 0.0
    clearance = table.read("clearance", length_from_zero) or 0.0
    posts = tuple(_post(row) for row in table.rows("posts"))
    if floor is None or start is None or goal is None or None in posts:
        return None
    standing = tuple(post for post in posts if post)
    return Route(table.name, floor, start, goal, headroom, tilt, clearance, standing)


def _stand(table: Table, key: str) -> Stand | None:
    entry = table.need(key, _STAND)
    row = entry.table() if entry else None
    if row is None:
        return None
    row.only(("at", "swing"), key)
    at = row.need("at", _AT)
    place = at.read_all(any_length, 2, _AT) if at else None
    swing = row.read("swing", amount(read_angle))
    return Stand((place[0], place[1]), swing) if place else None


def _post(row: Table) -> Ring | None:
    row.only(("at", "size"), "a post")
    corner, size = row.need("at", _AT), row.need("size", '["6 in", "6 in"]')
    at = corner.read_all(any_length, 2, _AT) if corner else None
    sides = size.read_all(length_above_zero, 2, '["6 in", "6 in"]') if size else None
    if at is None or sides is None:
        return None
    (x, y), (wide, deep) = at, sides
    return (x, y), (x + wide, y), (x + wide, y + deep), (x, y + deep)
