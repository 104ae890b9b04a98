"""Thousands of random cases that no everyday run looks at, and stronger opponents.

Run by .ci/nightly: pytest tests/nightly/long_dip.py

The first seed is the day, so that every night looks elsewhere; FITCHECK_SEED asks for that of a failure again.
"""

from __future__ import annotations

import os
import time
from collections import Counter

import numpy as np
import pytest
from oracles.referee import spares, turned
from scipy.optimize import differential_evolution
from strategies.drawn_cases import FORGIVEN_MM, Drawn, drawn, judged

from fitcheck.questions.dip.answer import DoesNotFit
from fitcheck.questions.dip.ask import dip
from fitcheck.things.solid import Floats

DAY_S = 86_400
# Everyday seeds end far below; a day's seeds do not reach those of the next.
A_DAY = 1_000_000
FIRST = int(os.environ.get("FITCHECK_SEED", A_DAY + A_DAY * int(time.time() // DAY_S)))
BATCHES, EACH, EVOLVED = 40, 50, 60


@pytest.mark.parametrize("batch", range(BATCHES))
def test_no_answer_is_contradicted(batch: int) -> None:
    first = FIRST + batch * EACH
    verdicts = Counter(judged(seed, tries=1000, starts=4).verdict for seed in range(first, first + EACH))
    assert verdicts["not found"] == 0, f"from FITCHECK_SEED={first}: {verdicts}"


@pytest.mark.parametrize("seed", range(FIRST + A_DAY // 2, FIRST + A_DAY // 2 + EVOLVED))
def test_differential_evolution_finds_no_better(seed: int) -> None:
    """R. Storn and K. Price, J. Global Optimization 11 (1997) 341-359, as scipy has it, with a large population."""
    case = drawn(seed)
    answer = dip(case.part, case.tank, with_cures=False)
    best, at = evolved(case, seed)
    assert best <= answer.spare.at_most_mm + FORGIVEN_MM, f"seed {seed}: {best} at {at}"
    if isinstance(answer, DoesNotFit):
        assert best < 0.0


def evolved(case: Drawn, seed: int) -> tuple[float, Floats]:
    """Return the largest spare that it finds, and where."""

    def short(angles: Floats) -> Floats:
        return -spares(case.room, case.part.solid.vertices_mm, turned(angles.T))

    low, high = case.low, case.high + 1e-12
    found = differential_evolution(
        short,
        np.column_stack([low, high]),
        popsize=40,
        tol=1e-8,
        rng=seed,
        vectorized=True,
        updating="deferred",
        polish=False,
    )
    return -float(found.fun), np.asarray(found.x)
