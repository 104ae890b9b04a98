"""Whether a box floats upright.

A ship stability textbook, exercise Q3.1. W. P. Reid, Floating of a long square bar, Am. J. Phys. 31 (1963) 565 (from
memory).
"""

from __future__ import annotations

import math

import pytest

from fitcheck.geometry.liquid.block_pieces import metacentric_height_mm
from fitcheck.things.stock import Piece


@pytest.mark.parametrize(
    ("size_m", "mass_kg", "specific_gravity", "gm_m"),
    [
        # A pontoon of 8 x 5 x 1.5 m and 15 t in salt water, draught 0.3659 m (ship stability textbook, exercise
        # Q3.1 gives 0.37): GM = 25 / (12 d) + d / 2 - 0.75, computed.
        ((8.0, 5.0, 1.5), 15_000.0, 1.025, 25.0 / (12.0 * 0.365854) + 0.365854 / 2.0 - 0.75),
        # 4 x 2 x 1 m at a draught of 0.6: BM = 4 / (12 x 0.6) = 0.5556, GM = 0.3556 (computed; a posted answer
        # of 0.1333 takes the whole volume and is wrong).
        ((4.0, 2.0, 1.0), 4_800.0, 1.0, 0.355556),
    ],
)
def test_how_stable_a_box_floats(
    size_m: tuple[float, float, float], mass_kg: float, specific_gravity: float, gm_m: float
) -> None:
    length, width, height = (1000.0 * side for side in size_m)
    piece = Piece((length, width, height), (0.0, 0.0, 0.0), mass_kg)
    assert metacentric_height_mm(piece, specific_gravity) / 1000.0 == pytest.approx(gm_m, abs=1e-5)


def test_a_long_square_bar_of_pine_rolls() -> None:
    """A long square bar floats upright only under 0.2113 of the liquid's density, (3 - sqrt 3) / 6, or over 0.7887.

    W. P. Reid, Floating of a long square bar, Am. J. Phys. 31 (1963) 565 (from memory).
    """
    limit = (3.0 - math.sqrt(3.0)) / 6.0
    for density, upright in ((limit - 0.01, True), (limit + 0.01, False), (1.0 - limit + 0.01, True)):
        bar = Piece((5000.0, 100.0, 100.0), (0.0, 0.0, 0.0), density * 50.0)
        assert (metacentric_height_mm(bar, 1.0) > 0.0) is upright
