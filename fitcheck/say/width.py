"""How wide a line of an answer may be."""

from __future__ import annotations

import shutil
import sys

# Where no terminal says otherwise: in a file, in a pipe.
PAGE = 100
# Narrower than this words are broken more than they are read.
LEAST = 40


def columns() -> int | None:
    """Return the columns of the terminal that is written to; None for a file or a pipe."""
    return shutil.get_terminal_size((PAGE, 0)).columns if sys.stdout.isatty() else None


def page_width() -> int:
    """Return how wide words run: as the terminal, and 100 columns at most, or the eye loses the line."""
    return max(LEAST, min(PAGE, columns() or PAGE))
