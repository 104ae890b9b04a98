"""Cautions as sentences, in the shop's unit: one table for terminal, JSON, sheet, picture and page."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from fitcheck.say.bath_cautions import BATH, BATH_WITH_NUMBERS
from fitcheck.say.build_cautions import BUILD, BUILD_WITH_NUMBERS
from fitcheck.say.floor_cautions import FLOOR, FLOOR_WITH_NUMBERS
from fitcheck.say.hook_cautions import HOOK, HOOK_WITH_NUMBERS
from fitcheck.say.load_cautions import LOAD, LOAD_WITH_NUMBERS
from fitcheck.things.caution import AS_TOLD, Caution
from fitcheck.words.units import Show

PLAIN: Mapping[str, str] = {**BATH, **HOOK, **LOAD, **BUILD, **FLOOR}
WITH_NUMBERS: Mapping[str, Callable[[Caution, Show], str]] = {
    **BATH_WITH_NUMBERS,
    **HOOK_WITH_NUMBERS,
    **LOAD_WITH_NUMBERS,
    **BUILD_WITH_NUMBERS,
    **FLOOR_WITH_NUMBERS,
}


def sentence(caution: Caution, show: Show) -> str:
    """Return the sentence of a caution; raises KeyError for a kind that has none."""
    if caution.kind == AS_TOLD:
        return caution.word("words")
    if caution.kind in PLAIN:
        return PLAIN[caution.kind]
    return WITH_NUMBERS[caution.kind](caution, show)


def sentences(cautions: Iterable[Caution], show: Show) -> tuple[str, ...]:
    """Return the sentences of cautions, in their order, none twice."""
    return tuple(dict.fromkeys(sentence(caution, show) for caution in cautions))
