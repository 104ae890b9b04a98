"""Compiled inner loops of the searches; they take nearly all of the time.

Written out in plain loops, because whole-array expressions take several times as long to compile; the
compiled code is kept on disk, so that only the first run of all waits for it. Arrays must be double, in C
order and writable: any other kind would be compiled for again. The module that
each names in its first line says what is computed there and why it is right; only that one calls in, and only
when it needs it, because numba is slow to load.
"""
