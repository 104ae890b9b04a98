"""The thing of a shop that an answer is about."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from fitcheck.words.errors import Refused

Thing = TypeVar("Thing")


def known_thing(things: Mapping[str, Thing], name: str, kind: str) -> Thing:
    """Return the thing of that name; raises `Refused` where the shop has none."""
    if name not in things:
        raise Refused(f"there is no {kind} {name} in this shop file", "name the shop file it was asked of")
    return things[name]
