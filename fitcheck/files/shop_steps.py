"""The [steps] of a shop file: what is done to parts, one after the other in the order of the file."""

from __future__ import annotations

from collections.abc import Collection

from fitcheck.files.toml_table import Entry, Table, amount, attempt, name_of, nearest, spoken
from fitcheck.things.step import Step
from fitcheck.words.errors import Refused
from fitcheck.words.units import read_time

_KEYS = ("tank", "tanks", "rack", "dwell", "drip", "wait_at_most")
_TANKS = '["T1", "T2"]'


def read_step(table: Table, tanks: Collection[str], racks: Collection[str]) -> Step | None:
    """Return a step, or None where it has a fault. tanks, racks: the names that are in the file."""
    table.only(_KEYS, "a step")
    places = [key for key in ("tank", "tanks", "rack") if key in table]
    if len(places) > 1:
        one, other = places[:2]
        table.entry(other).fault(f"{one} and {other} are both given", "keep the one that is meant")
        return None
    dwell_entry = table.need("dwell", '"10 min"')
    dwell = dwell_entry.read(time_from_zero) if dwell_entry else None
    drip, wait = table.read("drip", time_from_zero) or 0.0, table.read("wait_at_most", time_from_zero)
    if "rack" in table:
        rack = _known(table.entry("rack"), "rack", racks)
        if rack is None or dwell is None:
            return None
        return attempt(table, lambda: Step(table.name, (), rack, dwell, drip, wait))
    named = _tanks(table, tanks)
    if not named or dwell is None:
        return None
    return attempt(table, lambda: Step(table.name, named, None, dwell, drip, wait))


def _tanks(table: Table, known: Collection[str]) -> tuple[str, ...]:
    """Return the tanks of a step; none where one of them has a fault."""
    if "tanks" not in table:
        entry = table.need("tank", '"T1"; or tanks, or a rack')
        name = _known(entry, "tank", known) if entry else None
        return (name,) if name is not None else ()
    items = table.entry("tanks").items(_TANKS)
    if not items and isinstance(table.values["tanks"], list):
        table.entry("tanks").fault("there are no tanks in it", f"write {_TANKS}")
    names = [_known(item, "tank", known) for item in items]
    return () if None in names else tuple(dict.fromkeys(name for name in names if name is not None))


def _known(entry: Entry, kind: str, known: Collection[str]) -> str | None:
    name = entry.read(name_of)
    if name is not None and name not in known:
        entry.fault(f"there is no {kind} {spoken(name)}", nearest(name, known))
        return None
    return name


def time_from_zero(value: object) -> float:
    """Read a time of 0 or more, in s."""
    time = amount(read_time)(value)
    if time < 0.0:
        raise Refused(f"{spoken(value)} is below 0", "write 0 or more")
    return time
