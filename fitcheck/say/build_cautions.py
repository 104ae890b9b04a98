"""Cautions of what is built, mixed and taped as sentences, each with where it comes from."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fitcheck.things.caution import Caution
from fitcheck.words.units import Show

# Those that have no numbers.
BUILD: Mapping[str, str] = {}

BUILD_WITH_NUMBERS: Mapping[str, Callable[[Caution, Show], str]] = {}
