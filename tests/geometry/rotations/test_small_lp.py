"""Many tiny programmes at once, against HiGHS (Huangfu & Hall, Math. Program. Comput. 10, 2018) in scipy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import linprog

from fitcheck.geometry.rotations.small_lp import highest
from fitcheck.things.solid import Floats

# Two solvers in double precision, numbers of the size of 1: HiGHS itself promises 1e-7.
AGREE = 1e-7
ENOUGH = 60


def by_highs(c: Floats, g: Floats, lift: Floats) -> float:
    """Return the highest z, -inf where no y is allowed."""
    found = linprog(
        [0.0, 0.0, 0.0, -1.0],
        A_ub=np.column_stack([-g, lift]),
        b_ub=c,
        bounds=[(-1.0, 1.0)] * 3 + [(None, None)],
        method="highs",
    )
    assert found.status in (0, 2)
    return -float(found.fun) if found.status == 0 else -math.inf


def drawn(seed: int, count: int, planes: int, hard: int) -> tuple[Floats, Floats, Floats]:
    """Return random programmes, some planes hard; about half of those with hard planes allow no y."""
    rng = np.random.default_rng(seed)
    c = rng.normal(size=(count, planes))
    g = rng.normal(size=(count, planes, 3)) * rng.choice([0.1, 1.0, 10.0], size=(count, planes, 1))
    lift = rng.uniform(0.2, 2.0, planes)
    lift[planes - hard :] = 0.0
    return c, g, lift


@pytest.mark.parametrize(("planes", "hard"), [(1, 0), (3, 0), (4, 1), (7, 2), (12, 0), (12, 6), (60, 5)])
def test_same_as_highs(planes: int, hard: int) -> None:
    c, g, lift = drawn(planes + 100 * hard, 24, planes, hard)
    found = highest(c, g, lift, ENOUGH)
    wanted = np.array([by_highs(*one, lift) for one in zip(c, g, strict=True)])
    np.testing.assert_allclose(found.bound, wanted, atol=AGREE)
    if hard == 6:
        assert 4 < np.isinf(wanted).sum() < 22, "the draw was to have both kinds"


def test_the_place_found_reaches_the_bound() -> None:
    c, g, lift = drawn(5, 200, 9, 3)
    found = highest(c, g, lift, ENOUGH)
    for k in np.flatnonzero(np.isfinite(found.bound)):
        slack = c[k] + g[k] @ found.at[k]
        assert np.abs(found.at[k]).max() <= 1.0
        assert slack[lift == 0.0].min() >= -AGREE
        assert (slack / np.maximum(lift, 1e-300))[lift > 0.0].min() == pytest.approx(
            found.bound[k], abs=AGREE
        )


@pytest.mark.parametrize("pivots", [0, 1, 2, 3, 5, 12])
def test_ended_early_it_is_still_a_bound(pivots: int) -> None:
    c, g, lift = drawn(77, 40, 10, 2)
    early = highest(c, g, lift, pivots)
    wanted = np.array([by_highs(*one, lift) for one in zip(c, g, strict=True)])
    assert (early.bound >= wanted - AGREE).all()
    if pivots == 1:
        assert (early.bound > wanted + 0.1).any(), "one pivot was not to be enough"


@pytest.mark.parametrize("pivots", [1, 3, ENOUGH])
def test_weights_prove_the_bound(pivots: int) -> None:
    c, g, lift = drawn(6, 200, 9, 3)
    found = highest(c, g, lift, pivots)
    for k in np.flatnonzero(np.isfinite(found.bound)):
        weights, planes = found.weights[k], found.planes[k]
        assert weights.min() >= 0.0
        assert weights @ lift[planes] == pytest.approx(1.0, abs=1e-12)
        proven = weights @ c[k, planes] + np.abs(weights @ g[k, planes]).sum()
        assert found.bound[k] == pytest.approx(proven, abs=1e-9)


def test_ties_and_twins() -> None:
    """Planes given two and three times, parallel ones, ones without slope, and a corner where many meet."""
    rng = np.random.default_rng(9)
    few = rng.integers(-2, 3, size=(24, 4, 3)).astype(float)
    g = np.concatenate([few, few, -few, np.zeros((24, 2, 3))], axis=1)
    c = np.ones((24, 14))
    c[12:, 4:8] = 1.0 + rng.integers(0, 2, size=(12, 4))
    for hard in (0, 3):
        lift = np.ones(14)
        lift[4 : 4 + hard] = 0.0
        found = highest(c, g, lift, ENOUGH)
        wanted = np.array([by_highs(*one, lift) for one in zip(c, g, strict=True)])
        np.testing.assert_allclose(found.bound, wanted, atol=AGREE)


def test_hard_planes_that_only_touch_still_allow() -> None:
    """Y <= 0 and y >= 0 leave the one place y = 0; y <= -d and y >= d leave none."""
    g = np.array([[[0.0, 0.0, 0.0], [-1.0, 0.0, 0.0], [1.0, 0.0, 0.0]]] * 2)
    c = np.array([[1.0, 0.0, 0.0], [1.0, -1e-6, -1e-6]])
    found = highest(c, g, np.array([1.0, 0.0, 0.0]), ENOUGH)
    assert found.bound[0] == pytest.approx(1.0)
    assert found.bound[1] == -math.inf


def test_outside_of_the_box_is_no_place() -> None:
    """A hard plane wholly beyond the box side refuses; one that cuts a corner off the box does not."""
    g = np.array([[[0.0, 0.0, 0.0], [1.0, 1.0, 1.0]]] * 2)
    c = np.array([[1.0, -3.001], [1.0, -2.999]])
    found = highest(c, g, np.array([1.0, 0.0]), ENOUGH)
    assert found.bound[0] == -math.inf
    assert found.bound[1] == pytest.approx(1.0)


def test_large_and_small_numbers_in_one_batch() -> None:
    """What is rounding for one programme must not hide a real row of its neighbour by much."""
    c, g, lift = drawn(3, 24, 6, 2)
    size = np.repeat([1.0, 1e4], 12)
    found = highest(c * size[:, None], g * size[:, None, None], lift, ENOUGH)
    wanted = np.array([by_highs(*one, lift) for one in zip(c, g, strict=True)])
    finite = np.isfinite(wanted)
    np.testing.assert_allclose((found.bound / size)[finite], wanted[finite], atol=AGREE)
    assert (found.bound >= (wanted - AGREE) * size).all()
