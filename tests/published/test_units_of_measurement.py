"""Factors of units.

NIST Handbook 44, Appendix C: 1 in = 25.4 mm, 1 ft = 304.8 mm, 1 US gallon = 3.785 411 784 l, 1 lb = 453.592 37 g,
all exactly. NIST Special Publication 811, Appendix B.8. 3rd General Conference on Weights and Measures, 1901.
"""

from __future__ import annotations

import pytest

from fitcheck.words import units


def test_factors_are_the_published_ones() -> None:
    assert units.MM_PER_INCH == 25.4
    assert units.MM_PER_FOOT == 304.8
    assert units.LITRES_PER_GALLON == 3.785411784
    assert units.KG_PER_POUND == 0.45359237
    # 3rd General Conference on Weights and Measures, 1901.
    assert units.STANDARD_GRAVITY_M_S2 == 9.80665
    # NIST Special Publication 811, Appendix B.8: pound-force 4.448 221 615 260 5 N, exactly.
    assert pytest.approx(4.4482216152605, rel=1e-15) == units.NEWTONS_PER_POUND_FORCE
