"""Cautions of slings and hooks as sentences, each with where it comes from."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fitcheck.things.caution import Caution
from fitcheck.words.units import Show

# Those that have no numbers.
HOOK: Mapping[str, str] = {}

HOOK_WITH_NUMBERS: Mapping[str, Callable[[Caution, Show], str]] = {}
