"""How the loops are compiled, and kept for the next command.

By itself numba keeps a compiled loop by the file that it stands in and that file's time: a loop that calls
one of another file is not compiled again when that one changes, and gives yesterday's numbers. So what is
kept here has a name with the content of all kernels in it.
"""

from __future__ import annotations

from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any, TypeVar, cast

from numba import njit

Loop = TypeVar("Loop", bound=Callable[..., Any])


def _content() -> str:
    """Return a name for the content of every kernel, the same wherever they are installed."""
    files = sorted(Path(__file__).parent.glob("*.py"))
    return sha256(b"".join(file.read_bytes() for file in files)).hexdigest()[:12]


CONTENT = _content()


def compiled(loop: Loop) -> Loop:
    """Return the loop compiled; what is compiled is kept from one command to the next.

    Where neither the program's folder nor the user's own may be written to nothing is kept, and every
    command compiles again what it needs: up to a minute.
    """
    return _kept(loop, nogil=False)


def compiled_aside(loop: Loop) -> Loop:
    """Return the loop compiled as `compiled` does, so that other threads go on while it runs."""
    return _kept(loop, nogil=True)


def _kept(loop: Loop, nogil: bool) -> Loop:
    made: Any
    # The files that numba keeps are named by this.
    loop.__qualname__ = f"{loop.__qualname__}_{CONTENT}"
    try:
        made = njit(cache=True, nogil=nogil)(loop)
    except RuntimeError:  # numba finds no place to keep it
        made = njit(nogil=nogil)(loop)
    return cast("Loop", made)
