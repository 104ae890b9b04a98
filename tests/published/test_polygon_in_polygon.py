"""A regular n-gon in a regular m-gon, any turn and shift.

`data/ngon_in_mgon.csv` holds the edge of the largest regular n-gon in a regular m-gon of edge 1, for 30 pairs with
3 <= n, m <= 8. It was computed to 10 digits by an independent optimiser (a linear programme at each turn, the turn
scanned and refined), not copied from a table. It agrees with what is published: square in pentagon 1.067395 and
pentagon in square 0.625738 (K. Duisenberg's puzzle archive, 13 November 1998 and 10 July 2001), triangle in square
sqrt 6 - sqrt 2 (exact). S. J. Dilworth and S. R. Mane, On a problem of Croft on optimally nested regular polygons,
J. Geometry 99 (2010) 43-66, treat the general case.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest
from strategies.asked_search import FLAT, ROUNDING_MM, held_in, searched
from strategies.solids import lathe

from fitcheck.geometry.rotations.rotation_search import Budget
from fitcheck.things.solid import Floats


def ngons() -> list[tuple[int, int, float]]:
    with (Path(__file__).parent / "data" / "ngon_in_mgon.csv").open() as file:
        rows = list(csv.DictReader(file))
    return [(int(r["inner_n"]), int(r["outer_m"]), float(r["inner_edge_when_outer_edge_1"])) for r in rows]


def prism(sides: int, edge: float, height: float) -> Floats:
    return lathe(
        np.array([[1.0, 0.0], [1.0, height]]) * [edge / 2.0 / math.sin(math.pi / sides), 1.0], sides
    ).vertices_mm


@pytest.mark.parametrize(("inner", "outer", "edge"), ngons())
def test_polygons_in_polygons(inner: int, outer: int, edge: float) -> None:
    """As upright prisms: with nothing to spare the spare is 0 from both sides."""
    tank = held_in(prism(outer, 1000.0, 900.0))
    found = searched(prism(inner, 1000.0 * edge, 10.0), tank, Budget(gap_mm=1e-3), FLAT)
    # The table has 10 digits.
    assert -1e-3 <= found.tau_mm <= 1e-3 + ROUNDING_MM
    assert found.open_share == 0.0
    assert found.at_least_mm >= found.tau_mm - 1e-3 - ROUNDING_MM


@pytest.mark.parametrize(("inner", "outer", "printed"), [(4, 5, 1.067395), (5, 4, 0.625738)])
def test_the_table_has_what_is_printed(inner: int, outer: int, printed: float) -> None:
    """K. Duisenberg's puzzle archive, 13 November 1998 and 10 July 2001; to the last digit printed."""
    (edge,) = (edge for n, m, edge in ngons() if (n, m) == (inner, outer))
    assert edge == pytest.approx(printed, abs=1e-6)
