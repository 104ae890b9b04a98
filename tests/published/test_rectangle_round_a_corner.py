"""The longest rectangle that is carried round a corner of two corridors.

C. Moretti, College Mathematics Journal 33 (2002) 196-200, and his couch of the Wolfram Demonstrations Project.
"""

from __future__ import annotations

import math

import pytest
from oracles.round_a_corner import longest
from strategies.corridors import corner
from strategies.solids import box, part_of

from fitcheck.proving.way_clearance import Shape
from fitcheck.questions.carry.ask import carry
from fitcheck.questions.carry.prove_no_way import prove_no_way


def test_the_formula_gives_the_published_number() -> None:
    """His demonstration: a couch of width 1 in corridors of 8 and 3 at 31 deg (Wolfram Demonstrations).

    12.8927 is what goes at that one angle. What goes round must go at every angle: the least is 12.8563, at
    33.5 deg, and that is the longest couch.
    """
    angle = math.radians(31.0)
    at_31 = (3.0 * math.cos(angle) + 8.0 * math.sin(angle) - 1.0) / (math.sin(angle) * math.cos(angle))
    assert at_31 == pytest.approx(12.8927, abs=6e-5)
    assert longest(3.0, 8.0, 1.0) == pytest.approx(12.856317649)


# The first is his couch, the second a ladder. To a thousandth. A ladder is a rectangle of next to no width.
@pytest.mark.parametrize(("a", "b", "w"), [(8.0, 3.0, 1.0), (3.0, 5.0, 1e-3)])
def test_a_rectangle_round_a_corner_from_both_sides(a: float, b: float, w: float) -> None:
    scale = 100.0
    for share, verdict in ((0.999, "fits"), (1.001, "does not fit")):
        length = share * longest(a, b, w)
        route = corner(scale * a, scale * b, scale * length)
        answer = carry(part_of(box((scale * length, scale * w, 10.0))), route)
        assert answer.verdict == verdict, (share, answer.reason)


# The same two, and the code that did not search.
@pytest.mark.parametrize(("a", "b", "w"), [(8.0, 3.0, 1.0), (3.0, 5.0, 1e-3)])
def test_that_nothing_longer_goes_round_is_shown_by_boxes(a: float, b: float, w: float) -> None:
    for share, how in ((0.99, "not so"), (1.001, "shown")):
        length = 100.0 * share * longest(a, b, w)
        rod = part_of(box((length, 100.0 * w, 10.0)))
        assert prove_no_way(Shape.of(rod), corner(100.0 * a, 100.0 * b, length), 0.0)[0] == how, share
