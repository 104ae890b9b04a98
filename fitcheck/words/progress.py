"""Progress of long work, as it is told to whoever asked."""

from __future__ import annotations

from collections.abc import Callable

# Called after each piece of work that a question's docstring counts.
Progress = Callable[[], None]


def silent() -> None:
    """Tell nobody."""
