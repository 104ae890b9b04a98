"""Which things hang together through links: triangles through edges, corners through sides."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from fitcheck.things.solid import Indices


def joined(count: int, one: ArrayLike, other: ArrayLike) -> Indices:
    """Return the number (count,) of the group that each of so many things belongs to.

    one, other: (k,) what each link joins. Groups are numbered in the order of their first members.
    """
    # A library's graph would do as well, but takes longer to load than most parts take to read.
    from fitcheck.geometry.compiled.joined import groups

    ends = (np.ascontiguousarray(np.array(end, dtype=np.int64).reshape(-1)) for end in (one, other))
    found: Indices = groups(count, *ends)
    return found
