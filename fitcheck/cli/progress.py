"""A bar on stderr for long work, only where somebody looks at it."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import TypeVar

Row = TypeVar("Row")


@contextmanager
def ticking(count: int, title: str) -> Iterator[Callable[[], None]]:
    """Give a function to call after each of `count` pieces of work; on a terminal a bar shows how far."""
    if count < 2 or not sys.stderr.isatty():
        yield lambda: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True, markup=False), transient=True) as bar:
        task = bar.add_task(title, total=count)
        yield lambda: bar.advance(task)


def watched(rows: Sequence[Row], title: str) -> Iterable[Row]:
    """Go through `rows` with a bar."""
    with ticking(len(rows), title) as tick:
        for row in rows:
            yield row
            tick()
