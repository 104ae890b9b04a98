"""Processes that help with a long list, each on a core of its own."""

from __future__ import annotations

import atexit
import gc
import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from concurrent.futures import Executor


@contextmanager
def crew() -> Iterator[Executor | None]:
    """Give an executor with a process for each core but this one's; None where there is no other.

    The processes begin at once to load what the search needs, so that the shop file is best read meanwhile.
    """
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    others = cores - 1
    if not others:
        yield None
        return
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    # A fork after compiled code has run may hang; a process begun afresh does not.
    executor = ProcessPoolExecutor(others, get_context("spawn"), _ready)
    try:
        for _ in range(others):
            executor.submit(_load)
        yield executor
    finally:
        executor.shutdown(cancel_futures=True)


def _ready() -> None:
    """Leave Ctrl-C to the process that was started by hand, which ends the others; see `end_at_once`."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    end_at_once()


def end_at_once() -> None:
    """Have this process end without going through all that it holds: half a second with compiled code."""
    atexit.register(gc.freeze)


def _load() -> None:
    """Answer for a small plate in a small tank, so that the compiled loops are loaded before the work."""
    from fitcheck.geometry.measure import weighed
    from fitcheck.questions.chart import chart
    from fitcheck.shapes.block import block
    from fitcheck.things.liquid import Liquid
    from fitcheck.things.shop import Shop
    from fitcheck.things.tank import Tank

    size_mm = (500.0, 400.0, 300.0)
    part = weighed("plate", block((300.0, 200.0, 10.0)).solid, 2.7)
    tank = Tank("tank", block(size_mm).solid, size_mm, Liquid("water"))
    chart(Shop("warm", parts={part.name: part}, tanks={tank.name: tank}))
