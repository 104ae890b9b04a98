"""The inner loops of the search, compiled: they run for every cell, and take nearly all of its time.

Written out in plain loops, because whole-array expressions take several times as long to compile; the
compiled code is kept on disk, so that only the first run of all waits for it. Arrays must be double, in C
order and writable: any other kind would be compiled for again. `support.py`, `programme.py` and `search.py`
say what is computed here and why it is right; only they call in, and only when they need it, because numba
is slow to load.
"""
