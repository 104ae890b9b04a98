"""A flat plate."""

from __future__ import annotations

from fitcheck.shapes.block import block
from fitcheck.shapes.shape import Shape, Size


def plate(size_mm: Size) -> Shape:
    """Return the flat plate of this length, width and thickness: a block under its own name."""
    return block(size_mm)
