"""A bar on stderr for long work, only where somebody looks at it."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from typing import TypeVar

Row = TypeVar("Row")


def watched(rows: Sequence[Row], title: str) -> Iterable[Row]:
    """Go through `rows`; a bar on stderr shows how far, on a terminal and for more than one row."""
    if len(rows) < 2 or not sys.stderr.isatty():
        return rows
    from rich.console import Console
    from rich.progress import track

    return track(rows, description=title, console=Console(stderr=True, markup=False), transient=True)
