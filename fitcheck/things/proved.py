"""What came of looking at an answer again."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Check:
    """One thing that was looked at, in words, and whether it is so."""

    what: str
    holds: bool


@dataclass(frozen=True, slots=True)
class Proved:
    """What came of looking at an answer again."""

    part: str
    tank: str
    verdict: str
    checks: tuple[Check, ...]

    @property
    def holds(self) -> bool:
        """Whether everything that was looked at is so."""
        return all(check.holds for check in self.checks)


@dataclass(frozen=True, slots=True)
class Again:
    """What came of looking at an answer about a way, a rack or a room again.

    not_shown: what it says that was not looked at, or could not be shown again; no word on whether it is so.
    """

    name: str
    verdict: str
    checks: tuple[Check, ...]
    not_shown: tuple[str, ...] = ()

    @property
    def holds(self) -> bool:
        """Whether everything that was looked at is so."""
        return all(check.holds for check in self.checks)
