"""Cautions of what is built, mixed and taped as sentences, each with where it comes from."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fitcheck.things.caution import Caution
from fitcheck.words.units import Show

# Those that have no numbers.
BUILD: Mapping[str, str] = {
    "acid into water": (
        "Acid goes into water, slowly, stirred, never water into acid: put most of the water in first "
        "(common practice; the maker's mixing order outranks it)."
    ),
    "chromium": (
        "Chromium: many conversion coats hold hexavalent chromium, which is poison and causes cancer. Bath, "
        "drag-out and rinse water of one go to no drain before whoever answers for waste has said so (in the "
        "USA 40 CFR 433 limits total chromium, and sludge of treating such rinses is listed waste F019)."
    ),
    "drag-out rates": (
        "Rates of drag-out are from memory, of plating handbooks, and differ by the part: weigh one wet and "
        "dry, and write drag_out under the liquid."
    ),
    "plan only": (
        "Water tells the plan's area, not which side is off: the sizes share it as two equal tapes would. "
        "Tape length and width again at floor, middle and rim."
    ),
    "air of a new tank": (
        "Air that a part catches was not looked at: ask fitcheck dip with the new tank before it is built."
    ),
}

BUILD_WITH_NUMBERS: Mapping[str, Callable[[Caution, Show], str]] = {}
