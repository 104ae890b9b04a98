"""A tank with displacement blocks standing in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from fitcheck.shapes.block import block as box_shape
from fitcheck.things.stock import Piece
from fitcheck.things.tank import Standing, Tank


def with_pieces(tank: Tank, pieces: Sequence[Piece]) -> Tank:
    """Return the tank with the pieces of a design standing in it."""
    made = tuple(
        Standing(
            f"new {k + 1}",
            box_shape(piece.size_mm).solid.moved(np.eye(3), np.array(piece.at_mm)),
            piece.mass_kg,
        )
        for k, piece in enumerate(pieces)
    )
    return replace(tank, blocks=tank.blocks + made)
