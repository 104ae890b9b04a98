"""How the loops are compiled, and kept beside their files for the next command."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar, cast

from numba import njit

Loop = TypeVar("Loop", bound=Callable[..., Any])


def compiled(loop: Loop) -> Loop:
    """Return the loop compiled; what is compiled is kept from one command to the next.

    Where neither the program's folder nor the user's own may be written to nothing is kept, and every
    command compiles again what it needs: some ten seconds.
    """
    return _kept(loop, nogil=False)


def compiled_aside(loop: Loop) -> Loop:
    """Return the loop compiled as `compiled` does, so that other threads go on while it runs."""
    return _kept(loop, nogil=True)


def _kept(loop: Loop, nogil: bool) -> Loop:
    made: Any
    try:
        made = njit(cache=True, nogil=nogil)(loop)
    except RuntimeError:  # numba finds no place to keep it
        made = njit(nogil=nogil)(loop)
    return cast("Loop", made)
