"""Result of checking an answer again."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Check:
    """One claim that was checked: what, in words, and holds: whether it is so."""

    what: str
    holds: bool


@dataclass(frozen=True, slots=True)
class NotChecked:
    """What of an answer was not checked, or could not be shown again, and why: no word on whether it is so.

    key: its place in the JSON answer, dotted, `*` for a place in a list.
    """

    key: str
    why: str


@dataclass(frozen=True, slots=True)
class Proved:
    """Result of checking an answer again.

    of: what the answer is about, in a few words. verdict: its own, None where it has none. checks: each claim
    that was checked. not_checked: the rest.
    """

    of: str
    verdict: str | None
    checks: tuple[Check, ...]
    not_checked: tuple[NotChecked, ...] = ()

    @property
    def holds(self) -> bool:
        """Whether there were checks, and everything that was checked is so."""
        return bool(self.checks) and all(check.holds for check in self.checks)
