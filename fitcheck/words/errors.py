"""How fitcheck says what is wrong, where, and what to try."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


class FitcheckError(Exception):
    """Anything that fitcheck itself reports; a caller may catch this one class."""


class Refused(FitcheckError, ValueError):
    """A value that cannot be used: what is wrong with it and what to write instead.

    Raised where the value is checked, by code that does not know which file it came from; whoever
    reads a file catches it and turns it into a `Fault` with a place.
    """

    def __init__(self, problem: str, cure: str) -> None:
        super().__init__(f"{problem}; {cure}")
        self.problem = problem
        self.cure = cure


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with what the user gave: its place, the problem, and its cure. One line each."""

    place: str
    problem: str
    cure: str

    def __str__(self) -> str:
        return f"{self.place}: {self.problem}; {self.cure}"


class InputFault(FitcheckError):
    """Every fault found in what the user gave, told together."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))
