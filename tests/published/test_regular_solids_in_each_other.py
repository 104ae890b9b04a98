"""The largest copy of a regular solid in another.

M. Firsching, Computing Maximal Copies of Polyhedra Contained in a Polyhedron, Experimental Mathematics 24:1 (2015)
98-105, Tables 1 and 2; H. T. Croft, On maximal regular polyhedra inscribed in a regular polyhedron, Proc. London
Math. Soc. (3) 41 (1980) 279-296. The numbers stand in `strategies/regular.py`.
"""

from __future__ import annotations

import pytest
from strategies.asked_search import fits, held_in
from strategies.regular import FIRSCHING, SOLIDS
from strategies.solids import hulled, part_of, tank_of

from fitcheck.proving.infeasible_rotations import recheck_infeasible
from fitcheck.questions.dip.answer import DoesNotFit
from fitcheck.questions.dip.ask import dip


def two_sided(inner: str, outer: str, edge: float, by: float) -> tuple[bool | None, bool | None]:
    """Return whether the inner solid of this edge fits at 1 - by and at 1 + by of it, the outer edge being 1000 mm."""
    tank = held_in(1000.0 * SOLIDS[outer])
    least = 1000.0 * by / 100.0
    small, large = (1000.0 * edge * factor * SOLIDS[inner] for factor in (1.0 - by, 1.0 + by))
    return fits(small, tank, least), fits(large, tank, least)


@pytest.mark.parametrize(("inner", "outer", "edge"), FIRSCHING)
def test_regular_solids_in_each_other(inner: str, outer: str, edge: float) -> None:
    assert two_sided(inner, outer, edge, 1e-4) == (True, False)


@pytest.mark.parametrize(("inner", "outer", "edge"), [FIRSCHING[0], FIRSCHING[6]])
def test_two_regular_solids_to_five_digits(inner: str, outer: str, edge: float) -> None:
    """Cube in tetrahedron, which has a second-best place, and cube in octahedron, the slowest to close."""
    assert two_sided(inner, outer, edge, 1e-5) == (True, False)


@pytest.mark.parametrize(("inner", "outer", "largest"), [FIRSCHING[k] for k in (4, 5)])
def test_a_regular_solid_larger_than_the_largest_is_proved_not_to_fit(
    inner: str, outer: str, largest: float
) -> None:
    """M. Firsching, Exper. Math. 24 (2015) 98-105, Table 2: here a hundredth larger than the largest there is."""
    part = part_of(hulled(1000.0 * 1.01 * largest * SOLIDS[inner]))
    points = 1000.0 * SOLIDS[outer]
    tank = tank_of(hulled(points - points.min(axis=0)))
    answer = dip(part, tank, with_cures=False)
    assert isinstance(answer, DoesNotFit)
    assert recheck_infeasible(part, tank, answer.proof).holds
