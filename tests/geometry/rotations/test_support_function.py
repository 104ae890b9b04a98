"""The reach over a cell of rotations: its slope is right, and the bound is never above the true reach."""

from __future__ import annotations

from typing import Literal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from oracles.referee import settled, turned
from strategies.solids import box, hulled, tank_of, turn

from fitcheck.geometry.rotations.envelope import Envelope, envelope_of
from fitcheck.geometry.rotations.rotation_cells import Cells
from fitcheck.geometry.rotations.support_function import Reach, farthest, outermost, reach
from fitcheck.things.solid import Floats

BOX = envelope_of(tank_of(box((900.0, 700.0, 500.0))))
# Nine planes, none along an axis, no two opposite but for one pair.
HOUSE = 500.0 * np.vstack([box((1.0, 1.0, 1.0)).vertices_mm, [[0.5, 0.4, 2.0]]])
ODD = envelope_of(tank_of(hulled(settled(HOUSE @ turn(3).T))))
# Long and thin, flat, round, and a single edge: (length, width, height) of random clouds.
KINDS = ((1000.0, 30.0, 10.0), (600.0, 500.0, 3.0), (400.0, 400.0, 400.0), (800.0, 0.0, 0.0))
# Rounding of sums of some tens of products of numbers up to 1000.
ROUNDING_MM = 1e-9


def cloud(seed: int, kind: int) -> Floats:
    points = np.random.default_rng(seed).uniform(-0.5, 0.5, (24, 3)) * KINDS[kind]
    return np.asarray(points)


def true_reach(points: Floats, envelope: Envelope, angles: Floats) -> Floats:
    """Return the reach (k, m) along each outward direction, by scipy's rotations."""
    return np.asarray((np.matmul(envelope.normals, turned(angles)) @ points.T).max(axis=2))


def one_cell(middle: Floats, half: Floats) -> Cells:
    return Cells(middle[None, :], half[None, :])


@pytest.mark.parametrize("envelope", [BOX, ODD])
@pytest.mark.parametrize("kind", range(len(KINDS)))
def test_value_and_slope_at_the_middle(envelope: Envelope, kind: int) -> None:
    rng = np.random.default_rng(kind)
    step = 1e-5
    for seed in range(10):
        points, at = cloud(seed, kind), rng.uniform(-1.5, 1.5, 3)
        found = reach(points, envelope, one_cell(at, np.zeros(3)), at[None, :])
        np.testing.assert_allclose(found.value, true_reach(points, envelope, at[None, :]), atol=ROUNDING_MM)
        assert (found.drop == 0.0).all()
        # The same points reach farthest a step away, so the reach itself has this slope.
        steps = step * np.eye(3)
        ahead = true_reach(points, envelope, at + steps) - true_reach(points, envelope, at - steps)
        np.testing.assert_allclose(found.gradient[0], ahead.T / (2.0 * step), atol=1e-3)


@given(
    seed=st.integers(0, 100_000),
    kind=st.integers(0, len(KINDS) - 1),
    odd=st.booleans(),
    width=st.sampled_from((1.6, 0.8, 0.3, 0.1, 0.02, 0.001)),
    uneven=st.tuples(*[st.floats(0.0, 1.0)] * 3),
    seen=st.tuples(*[st.floats(-1.0, 1.0)] * 3),
)
def test_never_above_the_true_reach(
    seed: int,
    kind: int,
    odd: bool,
    width: float,
    uneven: tuple[float, float, float],
    seen: tuple[float, float, float],
) -> None:
    """Anywhere in a cell, with the points that reach farthest at its middle or elsewhere in it."""
    rng = np.random.default_rng(seed)
    envelope, points = (ODD if odd else BOX), cloud(seed, kind)
    middle, half = rng.uniform([-3.1, -1.6, -3.1], [3.1, 1.6, 3.1]), width * np.array(uneven)
    steps = rng.uniform(-1.0, 1.0, (30, 3))
    steps[:15] = np.sign(steps[:15])
    away = steps * half
    true = true_reach(points, envelope, middle + away)
    for look in (middle, middle + half * np.array(seen)):
        found = reach(points, envelope, one_cell(middle, half), look[None, :])
        bound = found.value[0] + away @ found.gradient[0].T - found.drop[0]
        assert (bound <= true + ROUNDING_MM).all()


@pytest.mark.parametrize("kind", range(len(KINDS)))
def test_halving_the_sides_leaves_about_a_quarter_of_the_drop(kind: int) -> None:
    """A bound of the second order; the first order would leave a half."""
    points, at = cloud(1, kind), np.array([0.3, 0.5, 0.7])
    drops = [
        reach(points, BOX, one_cell(at, half * np.ones(3)), at[None, :]).drop.max() for half in (2e-3, 1e-3)
    ]
    assert 3.9 < drops[0] / drops[1] < 4.1


def test_turning_a_thin_part_about_its_length_costs_little() -> None:
    """The lever of a roll is the part's thickness, not its length."""
    points, at = cloud(2, 0), np.array([0.3, 0.2, 0.4])
    drop = {
        axis: reach(points, BOX, one_cell(at, 0.2 * np.eye(3)[axis]), at[None, :]).drop.max()
        for axis in range(3)
    }
    assert drop[2] < 0.1 * min(drop[0], drop[1])


@pytest.mark.parametrize("envelope", [BOX, ODD])
def test_farthest_points(envelope: Envelope) -> None:
    points = cloud(4, 2)
    angles = np.random.default_rng(0).uniform(-1.5, 1.5, (20, 3))
    index, _ = farthest(points, envelope, angles)
    along = np.einsum("md,bde,bme->bm", envelope.normals, turned(angles), points[index])
    np.testing.assert_allclose(along, true_reach(points, envelope, angles), atol=ROUNDING_MM)


@pytest.mark.parametrize("count", [1, 127, 128, 129, 159, 160, 511, 512, 513, 575, 576, 1000])
@pytest.mark.parametrize("order", ["C", "F"])
def test_outermost_points_however_they_lie_in_memory(count: int, order: Literal["C", "F"]) -> None:
    """Against numpy; each point is the farthest one along its own direction, so that none can be passed over."""
    directions = np.random.default_rng(count).normal(size=(count, 3))
    directions /= np.linalg.norm(directions, axis=1)[:, None]
    points = np.array(700.0 * directions, order=order)
    found = outermost(points, directions)
    np.testing.assert_array_equal(found[::2], np.arange(count))
    np.testing.assert_array_equal(found[1::2], (points @ directions.T).argmin(axis=0))


def test_many_cells_are_looked_at_as_each_alone() -> None:
    rng = np.random.default_rng(6)
    points, middle, half = cloud(3, 2), rng.uniform(-1.0, 1.0, (7, 3)), rng.uniform(0.0, 0.3, (7, 3))
    together = reach(points, BOX, Cells(middle, half), middle)
    alone = [reach(points, BOX, one_cell(*one), one[0][None, :]) for one in zip(middle, half, strict=True)]

    def column(name: str, found: list[Reach]) -> Floats:
        return np.concatenate([getattr(one, name) for one in found])

    for name in ("value", "gradient", "drop"):
        np.testing.assert_allclose(getattr(together, name), column(name, alone), atol=ROUNDING_MM)
