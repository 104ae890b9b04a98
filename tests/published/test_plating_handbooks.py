"""Rinses, films of liquid and strengths of baths, as plating handbooks (from memory) and a water-reuse note give them."""

from __future__ import annotations

import math

import pytest

from fitcheck.questions.mix.ask import counterflow
from fitcheck.words.strength import read_film, read_loading, read_strength
from fitcheck.words.units import (
    LITRES_PER_GALLON,
    MM2_PER_M2,
    MM_PER_FOOT,
)


def test_two_rinses_in_counterflow() -> None:
    # r^2 + r + 1 = 1000 by the formula for a quadratic; handbooks say the square root, 31.6.
    assert counterflow(1000.0, 2) == pytest.approx((-1.0 + math.sqrt(1.0 + 4.0 * 999.0)) / 2.0, rel=1e-12)
    assert counterflow(1000.0, 2) == pytest.approx(31.1, abs=0.05)
    assert counterflow(1000.0, 3) == pytest.approx(9.64, abs=0.005)
    # One running rinse: (D + Q) / D = 1000.
    assert counterflow(1000.0, 1) == pytest.approx(999.0, rel=1e-12)


def test_handbook_rates() -> None:
    # 2 gal / 1000 ft2 is about 80 ml/m2; 20 ml/ft2 of circuit board is 215 ml/m2 (water-reuse note, counterflow).
    assert read_film("2 gal/1000 ft2") == pytest.approx(0.080, rel=0.02)
    assert read_film("20 ml/ft2") == pytest.approx(0.215, rel=0.002)
    # 1 oz/gal is 7.489 g/l (plating handbooks, from memory).
    assert read_strength("1 oz/gal").kg_l == pytest.approx(0.007489, rel=1e-4)
    assert read_loading("1 ft2/gal") == pytest.approx(
        MM_PER_FOOT**2 / MM2_PER_M2 / LITRES_PER_GALLON, rel=1e-12
    )
