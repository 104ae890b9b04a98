"""Cells cover what they say, and splitting them loses nothing."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from oracles.referee import turned

from fitcheck.geometry.rotations.rotation_cells import Allowed, Cells, Queue, cover, rotations
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.solid import Floats, Indices

WHOLE = (np.array([-math.pi, -math.pi / 2.0, -math.pi]), np.array([math.pi, math.pi / 2.0, math.pi]))
ANGLE = st.floats(-math.pi, math.pi)
WIDTH = st.floats(0.0, 3.0)


def held_by(cells: Cells, angles: Floats) -> Indices:
    """Return in how many cells each of the angles (k, 3) lies, borders counted, rounding of a sum forgiven."""
    apart = np.abs(angles[:, None, :] - cells.middle_rad) - cells.half_rad
    return np.asarray((apart.max(axis=2) <= 1e-14).sum(axis=1))


@given(low=st.tuples(ANGLE, ANGLE, ANGLE), wide=st.tuples(WIDTH, WIDTH, WIDTH), widest=st.floats(0.3, 2.0))
def test_cover_covers_and_no_more(
    low: tuple[float, float, float], wide: tuple[float, float, float], widest: float
) -> None:
    start, end = np.array(low), np.array(low) + np.array(wide)
    cells = cover(start, end, widest)
    angles = np.random.default_rng(1).uniform(start, end, (60, 3))
    assert (held_by(cells, np.vstack([angles, start, end])) >= 1).all()
    assert (2.0 * cells.half_rad <= widest + 1e-14).all()
    assert (cells.middle_rad - cells.half_rad >= start - 1e-14).all()
    assert (cells.middle_rad + cells.half_rad <= end + 1e-14).all()
    assert np.prod(2.0 * cells.half_rad, axis=1).sum() == pytest.approx(np.prod(end - start), abs=1e-12)


def test_shares_of_all_rotations_sum_to_one() -> None:
    assert cover(*WHOLE, math.pi / 4.0).share.sum() == pytest.approx(1.0, abs=1e-14)


def test_a_share_is_how_often_a_random_rotation_falls_in() -> None:
    """Against scipy's uniform rotations (K. Shoemake, Graphics Gems III, 1992), 40 000 of them."""
    from scipy.spatial.transform import Rotation

    angles = Rotation.random(40_000, random_state=5).as_euler("ZYX") * [1.0, -1.0, 1.0]
    cells = cover(*WHOLE, math.pi / 2.0)
    inside = (np.abs(angles[:, None, :] - cells.middle_rad) < cells.half_rad).all(axis=2)
    expected = 40_000 * cells.share
    # Six standard deviations of a count.
    assert (np.abs(inside.sum(axis=0) - expected) < 6.0 * np.sqrt(expected)).all()


@given(seed=st.integers(0, 10_000), levers=st.tuples(*[st.floats(0.0, 1e4)] * 3))
def test_halving_loses_nothing(seed: int, levers: tuple[float, float, float]) -> None:
    rng = np.random.default_rng(seed)
    middle = rng.uniform(-1.4, 1.4, (5, 3))
    cells = Cells(middle, rng.uniform(0.0, 0.15, (5, 3)))
    halves = cells.halved(np.array(levers))
    assert len(halves) == 10
    assert halves.share.sum() == pytest.approx(cells.share.sum(), rel=1e-12)
    inside = (cells.middle_rad + cells.half_rad * rng.uniform(-1.0, 1.0, (40, 5, 3))).reshape(-1, 3)
    assert (held_by(halves, inside) >= 1).all()


def test_halving_cuts_the_side_along_which_the_part_moves_most() -> None:
    cells = Cells(np.zeros((2, 3)), np.array([[0.3, 0.2, 0.4], [0.1, 0.1, 0.4]]))
    halves = cells.halved(np.array([100.0, 100.0, 20.0]))
    np.testing.assert_allclose(halves.half_rad[0], [0.15, 0.2, 0.4])
    np.testing.assert_allclose(halves.half_rad[1], [0.05, 0.1, 0.4])


@given(angles=st.tuples(ANGLE, ANGLE, ANGLE))
def test_rotations_are_those_of_the_pose_and_of_scipy(angles: tuple[float, float, float]) -> None:
    swing, tilt, roll = angles
    ours = rotations(np.array([angles]))[0]
    np.testing.assert_allclose(ours, rotation_from(Angles(tilt, roll, swing)), atol=1e-15)
    np.testing.assert_allclose(ours, turned([angles])[0], atol=1e-14)


