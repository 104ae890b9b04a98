"""Where a part is held at one rotation, against HiGHS in scipy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from oracles.referee import Room, left, room_of, settled, spare_by_linprog, turned
from strategies.solids import box, hulled, tank_of, turn

from fitcheck.geometry.rotations.best_shift import best_shift, hung_low
from fitcheck.geometry.rotations.envelope import Envelope, envelope_of
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Rules

RULES = Rules(side_clearance_mm=20.0, bottom_clearance_mm=50.0, cover_mm=40.0, freeboard_mm=60.0)
# Sums of some tens of products of numbers up to 2000 in double precision.
ROUNDING_MM = 1e-8
# HiGHS: 1e-7 of feasibility, on numbers scaled to about 1.
AGREE_MM = 1e-4


def case(seed: int) -> tuple[Envelope, Room, Floats]:
    """Return a tank, seen by both sides, and points of a part."""
    rng = np.random.default_rng(seed)
    corner = box((1000.0, 600.0, 800.0)).vertices_mm
    if seed % 3:
        corner = settled(rng.normal(size=(8, 3)) * 400.0)
    if seed % 3 == 2:
        top = corner[:, 2].max() - 200.0
        low = corner[corner[:, 2] < top]
        corner = settled(np.vstack([low, low * [0.8, 0.8, 0.0] + [0.0, 0.0, top]]))
    points = rng.normal(size=(15, 3)) * [150.0, 60.0, 30.0]
    rules = RULES if seed % 3 == 0 else Rules(side_clearance_mm=5.0)
    envelope = envelope_of(tank_of(hulled(corner), rules))
    # The referee's room, in the order of the planes here, so that rows of both can be compared.
    room = Room(envelope.normals, envelope.offsets_mm, envelope.is_rim.astype(float), np.zeros((0, 0)))
    return envelope, room, points


@pytest.mark.parametrize("seed", range(24))
def test_least_tau_is_that_of_highs(seed: int) -> None:
    envelope, room, points = case(seed)
    rng = np.random.default_rng(100 + seed)
    turns = turned(rng.uniform(-1.5, 1.5, (4, 3)))
    rest = left(room, points, turns)
    rim = envelope.is_rim.astype(float)
    for gives in (np.ones(len(rim)), rim, np.maximum(envelope.normals[:, 0], 0.0)):
        if not gives.any():
            continue
        found = best_shift(envelope, rest, gives)
        for k, rotation in enumerate(turns):
            wanted = -spare_by_linprog(room, points, rotation, gives)
            if wanted > envelope.size_mm:
                # Farther than any shift that is looked at: the answer may only be larger.
                assert found.tau_mm[k] >= wanted - AGREE_MM
                continue
            assert found.tau_mm[k] == pytest.approx(wanted, abs=AGREE_MM)
            if math.isfinite(wanted):
                over = envelope.normals @ found.shift_mm[k] - rest[k] - gives * found.tau_mm[k]
                assert over.max() <= ROUNDING_MM
                weights = found.weights[k]
                assert weights.min() >= 0.0
                assert weights @ gives == pytest.approx(1.0)
                assert -(weights @ rest[k]) == pytest.approx(found.tau_mm[k], abs=1e-6)
                np.testing.assert_allclose(weights @ envelope.normals, 0.0, atol=1e-9)


def test_the_reference_room_agrees_with_a_box() -> None:
    envelope = envelope_of(tank_of(box((1000.0, 600.0, 800.0)), RULES))
    points = box((300.0, 200.0, 100.0)).vertices_mm
    room = room_of(box((1000.0, 600.0, 800.0)).vertices_mm, RULES)
    found = best_shift(envelope, left(room_like(envelope), points, np.eye(3)[None]), np.ones(6))
    assert found.tau_mm[0] == pytest.approx(-180.0)
    assert spare_by_linprog(room, points, np.eye(3)) == pytest.approx(180.0)


def room_like(envelope: Envelope) -> Room:
    return Room(envelope.normals, envelope.offsets_mm, envelope.is_rim.astype(float), np.zeros((0, 0)))


@pytest.mark.parametrize("seed", range(20))
def test_hung_low_rests_on_the_bottom_clearance_in_the_middle(seed: int) -> None:
    rng = np.random.default_rng(seed)
    envelope = envelope_of(tank_of(box((1000.0, 600.0, 800.0)), RULES))
    points = rng.normal(size=(12, 3)) * [120.0, 60.0, 30.0] + rng.normal(size=3) * 1000.0
    rotation = turned(rng.uniform(-1.5, 1.5, (1, 3)))
    shift = hung_low(envelope, left(room_like(envelope), points, rotation)[0])
    placed = points @ rotation[0].T + shift
    assert placed[:, 2].min() == pytest.approx(50.0, abs=ROUNDING_MM)
    for axis, middle in ((0, 500.0), (1, 300.0)):
        assert placed[:, axis].min() + placed[:, axis].max() == pytest.approx(2.0 * middle, abs=ROUNDING_MM)


@pytest.mark.parametrize("seed", range(20))
def test_hung_low_between_slopes(seed: int) -> None:
    """In a hopper it is as low as HiGHS can put it, keeps every plane, and has as much ahead as behind."""
    rng = np.random.default_rng(seed)
    lower = box((600.0, 300.0, 1.0), (200.0, 100.0, 0.0)).vertices_mm[:, :2]
    upper = box((1000.0, 500.0, 1.0)).vertices_mm[:, :2]
    corner = np.vstack([np.c_[lower, np.zeros(8)], np.c_[upper, np.full(8, 700.0)]])
    envelope = envelope_of(tank_of(hulled(corner), RULES))
    room = room_like(envelope)
    points = rng.normal(size=(12, 3)) * [100.0, 40.0, 20.0]
    rotation = turned(rng.uniform(-0.5, 0.5, (1, 3)))
    rest = left(room, points, rotation)[0]
    shift = hung_low(envelope, rest)
    assert (envelope.normals @ shift <= rest + ROUNDING_MM).all()
    rim = envelope.is_rim.astype(float)
    lowest = -spare_by_linprog(room, points, rotation[0], rim)
    height = -rest[envelope.is_rim][0] + shift[2]
    assert height == pytest.approx(lowest, abs=AGREE_MM)
    slope = envelope.normals[:, 1]
    free = rest - envelope.normals @ shift
    ahead = (free[slope > 0.1] / slope[slope > 0.1]).min()
    behind = (free[slope < -0.1] / -slope[slope < -0.1]).min()
    assert ahead == pytest.approx(behind, abs=ROUNDING_MM)


def test_many_at_once_are_as_each_alone() -> None:
    envelope, room, points = case(1)
    rest = left(room, points, turned(np.random.default_rng(0).uniform(-3.0, 3.0, (6, 3))))
    gives = np.ones(rest.shape[1])
    together = best_shift(envelope, rest, gives)
    for k in range(6):
        alone = best_shift(envelope, rest[[k]], gives)
        assert alone.tau_mm[0] == pytest.approx(together.tau_mm[k], abs=ROUNDING_MM)


def test_turning_everything_changes_nothing() -> None:
    corner = settled(np.random.default_rng(7).normal(size=(9, 3)) * 300.0)
    points = np.random.default_rng(8).normal(size=(9, 3)) * 100.0
    taus = []
    for whole in (np.eye(3), turn(2), turn(3)):
        moved = corner @ whole.T
        envelope = envelope_of(tank_of(hulled(settled(moved))))
        rest = left(room_like(envelope), points, (whole @ turn(5))[None])
        taus.append(float(best_shift(envelope, rest, np.ones(rest.shape[1])).tau_mm[0]))
    assert taus == pytest.approx([taus[0]] * 3, abs=1e-6)
