"""Ctrl-C ends a command at once, wherever it is."""

from __future__ import annotations

import os
import signal
import sys
import threading
from types import FrameType
from typing import NoReturn

from fitcheck.cli.finish import Code, complain
from fitcheck.files.written import clear_away

STOPPED = "stopped before there was an answer"
# The other processes of a command end in far less.
_AT_MOST_S = 2.0
_SHOW_CURSOR = "\033[?25h"


def stop_at_ctrl_c() -> None:
    """Have Ctrl-C end this process: what it has begun to write is taken away, and one line says so.

    No KeyboardInterrupt is raised: compiled code that calls back loses it, libraries that are being loaded
    are left half loaded, and the command goes on. A command that was started deaf to Ctrl-C, as shells do in
    the background, stays so.
    """
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, _stop)


def _stop(_: int, __: FrameType | None) -> NoReturn:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    last = threading.Timer(_AT_MOST_S, os._exit, (Code.STOPPED,))
    last.daemon = True
    last.start()
    clear_away()
    if sys.stderr.isatty():
        sys.stderr.write(_SHOW_CURSOR)  # a bar hides it
    complain([STOPPED])
    sys.stderr.flush()
    if "multiprocessing.util" in sys.modules:
        _end_others()
    os._exit(Code.STOPPED)


def _end_others() -> None:
    """End the processes that were started to help, and let go of what they share with this one."""
    from multiprocessing import active_children, util

    for process in active_children():
        process.terminate()
    # What the threads that wait for them have to say is nothing for a user.
    threading.excepthook = lambda _: None
    util._exit_function()  # type: ignore[attr-defined]
