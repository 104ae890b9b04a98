"""Lower bound on the clearance along a way of key places, without slices or a search.

A convex piece and a straight wall are apart by at least any gap that a straight line between them shows:
one along the wall, or one along a side of the piece, or along a line that goes with it. While the part is
moved straight and turned evenly between two places, such a gap g(t) bends by |g''| <= r h^2 for the wall's
line (r: the farthest corner, h: the turn) and <= h^2 d + 2 h m for the piece's (d: from the middle to the
wall, m: the move), so it is nowhere less than at the worse end by more than an eighth of that. Where that
does not do, the move is halved.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from fitcheck.things.solid import Floats

# Lines evaluated that go with a piece, besides its sides: for corners that pass corners.
LINES = 64
# A part may touch, and sums round: thinner than a sheet of paper.
TOUCHING_MM = 0.02
# The least gap is found to this.
TO_MM = 0.05
# Moves halved so often are shorter than any tape sees.
MOST_HALVINGS = 48
# Moves, walls and lines evaluated in one go.
AT_ONCE = 2_000_000


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """Convex pieces of one outline about its middle: corners, and lines with each (normals, offsets)."""

    corners: tuple[Floats, ...]
    normals: tuple[Floats, ...]
    offsets: tuple[Floats, ...]

    @classmethod
    def of(cls, pieces: tuple[Floats, ...]) -> Body:
        """Return the body of pieces, each (n, 2), counter-clockwise."""
        angle = 2.0 * math.pi * np.arange(LINES) / LINES
        round_about = np.column_stack([np.cos(angle), np.sin(angle)])
        normals = []
        for piece in pieces:
            along = np.roll(piece, -1, axis=0) - piece
            sides = np.column_stack([along[:, 1], -along[:, 0]]) / np.linalg.norm(along, axis=1)[:, None]
            normals.append(np.vstack([sides, round_about]))
        offsets = [(piece @ lines.T).max(axis=0) for piece, lines in zip(pieces, normals, strict=True)]
        return cls(pieces, tuple(normals), tuple(offsets))


def walls_of(floor: Any) -> Floats:
    """Return all walls (e, 2, 2) of a floor, posts included."""
    rings = [ring for part in shapely.get_parts(floor) for ring in (part.exterior, *part.interiors)]
    lines = [np.asarray(ring.coords) for ring in rings]
    return np.concatenate([np.stack([line[:-1], line[1:]], axis=1) for line in lines])


def stands_clear(floor: Any, body: Body, place: Floats) -> bool:
    """Tell whether the body at one place (x, y, swing) is over the floor."""
    room = shapely.buffer(floor, TOUCHING_MM)
    turned = _turns(place[None, 2])[0]
    rings = [shapely.Polygon(piece @ turned.T + place[:2]) for piece in body.corners]
    return bool(shapely.covers(room, rings).all())


def is_clear(walls: Floats, body: Body, places: Floats, by_mm: float) -> bool:
    """Tell whether a body stays clear of all walls by so much on the way along key places (k, 3).

    Straight and evenly turned between places. It may be less by what touching is.
    """
    enough = by_mm - TOUCHING_MM
    for one, other, held in _rounds(walls, body, places):
        low = held.low >= enough
        if (held.ends.min(axis=1) < enough).any() or (held.halvings >= MOST_HALVINGS and not low.all()):
            return False
        held.keep(~low, one, other)
    return True


def least_gap_mm(walls: Floats, body: Body, places: Floats) -> tuple[float, Floats]:
    """Return a gap that is nowhere less on the way along key places (k, 3), nor far more, and a place there.

    Below 0: the body goes into a wall.
    """
    seen, where, least = math.inf, np.asarray(places[0]), math.inf
    for one, other, held in _rounds(walls, body, places):
        lowest = np.unravel_index(int(np.argmin(held.ends)), held.ends.shape)
        if held.ends[lowest] < seen:
            seen = float(held.ends[lowest])
            where = (one if lowest[1] == 0 else other)[lowest[0]]
        done = (held.low >= seen - TO_MM) | (held.halvings >= MOST_HALVINGS)
        least = min(least, float(held.low[done].min(initial=math.inf)))
        held.keep(~done, one, other)
    return min(least, seen), where


@dataclass(slots=True, eq=False)
class _Round:
    """Moves evaluated in one round: gaps at their ends (k, 2), a bound in between (k,), which go on."""

    ends: Floats
    low: Floats
    halvings: int
    left: tuple[Floats, Floats] | None = None

    def keep(self, those: Any, one: Floats, other: Floats) -> None:
        """Say which moves are to be halved and evaluated again."""
        self.left = one[those], other[those]


def _rounds(walls: Floats, body: Body, places: Floats) -> Iterator[tuple[Floats, Floats, _Round]]:
    """Yield moves and what bounds them; those kept come again, halved."""
    pairs = list(itertools.pairwise(places)) or [(places[0], places[0])]
    one, other = np.array([pair[0] for pair in pairs]), np.array([pair[1] for pair in pairs])
    for halvings in range(MOST_HALVINGS + 1):
        ends, low = _bounds(walls, body, one, other)
        held = _Round(ends, low, halvings)
        yield one, other, held
        if held.left is None or not len(held.left[0]):
            return
        a, b = held.left
        middle = (a + b) / 2.0
        one, other = np.concatenate([a, middle]), np.concatenate([middle, b])


def _bounds(walls: Floats, body: Body, one: Floats, other: Floats) -> tuple[Floats, Floats]:
    """Return gaps at both ends (k, 2) of moves, and what they are nowhere less than in between (k,)."""
    step = max(1, AT_ONCE // (len(walls) * max(len(each) for each in body.normals) * 4))
    ends, low = [], []
    for k in range(0, len(one), step):
        a, b = one[k : k + step], other[k : k + step]
        every = [
            _gaps(walls, corners, (normals, offsets), a, b)
            for corners, normals, offsets in zip(body.corners, body.normals, body.offsets, strict=True)
        ]
        ends.append(np.min([each[0] for each in every], axis=0))
        low.append(np.min([each[1] for each in every], axis=0))
    return np.concatenate(ends), np.concatenate(low)


def _gaps(
    walls: Floats, corners: Floats, lines: tuple[Floats, Floats], one: Floats, other: Floats
) -> tuple[Floats, Floats]:
    """Return the gaps of one piece to the nearest wall at both ends (k, 2), and the bound in between (k,)."""
    far = float(np.linalg.norm(corners, axis=1).max())
    turned = np.abs(other[:, 2] - one[:, 2])[:, None]
    moved = np.linalg.norm(other[:, :2] - one[:, :2], axis=1)[:, None]
    by_wall = [_past_wall(walls, corners, place) for place in (one, other)]
    by_line = [_past_lines(walls, lines, place) for place in (one, other)]
    at_ends = [
        np.maximum(wall.max(axis=-1), line.max(axis=-1)) for wall, line in zip(by_wall, by_line, strict=True)
    ]
    away = np.maximum(_away(walls, one), _away(walls, other))
    wall_low = np.minimum(*by_wall).max(axis=-1) - turned**2 * far / 8.0
    line_low = np.minimum(*by_line).max(axis=-1) - (turned**2 * away + 2.0 * turned * moved) / 8.0
    low = np.maximum(wall_low, line_low)
    return np.stack([each.min(axis=1) for each in at_ends], axis=1), low.min(axis=1)


def _past_wall(walls: Floats, corners: Floats, places: Floats) -> Floats:
    """Return by how much the piece is to the left and to the right of each wall's line (k, e, 2)."""
    along = walls[:, 1] - walls[:, 0]
    normals = np.column_stack([-along[:, 1], along[:, 0]]) / np.linalg.norm(along, axis=1)[:, None]
    offsets = np.einsum("ej,ej->e", normals, walls[:, 0])
    placed = np.einsum("kij,vj->kvi", _turns(places[:, 2]), corners) + places[:, None, :2]
    across = np.einsum("kvj,ej->kev", placed, normals) - offsets[None, :, None]
    return np.stack([across.min(axis=2), -across.max(axis=2)], axis=-1)


def _past_lines(walls: Floats, lines: tuple[Floats, Floats], places: Floats) -> Floats:
    """Return by how much each wall is beyond each line that goes with the piece (k, e, n)."""
    normals, offsets = lines
    turns = _turns(places[:, 2])
    # The walls as the part sees them.
    seen = np.einsum("kji,keaj->keai", turns, walls[None] - places[:, None, None, :2])
    return np.asarray((seen @ normals.T).min(axis=2) - offsets)


def _away(walls: Floats, places: Floats) -> Floats:
    return np.asarray(np.linalg.norm(walls[None] - places[:, None, None, :2], axis=-1).max(axis=2))


def _turns(angles: Floats) -> Floats:
    cosine, sine = np.cos(angles), np.sin(angles)
    return np.stack([np.stack([cosine, -sine], -1), np.stack([sine, cosine], -1)], -2)
