"""How a command ends: what it prints, on which stream, and with which exit code."""

from __future__ import annotations

import contextlib
import json
import logging
import os
import sys
import warnings
from collections.abc import Iterable, Mapping, Sequence
from enum import IntEnum
from io import StringIO, TextIOWrapper
from typing import NoReturn

import typer


class Code(IntEnum):
    """Exit codes. A script can tell "no" from "not known" and both from "wrong question"."""

    YES = 0
    NO = 1
    BAD_INPUT = 2
    UNSETTLED = 3  # measure again, or not found
    OWN_FAULT = 70  # EX_SOFTWARE of BSD's sysexits.h
    STOPPED = 130  # 128 + SIGINT, as shells give it


CODE_OF_VERDICT = {
    "fits": Code.YES,
    "does not fit": Code.NO,
    "measure again": Code.UNSETTLED,
    "not found": Code.UNSETTLED,
}


def finish(text: str, code: Code = Code.YES) -> NoReturn:
    """Print the whole answer on stdout and end the command with `code`.

    A reader that has gone away (`| head`) is no fault: what it did not want to read is dropped.
    """
    try:
        typer.echo(text)
        sys.stdout.flush()
    except BrokenPipeError:
        drop_stdout()
    raise typer.Exit(code)


def finish_json(data: Mapping[str, object] | Sequence[object], code: Code = Code.YES) -> NoReturn:
    """Print `data` as JSON, nothing else, a line for each key or row, and end the command with `code`."""
    if isinstance(data, Mapping):
        lines = [f"{json.dumps(key)}: {json.dumps(value, allow_nan=False)}" for key, value in data.items()]
        finish("{\n  " + ",\n  ".join(lines) + "\n}", code)
    lines = [json.dumps(row, allow_nan=False) for row in data]
    finish("[\n  " + ",\n  ".join(lines) + "\n]" if lines else "[]", code)


def hush_libraries() -> None:
    """Keep what libraries log and warn of from the terminal: it is for programmers."""
    if logging.lastResort is not None:
        logging.lastResort.setLevel(logging.CRITICAL)
    if not sys.warnoptions:
        warnings.simplefilter("ignore")


def ready_streams() -> None:
    """Have stdout and stderr take whatever is told.

    A sign that a terminal's letters do not have becomes a question mark. A stream that was closed by whoever
    started the command is one that nobody reads.
    """
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, StringIO())
        elif isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")


def drop_stdout() -> None:
    """Send what is still to be written nowhere, so that Python says nothing about it at its end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def complain(lines: Iterable[str]) -> None:
    """Print one line for each fault on stderr, red on a terminal unless NO_COLOR is set (no-color.org)."""
    colour = None if os.environ.get("NO_COLOR") else typer.colors.RED
    with contextlib.suppress(OSError):  # who shuts stderr does not want to be told
        for line in lines:
            typer.secho(one_line(line), fg=colour, err=True)


def note(line: str) -> None:
    """Print one line on stderr that is no fault and no part of the answer."""
    typer.echo(one_line(line), err=True)


def one_line(text: str) -> str:
    """Return `text` on one line, with nothing in it that a terminal would obey."""
    return "".join(char if char.isprintable() else " " for char in " ".join(text.split()))
