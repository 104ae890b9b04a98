"""Which rotations are left out, and that each that is left out repeats one that is not."""

from __future__ import annotations

import math

import numpy as np
import pytest
from oracles.referee import room_of, settled, spares, turned
from strategies.solids import box, hulled, lathe, tank_of, turn

from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.envelope import envelope_of
from fitcheck.geometry.rotations.rotation_cells import Allowed
from fitcheck.geometry.rotations.rotation_symmetry import allowed, fold, held
from fitcheck.things.part import Attitude
from fitcheck.things.pose import Angles, angles_from
from fitcheck.things.solid import Floats

HALF, QUARTER = math.pi, math.pi / 2.0
BOX = box((900.0, 700.0, 500.0)).vertices_mm
SHAFT = box((500.0, 700.0, 900.0)).vertices_mm
# A box with one end leaning in by 400 mm.
LEANING = BOX - [400.0, 0.0, 0.0] * (BOX[:, [0]] > 0.0) * (BOX[:, [2]] > 0.0)
SKEW = settled(BOX @ turn(6).T)
ODD = np.random.default_rng(3).normal(size=(14, 3)) * [300.0, 80.0, 40.0]
ATTITUDES = (
    Attitude(),
    Attitude(swing_rad=0.4),
    Attitude(swing_rad=2.5),
    Attitude(tilt_rad=0.3, swing_rad=1.0),
    Attitude(roll_rad=0.6),
    Attitude(tilt_rad=0.0, roll_rad=0.0),
)


def along_x(sides: int, length: float = 800.0, radius: float = 50.0) -> Floats:
    """Return the corners of a prism along x that is the same after a `sides`-th of a turn."""
    return lathe([[radius, 0.0], [radius, length]], sides).vertices_mm[:, [2, 0, 1]]


