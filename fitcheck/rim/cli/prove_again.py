"""Answers of carry, room and store, looked at again: whose they are, and what is printed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, TypeVar

from fitcheck.rim.cli.checks_text import checks_json, checks_lines
from fitcheck.words.errors import Refused

if TYPE_CHECKING:
    from fitcheck.rim.files.answer_json import Json
    from fitcheck.things.proved import Again
    from fitcheck.things.shop import Shop

# The key that an answer of each kind has.
KINDS = ("route", "room", "rack")
# Larger than any yard in mm; sums of it stay finite.
MOST = 1e12
Noun = TypeVar("Noun")


def is_again(data: object) -> bool:
    """Tell whether this is an answer of `carry`, `room` or `store`."""
    return isinstance(data, dict) and any(key in data for key in KINDS)


def proved_again(data: object, shop: Shop) -> Again:
    """Return what came of looking again; raises `Refused` for what is no such answer, or of another shop."""
    if not _finite(data):
        raise Refused("a number in it is not finite", "give the answer as fitcheck wrote it")
    if isinstance(data, dict) and "route" in data:
        from fitcheck.questions.prove_carry import prove_carry
        from fitcheck.rim.files.carry_from_json import carry_from_json

        answer = carry_from_json(data)
        part = _known({**shop.parts, **shop.assemblies}, answer.part, "part or assembly")
        return prove_carry(answer, part, _known(shop.routes, answer.route, "route"))
    if isinstance(data, dict) and "room" in data:
        from fitcheck.questions.prove_room import prove_room
        from fitcheck.rim.files.room_from_json import room_from_json

        told = room_from_json(data)
        return prove_room(told, _known({**shop.rooms, **shop.halls}, told.room, "room"))
    from fitcheck.questions.prove_store import prove_store
    from fitcheck.rim.files.store_from_json import store_from_json

    stored = store_from_json(data)
    return prove_store(stored, _known(shop.racks, stored.rack, "rack"), shop.parts, shop.rules.tape_part_mm)


def again_json(found: Again) -> Json:
    """Return what was looked at as JSON."""
    return {
        "holds": found.holds,
        "verdict": found.verdict,
        **checks_json(found.checks),
        "not_shown": list(found.not_shown),
    }


def again_text(found: Again) -> str:
    """Return what was looked at in words."""
    says = (
        "does not hold" if not found.holds else "holds as far as it was shown" if found.not_shown else "holds"
    )
    lines = [f"{found.name}, {found.verdict}: {says}", *checks_lines(found.checks)]
    lines += [f"  not shown again: {what}" for what in found.not_shown]
    return "\n".join(lines)


def _finite(data: object) -> bool:
    """Tell whether every number of an answer is one that can be reckoned with."""
    if isinstance(data, dict):
        return all(_finite(value) for value in data.values())
    if isinstance(data, list):
        return all(_finite(value) for value in data)
    return not isinstance(data, int | float) or abs(data) < MOST


def _known(things: Mapping[str, Noun], name: str, kind: str) -> Noun:
    if name not in things:
        raise Refused(f"there is no {kind} {name} in this shop file", "name the shop file it was asked of")
    return things[name]
