"""The [day] of a shop file: who carries, how long that takes, when the day begins and how long it is."""

from __future__ import annotations

import re

from fitcheck.files.shop_steps import time_from_zero
from fitcheck.files.shop_words import count_from
from fitcheck.files.toml_table import Table, attempt, spoken
from fitcheck.things.crew import Crew
from fitcheck.words.errors import Refused
from fitcheck.words.units import read_time

_KEYS = ("people", "people_per_load", "transfer", "start", "hours")
_CLOCK = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)")


def read_day(table: Table) -> Crew | None:
    """Return who works when, or None where that has a fault."""
    table.only(_KEYS, "[day]")
    people_entry, transfer_entry = table.need("people", "2"), table.need("transfer", '"1 min"')
    people = people_entry.read(count_from(1)) if people_entry else None
    transfer = transfer_entry.read(time_from_zero) if transfer_entry else None
    each = table.read("people_per_load", count_from(1))
    start, hours = table.read("start", _clock), table.read("hours", time_from_zero)
    if people is None or transfer is None:
        return None
    return attempt(table, lambda: Crew(people, each or 1, transfer, start or 0.0, hours))


def _clock(value: object) -> float:
    """Read a time of day, in s from midnight."""
    found = _CLOCK.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        raise Refused(f"{spoken(value)} is not a time of day", 'write it as "08:00"')
    return read_time(f"{found[1]} h {found[2]} min")