def test_up_as_the_part_sees_it() -> None:
    """(sin tilt, cos tilt sin roll, cos tilt cos roll), whatever the swing."""
    for swing in (0.0, 1.0):
        up = rotations(np.array([[swing, 0.4, 0.7]]))[0][2]
        wanted = [math.sin(0.4), math.cos(0.4) * math.sin(0.7), math.cos(0.4) * math.cos(0.7)]
        np.testing.assert_allclose(up, wanted, atol=1e-15)


def test_allowed_rotations_may_be_held() -> None:
    only = np.array([0.1, 0.2, 0.3])
    cells = Allowed(only, only).cells(0.5)
    assert len(cells) == 1
    np.testing.assert_array_equal(cells.middle_rad[0], only)
    np.testing.assert_array_equal(cells.half_rad[0], 0.0)


def test_queue_keeps_every_cell_somewhere() -> None:
    """Through rounds of taking and halving, what is in it and what is out of it together stay the whole."""
    rng = np.random.default_rng(8)
    queue, fresh = Queue(), cover(*WHOLE, 1.5)
    for _ in range(6):
        queue.put(fresh, rng.random(len(fresh)))
        assert queue.cells.share.sum() == pytest.approx(1.0, abs=1e-12)
        fresh = queue.take(20, 0.6)
        assert len(fresh)
        for _ in range(2):
            fresh = fresh.halved(np.array([1.0, 1.0, 0.3]))
        assert queue.cells.share.sum() + fresh.share.sum() == pytest.approx(1.0, abs=1e-12)


def test_queue_takes_the_lowest_first() -> None:
    cells = Cells(np.arange(9.0).reshape(3, 3) / 10.0, np.full((3, 3), 0.01))
    queue = Queue()
    queue.put(cells, np.array([0.3, 0.1, 0.2]))
    taken = queue.take(2, math.inf)
    np.testing.assert_array_equal(taken.middle_rad, cells.middle_rad[[1, 2]])
    np.testing.assert_array_equal(queue.rank, [0.3])
    assert len(queue.take(2, 0.3)) == 0


def test_taking_and_halving_at_once_is_taking_and_then_halving() -> None:
    levers, cells = np.array([1.0, 1.0, 0.3]), cover(*WHOLE, 1.5)
    one, other, rank = Queue(), Queue(), np.random.default_rng(3).random(len(cells))
    one.put(cells, rank)
    other.put(cells, rank)
    for _ in range(4):
        at_once = one.take_halved(7, 0.8, levers, 2)
        taken = other.take(7, 0.8).halved(levers).halved(levers)
        np.testing.assert_array_equal(at_once.middle_rad, taken.middle_rad)
        np.testing.assert_array_equal(at_once.half_rad, taken.half_rad)
        np.testing.assert_array_equal(one.cells.middle_rad, other.cells.middle_rad)


@given(st.integers(0, 10**6), st.integers(0, 9))
def test_halves_where_a_part_moves_most(seed: int, count: int) -> None:
    """Against whole-array numpy; of equal moves, the swing before the tilt before the roll."""
    rng = np.random.default_rng(seed)
    middle, half = rng.normal(size=(count, 3)), rng.integers(0, 3, (count, 3)) / 4.0
    levers = rng.integers(1, 3, 3).astype(float)
    rows, side = np.arange(count), np.argmax(half * levers, axis=1)
    short, step = half.copy(), np.zeros_like(half)
    short[rows, side] *= 0.5
    step[rows, side] = short[rows, side]
    halves = Cells(middle, half).halved(levers)
    np.testing.assert_array_equal(halves.middle_rad, np.concatenate([middle - step, middle + step]))
    np.testing.assert_array_equal(halves.half_rad, np.concatenate([short, short]))


@given(st.integers(0, 10**6), st.integers(1, 5), st.integers(2, 400))
def test_queue_gives_what_sorting_all_gives(seed: int, most: int, kinds: int) -> None:
    """Few kinds of rank, so that many are alike; a limit that comes down as the best found does."""
    rng = np.random.default_rng(seed)
    queue, plain, under, number = Queue(), [], math.inf, 0
    for _ in range(60):
        count = int(rng.integers(0, 40))
        fresh = rng.integers(0, kinds, count).astype(float)
        numbers = np.arange(number, number + count, dtype=float)
        number += count
        queue.put(Cells(np.column_stack([numbers] * 3), np.zeros((count, 3))), fresh)
        plain += list(zip(fresh.tolist(), numbers.tolist(), strict=True))
        under = min(under, float(rng.choice([math.inf, math.inf, rng.uniform(0.0, 2.0 * kinds)])))
        taken = queue.take(most, under).middle_rad[:, 0].tolist()
        plain = sorted(pair for pair in plain if pair[0] < under)
        assert taken == [each for _, each in plain[:most]]
        plain = plain[most:]
