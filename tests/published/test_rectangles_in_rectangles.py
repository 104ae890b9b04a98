"""A rectangle in a rectangle, laid flat.

J. E. Wetzel, Rectangles in Rectangles, Mathematics Magazine 73:3 (2000) 204-211; the criterion is W. B. Carver's,
American Mathematical Monthly 64 (1957) 114-116 (from memory).
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from strategies.asked_search import FLAT, ROUNDING_MM, boxed, fits, searched
from strategies.solids import box

from fitcheck.geometry.rotations.rotation_search import Budget

# Outer a x b, inner length p, largest width q: the widths follow from the criterion.
RECTANGLES = [
    (8, 6, 9, 1.0603743734),
    (10, 8, 11, 1.8839010887),
    (10, 10, 12, 2.1421356237),
    (10, 5, 10.5, 0.9104140259),
    (4, 3, 4.5, 0.5301871867),
    (48, 24, 50, 4.9630870063),
    (1, 1, 1.2, 0.2142135624),
]


def carver(p: float, q: float, a: float) -> float:
    """Return the least b of a rectangle a x b that holds one of p x q, p > a: Carver's criterion."""
    return (2.0 * p * q * a + (p * p - q * q) * math.sqrt(p * p + q * q - a * a)) / (p * p + q * q)


@pytest.mark.parametrize(("a", "b", "p", "q"), RECTANGLES)
def test_rectangles_in_rectangles(a: float, b: float, p: float, q: float) -> None:
    """Laid flat with nothing to spare: the spare is 0 from both sides, on a scale where a is 1000 mm."""
    assert carver(p, q, a) == pytest.approx(b, rel=1e-9)
    k = 1000.0 / a
    found = searched(
        box((p * k, q * k, 1.0)).vertices_mm, boxed(a * k, b * k, 500.0), Budget(gap_mm=1e-3), FLAT
    )
    assert -ROUNDING_MM <= found.tau_mm <= 1e-3 + ROUNDING_MM
    assert found.open_share == 0.0
    assert found.at_least_mm >= found.tau_mm - 1e-3 - ROUNDING_MM


def test_rectangles_at_random_agree_with_the_criterion() -> None:
    rng = np.random.default_rng(1957)
    answers = []
    while len(answers) < 30:
        a, b = np.sort(rng.uniform(100.0, 1000.0, 2))[::-1]
        p = rng.uniform(a, math.hypot(a, b))
        q = rng.uniform(0.01, 0.3) * b
        need = carver(p, q, a)
        if q > b or abs(need - b) < 1.0:
            continue
        answers.append(fits(box((p, q, 1.0)).vertices_mm, boxed(a, b, 50.0), 0.01, FLAT))
        assert answers[-1] is bool(need < b)
    assert 5 < sum(map(bool, answers)) < 25


def test_nine_by_four_does_not_fit_eight_by_six() -> None:
    """Wetzel, p. 204: although its area, diagonal, perimeter and thickness would all allow it."""
    assert fits(box((900.0, 400.0, 1.0)).vertices_mm, boxed(800.0, 600.0, 100.0), 0.01, FLAT) is False
