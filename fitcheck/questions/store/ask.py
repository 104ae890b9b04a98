"""Whether the parts of a shop hang on a rack's rails, or lie in its bays, with their gaps.

On rails a part hangs square to the rail, one beside the other, none over another. In bays parts lie side by
side, none on another, square to the bay; one that has no room so is turned by the certified search, any way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from fitcheck.questions.store.answer import StoreAnswer
from fitcheck.questions.store.bay_storage import lie_in_bays
from fitcheck.questions.store.cautions import cautions_of
from fitcheck.questions.store.rail_storage import hang_on_rails
from fitcheck.things.part import Part
from fitcheck.things.rack import Rack, RailRack
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Rules
from fitcheck.words.errors import Refused

# More pieces than this is a warehouse, and the solver would not come to an end.
MOST_PIECES = 400


def store(rack: Rack, parts: Sequence[Part], rules: Rules | None = None) -> StoreAnswer:
    """Tell whether parts, as many of each as the shop has, hang on a rack's rails, or lie in its bays.

    Parameters
    ----------
    rack : RailRack or BayRack
        Its rails or bays in mm, the gap between parts, and what a hook or a bay carries in kg.
    parts : sequence of Part
        The parts, each with how many there are of it, its picks, and the attitudes allowed.
    rules : Rules
        For the tape; those of fitcheck where left out.

    Returns
    -------
    StoreAnswer
        Each piece in its place, with its pose and size in mm and what its hooks carry in kg; what is left out
        and why; how many such racks it takes at least, proven. "fits", "does not fit", "measure again" where
        the tape decides, or "not found": no way was found, and none is ruled out.

    Raises
    ------
    Refused
        For no parts, or more than 400 pieces.

    Notes
    -----
    Pieces are shared out by the constraint solver OR-Tools CP-SAT within an effort that no clock counts. Two
    slings where a level load is longer than 12 ft: Washington, WAC 296-24-29405. Sag between arms by the
    deflection of beams (S. Timoshenko, Strength of Materials, from memory).

    Examples
    --------
    >>> import fitcheck as fc
    >>> shop = fc.demo_shop()
    >>> few = [shop.parts["P05"], shop.parts["P09"]]
    >>> answer = fc.store(shop.racks["dry"], few, shop.rules)
    >>> answer.verdict, answer.at_least_racks, [place.place for place in answer.places][:1]
    ('fits', 1, ['rail 1'])
    """
    pieces = sum(part.count for part in parts)
    if not 1 <= pieces <= MOST_PIECES:
        raise Refused(f"{pieces} parts for {rack.name}", f"ask about 1 to {MOST_PIECES} at a time")
    tape = (rules or Rules()).tape_part_mm
    order = {name: k for k, name in enumerate(rack.needed)}
    first_needed = sorted(parts, key=lambda part: order.get(part.name, len(order)))
    if isinstance(rack, RailRack):
        answer = hang_on_rails(rack, first_needed, tape)
    else:
        answer = lie_in_bays(rack, first_needed, tape)
    names = (*(place.part for place in answer.places), *(left.part for left in answer.left_out))
    return replace(
        answer,
        parts=tuple(dict.fromkeys(names)),
        cautions=cautions_of(answer),
        asked=replace(Shop.of(rack, *parts), rules=rules or Rules()),
    )
