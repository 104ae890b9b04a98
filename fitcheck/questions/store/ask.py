"""Whether the parts of a shop hang on a rack's rails, or lie in its bays, with their gaps.

On rails a part hangs square to the rail, one beside the other, none over another. In bays parts lie side by
side, none on another, square to the bay; one that has no room so is turned by the certified search, any way.
"""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.questions.store.answer import StoreAnswer
from fitcheck.questions.store.bay_storage import lie_in_bays
from fitcheck.questions.store.rail_storage import hang_on_rails
from fitcheck.things.part import Part
from fitcheck.things.rack import Rack, RailRack
from fitcheck.things.tank import Rules
from fitcheck.words.errors import Refused

# More pieces than this is a warehouse, and the solver would not come to an end.
MOST_PIECES = 400


def store(rack: Rack, parts: Sequence[Part], rules: Rules | None = None) -> StoreAnswer:
    """Tell where each part, as many of it as the shop has, hangs or lies.

    rules: for the tape. Raises `Refused` for no parts, or too many pieces.
    """
    pieces = sum(part.count for part in parts)
    if not 1 <= pieces <= MOST_PIECES:
        raise Refused(f"{pieces} parts for {rack.name}", f"ask about 1 to {MOST_PIECES} at a time")
    tape = (rules or Rules()).tape_part_mm
    order = {name: k for k, name in enumerate(rack.needed)}
    first_needed = sorted(parts, key=lambda part: order.get(part.name, len(order)))
    if isinstance(rack, RailRack):
        return hang_on_rails(rack, first_needed, tape)
    return lie_in_bays(rack, first_needed, tape)
