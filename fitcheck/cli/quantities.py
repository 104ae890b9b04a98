"""Lengths, volumes and angles as they are typed behind an option."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TypeVar

from fitcheck.words.errors import Fault, InputFault, Refused

Value = TypeVar("Value")

OPTIONS = ("--tilt", "--roll", "--swing", "--level", "--liquid", "--rise", "--static-rinse", "--stick")
LISTS = ("--for", "--parts", "--picks")
_NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+|\d+/\d+)")
_UNIT = re.compile(r"in|ft|mm|cm|m|deg|gal|[lL]")


def read_option(option: str, text: str | None, reader: Callable[[str], Value]) -> Value | None:
    """Return what was typed behind `option`, or None where it was left out.

    Raises `InputFault` naming the option.
    """
    if text is None:
        return None
    try:
        return reader(text)
    except Refused as refused:
        raise InputFault([Fault(option, refused.problem, refused.cure)]) from refused


def joined_quantities(words: list[str]) -> list[str]:
    """Return the words with quantities typed without quotes joined: --tilt -30 deg, --level 1 ft 4 1/2 in.

    Lists with blanks round their commas are joined too: --for P01, P05.
    Only a bare number behind one of the options for quantities is joined with the numbers and units that
    follow it. A bare number alone would be refused, so this changes nothing that had a meaning.
    """
    joined: list[str] = []
    rest = list(words)
    while rest:
        word = rest.pop(0)
        option, equals, value = word.partition("=")
        joined.append(word)
        if option not in (*OPTIONS, *LISTS) or not (equals or rest):
            continue
        if not equals:
            value = rest.pop(0)
            joined.append(value)
        if option in LISTS:
            while rest and rest[0][:1] != "-" and (joined[-1][-1:] == "," or rest[0][:1] == ","):
                joined[-1] += rest.pop(0)
        elif _NUMBER.fullmatch(value):
            joined[-1] += "".join(" " + rest.pop(0) for _ in range(_length_of_quantity(rest)))
    return joined


def _length_of_quantity(words: list[str]) -> int:
    """How many of the words that follow a number still belong to it: up to the last unit in the run."""
    length = 0
    for index, word in enumerate(words):
        if _UNIT.fullmatch(word):
            length = index + 1
        elif not _NUMBER.fullmatch(word):
            break
    return length
