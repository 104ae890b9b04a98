"""What loads take of a rack for as long as they are on it, others beside them.

On rails a load takes the length of its pieces with their gaps, on one rail; one that goes on no rail alone
has the whole rack. Hooks are slid along where a place is wanted. A rack of bays has one load at a time.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from fitcheck.questions.store.ask import store
from fitcheck.things.part import Part
from fitcheck.things.rack import Rack, RailRack
from fitcheck.things.tank import Rules

# Lengths are counted in so many steps to the mm, what is taken rounded up.
_PER_MM = 1000


@dataclass(frozen=True, slots=True)
class RackPlaces:
    """The places of a rack: its rails, or all of its bays as one."""

    rack: Rack

    @property
    def names(self) -> tuple[str, ...]:
        """The name of each place."""
        if not isinstance(self.rack, RailRack):
            return (self.rack.name,)
        return tuple(f"{self.rack.name} rail {k + 1}" for k in range(len(self.rack.rails)))

    @property
    def capacity(self) -> tuple[int, ...]:
        """What each place holds: a rail its length and one gap more, in steps; all bays one load."""
        if not isinstance(self.rack, RailRack):
            return (1,)
        gap = self.rack.part_gap_mm
        return tuple(math.floor((rail.length_mm + gap) * _PER_MM) for rail in self.rack.rails)

    def choices(self, group: Sequence[Part], rules: Rules) -> tuple[tuple[tuple[str, int], ...], ...]:
        """Return where pieces may go together: for each choice what they take of which places."""
        counts = Counter(part.name for part in group)
        parts = [replace(part, count=counts[part.name]) for part in dict.fromkeys(group)]
        found: list[tuple[tuple[str, int], ...]] = []
        if isinstance(self.rack, RailRack):
            for name, most, rail in zip(self.names, self.capacity, self.rack.rails, strict=True):
                alone = store(replace(self.rack, rails=(rail,)), parts, rules)
                if alone.verdict == "fits":
                    tapes = (2.0 * part.chord_mm + _tape_mm(part, rules) for part in group)
                    long = sum(each.size_mm[0] + self.rack.part_gap_mm for each in alone.places) + sum(tapes)
                    found.append(((name, min(math.ceil(long * _PER_MM), most)),))
        if not found and store(self.rack, parts, rules).verdict == "fits":
            found.append(tuple(zip(self.names, self.capacity, strict=True)))
        return tuple(found)


def _tape_mm(part: Part, rules: Rules) -> float:
    return rules.tape_part_mm if part.tape_mm is None else part.tape_mm