def drawn(attitude: Attitude, count: int) -> Floats:
    """Return random angles within an attitude, swing, tilt, roll, the ends among them."""
    limits = np.array([attitude.swing_rad, attitude.tilt_rad, attitude.roll_rad])
    steps = np.random.default_rng(12).uniform(-1.0, 1.0, (count, 3))
    steps[: count // 5] = np.sign(steps[: count // 5])
    return steps * limits


def partners(angles: Floats, folds: int) -> Floats:
    """Return every rotation, as angles, that looks the same to an upright box tank and a part of so many folds.

    A box is the same after half a turn about any of its axes; what is meant is tank turn . R . part turn.
    """
    tank = np.array(
        [np.eye(3), np.diag([1.0, -1.0, -1.0]), np.diag([-1.0, 1.0, -1.0]), np.diag([-1.0, -1.0, 1.0])]
    )
    part = turned(np.outer(np.arange(folds) * 2.0 * HALF / folds, [0.0, 0.0, 1.0]))
    same = tank[:, None] @ turned([angles])[0] @ part[None]
    found = [angles_from(one) for one in same.reshape(-1, 3, 3)]
    return np.array([[one.swing_rad, one.tilt_rad, one.roll_rad] for one in found])


def inside(angles: Floats, turns: Allowed) -> Floats:
    """Return which of the angles lie within; rounding of an angle from a matrix forgiven."""
    return np.asarray(((angles >= turns.low_rad - 1e-9) & (angles <= turns.high_rad + 1e-9)).all(axis=1))


@pytest.mark.parametrize("attitude", ATTITUDES)
@pytest.mark.parametrize("corners", [BOX, SHAFT, SKEW, LEANING])
def test_limits_are_kept(attitude: Attitude, corners: Floats) -> None:
    turns = allowed(attitude, ActivePoints(ODD), envelope_of(tank_of(hulled(corners))))
    limits = np.array([attitude.swing_rad, attitude.tilt_rad, attitude.roll_rad])
    assert (turns.low_rad >= -limits).all()
    assert (turns.high_rad <= limits).all()
    assert (turns.low_rad <= turns.high_rad).all()


@pytest.mark.parametrize("attitude", ATTITUDES)
@pytest.mark.parametrize("sides", [1, 3, 4, 6, 72])
@pytest.mark.parametrize("corners", [BOX, SHAFT])
def test_what_is_left_out_repeats_what_is_not(attitude: Attitude, sides: int, corners: Floats) -> None:
    """In a box tank, by exact extents: the partner inside has the very same spare."""
    points = ActivePoints(ODD if sides == 1 else along_x(sides))
    turns = allowed(attitude, points, envelope_of(tank_of(hulled(corners))))
    room = room_of(corners)
    for angles in drawn(attitude, 30):
        others = partners(angles, max(sides, 1))
        within = others[inside(others, turns)]
        assert len(within), f"{angles} has no like inside {turns.low_rad} .. {turns.high_rad}"
        both = spares(room, points.all_mm, turned(np.vstack([angles, within[:1]])))
        assert both[0] == pytest.approx(both[1], abs=1e-6)


@pytest.mark.parametrize("corners", [BOX, SHAFT])
def test_a_box_saves_three_quarters_and_a_round_part_more(corners: Floats) -> None:
    """If nothing were left out, the test above would say nothing."""

    def size(turns: Allowed) -> float:
        return float(np.prod(turns.high_rad - turns.low_rad))

    whole = 4.0 * HALF**3
    tank = envelope_of(tank_of(hulled(corners)))
    odd = size(allowed(Attitude(), ActivePoints(ODD), tank))
    assert odd == pytest.approx(whole / 4.0)
    assert size(allowed(Attitude(), ActivePoints(along_x(72)), tank)) == pytest.approx(odd / 72.0)


@pytest.mark.parametrize("attitude", ATTITUDES)
@pytest.mark.parametrize("corners", [SKEW, LEANING])
def test_in_a_tank_that_is_no_box_only_the_part_may_repeat(attitude: Attitude, corners: Floats) -> None:
    turns = allowed(attitude, ActivePoints(ODD), envelope_of(tank_of(hulled(corners))))
    limits = np.array([attitude.swing_rad, attitude.tilt_rad, attitude.roll_rad])
    np.testing.assert_allclose(turns.high_rad, limits)
    np.testing.assert_allclose(turns.low_rad, -limits)


@pytest.mark.parametrize("corners", [SKEW, LEANING])
def test_a_box_symmetry_would_be_wrong_there(corners: Floats) -> None:
    """The reason for the test above: half a turn changes the spare in a tank that is no upright box."""
    angles = np.array([[0.3, 0.4, 0.5], [0.3 + HALF, 0.4, 0.5], [-0.3, -0.4, 0.5 + HALF]])
    three = spares(room_of(corners), ODD, turned(angles))
    assert np.ptp(three) > 1.0


@pytest.mark.parametrize("sides", [3, 4, 5, 6, 8, 9, 12, 18, 24, 36, 72])
def test_folds_of_prisms(sides: int) -> None:
    found = fold(ActivePoints(along_x(sides)))
    # An odd prism is drawn about the middle of its extents, not about its own axis: no symmetry is claimed.
    assert found == (sides if sides % 2 == 0 else 1)


def test_nearly_round_is_not_round() -> None:
    points = along_x(12)
    points[0] *= 1.0 + 1e-9
    assert fold(ActivePoints(points)) == 1
    assert fold(ActivePoints(ODD)) == 1
    assert fold(ActivePoints(box((300.0, 20.0, 10.0)).vertices_mm)) == 2


def test_held_is_one_rotation() -> None:
    turns = held(Angles(tilt_rad=0.1, roll_rad=0.2, swing_rad=0.3))
    np.testing.assert_array_equal(turns.low_rad, [0.3, 0.1, 0.2])
    np.testing.assert_array_equal(turns.high_rad, turns.low_rad)
