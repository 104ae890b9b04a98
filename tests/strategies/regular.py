"""The five regular solids with edge 1, and what is published of each inside another.

M. Firsching, Computing Maximal Copies of Polyhedra Contained in a Polyhedron, Experimental Mathematics 24:1 (2015)
98-105, Tables 1 and 2: edge of the largest copy of one in another of edge 1. Fourteen of the twenty are proven by
H. T. Croft, On maximal regular polyhedra inscribed in a regular polyhedron, Proc. London Math. Soc. (3) 41 (1980)
279-296, whose table on p. 295 has three misprints that Firsching corrects.
"""

from __future__ import annotations

import itertools
import math

import numpy as np

from fitcheck.things.solid import Floats

GOLDEN = (1.0 + math.sqrt(5.0)) / 2.0


def _edged(corners: list[tuple[float, ...]]) -> Floats:
    """Return the corners scaled to edge 1."""
    points = np.array(corners, dtype=float)
    apart = np.linalg.norm(points[:, None] - points[None], axis=2)
    return np.asarray(points / apart[apart > 1e-9].min())


def _cycled(corners: list[tuple[float, float, float]]) -> list[tuple[float, ...]]:
    return [corner[k:] + corner[:k] for corner in corners for k in range(3)]


_SIGNS = list(itertools.product((1.0, -1.0), repeat=2))
SOLIDS = {
    "tetrahedron": _edged([(1, 1, 1), (1, -1, -1), (-1, 1, -1), (-1, -1, 1)]),
    "cube": _edged(list(itertools.product((1.0, -1.0), repeat=3))),
    "octahedron": _edged(_cycled([(1.0, 0.0, 0.0), (-1.0, 0.0, 0.0)])),
    "dodecahedron": _edged(
        [
            *itertools.product((1.0, -1.0), repeat=3),
            *_cycled([(0.0, a / GOLDEN, b * GOLDEN) for a, b in _SIGNS]),
        ]
    ),
    "icosahedron": _edged(_cycled([(0.0, a, b * GOLDEN) for a, b in _SIGNS])),
}

# Firsching 2015, Table 2 (exact forms), for the pairs that Croft 1980 proved with these outer solids.
FIRSCHING = [
    ("cube", "tetrahedron", 1.0 / (1.0 + 2.0 * math.sqrt(3.0) / 3.0 + math.sqrt(6.0) / 2.0)),
    ("octahedron", "tetrahedron", 0.5),
    ("tetrahedron", "cube", math.sqrt(2.0)),
    ("octahedron", "cube", 3.0 * math.sqrt(2.0) / 4.0),
    ("icosahedron", "cube", 1.0 / GOLDEN),
    ("tetrahedron", "octahedron", 1.0),
    ("cube", "octahedron", 2.0 - math.sqrt(2.0)),
    ("icosahedron", "octahedron", math.sqrt(2.0) / GOLDEN**2),
]

# Second-best places (computed: local climbs end there), with the best beside them.
TRAPS = [
    ("cube", "tetrahedron", 0.292893, FIRSCHING[0][2]),
    ("tetrahedron", "octahedron", 0.828427, FIRSCHING[5][2]),
]
