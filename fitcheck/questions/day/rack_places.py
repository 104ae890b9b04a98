"""Where on a rack the pieces of a load may go together, and what they take of its places."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from fitcheck.questions.store.ask import store
from fitcheck.things.part import Part
from fitcheck.things.rack import UM_PER_MM, Rack, RackPlaces, RailRack
from fitcheck.things.tank import Rules

# Places by name, with what is taken of each.
Choice = tuple[tuple[str, int], ...]


def choices_on(rack: Rack, group: Sequence[Part], rules: Rules) -> tuple[Choice, ...]:
    """Return where pieces may go together: for each choice what they take of which places."""
    places, counts = RackPlaces(rack), Counter(part.name for part in group)
    parts = [replace(part, count=counts[part.name]) for part in dict.fromkeys(group)]
    found: list[Choice] = []
    if isinstance(rack, RailRack):
        for name, most, rail in zip(places.names, places.capacity, rack.rails, strict=True):
            alone = store(replace(rack, rails=(rail,)), parts, rules)
            if alone.verdict == "fits":
                tapes = (2.0 * part.chord_mm + _tape_mm(part, rules) for part in group)
                long = sum(each.size_mm[0] + rack.part_gap_mm for each in alone.places) + sum(tapes)
                found.append(((name, min(math.ceil(long * UM_PER_MM), most)),))
    if not found and store(rack, parts, rules).verdict == "fits":
        found.append(tuple(zip(places.names, places.capacity, strict=True)))
    return tuple(found)


def _tape_mm(part: Part, rules: Rules) -> float:
    return rules.tape_part_mm if part.tape_mm is None else part.tape_mm
