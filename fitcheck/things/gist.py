"""A short repr for the nouns: what it is, and what tells it from others, in one line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import fields

# A line in a notebook or a debugger; a noun that holds a mesh could fill pages.
_LONGEST = 160


class Noun:
    """A thing whose repr is its gist, in angle brackets: under 200 characters, whatever it holds."""

    __slots__ = ()

    def __repr__(self) -> str:
        """Return what it is and its gist, as `<Liquid etch: specific gravity 1.03>`."""
        told = " ".join(self._gist().split())
        short = told if len(told) <= _LONGEST else f"{told[:_LONGEST].rsplit(' ', 1)[0].rstrip(',')} ..."
        return f"<{type(self).__name__}{' ' * bool(short)}{short}>"

    def _gist(self) -> str:
        """Return its fields, each as short as it comes; those that are None or empty are left out."""
        told = ((field.name, _short(getattr(self, field.name))) for field in fields(self))  # type: ignore[arg-type]
        return ", ".join(f"{name} {value}" for name, value in told if value)


def size_words(size_mm: Iterable[float]) -> str:
    """Return sizes as `300 x 200 x 100 mm`."""
    return f"{' x '.join(f'{side:.6g}' for side in size_mm)} mm"


def counted(number: int, what: str) -> str:
    """Return `1 part`, `2 parts`; nothing for none."""
    return f"{number} {what}{'s' * (number != 1)}" if number else ""


def _short(value: object) -> str:
    if value is None or isinstance(value, bool | str):
        return "" if value is None else str(value)
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, tuple) and value and all(isinstance(each, float | int) for each in value):
        return f"({', '.join(f'{each:.6g}' for each in value)})"
    if isinstance(value, tuple | Mapping):
        return f"({len(value)})" if value else ""
    shape = getattr(value, "shape", None)
    if shape is not None:
        return f"of shape {shape}"
    return str(value) if isinstance(value, int) else f"<{type(value).__name__}>"
