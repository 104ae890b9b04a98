"""Processes that help with a long list, each on a core of its own."""

from __future__ import annotations

import atexit
import gc
import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from threading import current_thread, main_thread
from typing import TYPE_CHECKING, Any, cast

if TYPE_CHECKING:
    from concurrent.futures import Executor


# A scheduler on the shop's own network answers in far less.
ANSWERS_WITHIN = "5s"


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
    from multiprocessing import active_children, get_context

    # A fork after compiled code has run may hang; a process begun afresh does not.
    executor = ProcessPoolExecutor(others, get_context("spawn"), end_at_once)
    try:
        with _deaf():
            for _ in range(others):
                executor.submit(_load)
        yield executor
    except BaseException:
        # Nobody waits for what they are at: not after Ctrl-C, nor where the shop file has a fault.
        for process in active_children():
            process.terminate()
        raise
    finally:
        executor.shutdown(cancel_futures=True)


@contextmanager
def cluster(address: str) -> Iterator[Executor]:
    """Give an executor on the Dask cluster whose scheduler has this address ("tcp://10.0.0.5:8786").

    Raises `InputFault` where there is no answer there, or Dask is not installed. The workers must have the
    same fitcheck installed.
    """
    import logging

    from fitcheck.words.errors import Fault, InputFault

    try:
        from distributed import Client
    except ImportError:
        cure = "install it: pip install 'fitcheck[dask]'"
        raise InputFault([Fault("--scheduler", "Dask is not installed", cure)]) from None
    # What Dask has to say about a connection that fails is told below, in one line.
    logging.getLogger("distributed").setLevel(logging.CRITICAL)
    try:
        client: Any = cast("Any", Client)(address, timeout=ANSWERS_WITHIN)
    except (OSError, ValueError, TimeoutError, MemoryError) as fault:
        # Where something else answers, Dask takes its first words for the length of what follows.
        cure = "start it (dask scheduler) or check its address"
        raise InputFault([Fault("--scheduler", f"no scheduler answers at {address}", cure)]) from fault
    try:
        yield client.get_executor()
    finally:
        client.close()


@contextmanager
def _deaf() -> Iterator[None]:
    """Have processes that are started meanwhile not hear Ctrl-C, which a terminal tells to all of them.

    It is for the process that was started by hand, which ends the others: one that ended by itself, while it
    holds a queue, would leave this one waiting for it.
    """
    if current_thread() is not main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def end_at_once() -> None:
    """Have this process end without going through all that it holds: half a second with compiled code."""
    atexit.register(gc.freeze)


def _load() -> None:
    """Answer for a small plate in a small tank, so that the compiled loops are loaded before the work."""
    from fitcheck.geometry.mesh.measure import weighed
    from fitcheck.questions.chart.ask import chart
    from fitcheck.shapes.block import block
    from fitcheck.things.liquid import Liquid
    from fitcheck.things.shop import Shop
    from fitcheck.things.tank import Tank

    size_mm = (500.0, 400.0, 300.0)
    part = weighed("plate", block((300.0, 200.0, 10.0)).solid, 2.7)
    tank = Tank("tank", block(size_mm).solid, size_mm, Liquid("water"))
    chart(Shop("warm", parts={part.name: part}, tanks={tank.name: tank}))
