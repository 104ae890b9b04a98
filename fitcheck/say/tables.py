"""Plain tables, as wide as they need to be."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table

from fitcheck.say.width import columns

if TYPE_CHECKING:
    pass


def table_text(heads: Iterable[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a plain table, as wide as it needs to be; rows in paragraphs on a narrower terminal."""
    heads, rows = list(heads), list(rows)
    text = _drawn(heads, rows)
    room = columns()
    wide = max(map(len, text.splitlines()), default=0)
    # Where nobody's terminal is written to, rows stay rows, however wide.
    return text if room is None or wide <= room else _one_below_the_other(heads, rows)


def _drawn(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    table = Table(*heads, box=SIMPLE_HEAD, pad_edge=False, show_edge=False)
    for row in rows:
        table.add_row(*row)
    # Wider than any table here: a cell is never cut or folded, whatever the terminal.
    paper = Console(file=io.StringIO(), width=1000, markup=False, highlight=False, emoji=False, no_color=True)
    with paper.capture() as captured:
        paper.print(table)
    return "\n".join(line.rstrip() for line in captured.get().splitlines()).strip("\n")


def _one_below_the_other(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return each row as its first cell and, below it, the others behind their heads."""
    wide = max(map(len, heads)) + 2
    told = []
    for row in rows:
        cells = [
            f"  {head.ljust(wide)}{cell}" for head, cell in zip(heads[1:], row[1:], strict=False) if cell
        ]
        told.append("\n".join([row[0], *cells]))
    return "\n\n".join(told)
