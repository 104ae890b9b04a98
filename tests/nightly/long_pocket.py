"""Hundreds of random solids more: what they catch, against a flooded grid. See tests/test_pockets.py."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1]))

from test_pockets import test_a_flooded_grid_finds_the_same as agrees

# The everyday run has the first 20.
SEEDS = range(20, 320)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_flooded_grid_finds_the_same(seed: int) -> None:
    agrees(seed)
