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
