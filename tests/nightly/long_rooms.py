"""Many small rooms against every layout there is: each of the ten cases takes some two minutes of one core."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
from oracles.exhaustive import check_small_rooms


@pytest.mark.parametrize("aisle", [False, True])
@pytest.mark.parametrize("seed", range(100, 105))
def test_small_rooms_agree_with_every_layout_there_is(seed: int, aisle: bool) -> None:
    fits, does_not = check_small_rooms(seed, 40, aisle=aisle)
    assert min(fits, does_not) >= 3
