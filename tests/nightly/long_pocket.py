"""Hundreds of random solids more: what they catch, against a flooded grid and an exact lattice of bricks.

See tests/geometry/liquid/test_pockets.py and tests/geometry/liquid/test_pockets_lattice.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1]))

from geometry.liquid.test_pockets import test_a_flooded_grid_finds_the_same as agrees
from geometry.liquid.test_pockets_lattice import test_bricks as bricks_agree
from geometry.liquid.test_pockets_lattice import test_rooms as rooms_agree

# The everyday run has the first 20.
SEEDS = range(20, 320)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_flooded_grid_finds_the_same(seed: int) -> None:
    agrees(seed)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_lattice_of_bricks_holds_the_same(seed: int) -> None:
    bricks_agree(seed)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_lattice_of_rooms_holds_the_same(seed: int) -> None:
    rooms_agree(seed)
