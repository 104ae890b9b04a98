"""Rotations written in two charts: every one is in one or another, and none is looked at near upright."""

from __future__ import annotations

import math

import numpy as np
import pytest
from strategies.solids import bumpy, turn

from fitcheck.geometry.convex.convex_bodies import bodies_of, with_axes
from fitcheck.geometry.rotations.rotation_cells import Allowed, rotations
from fitcheck.geometry.rotations.rotation_charts import AS_DRAWN, Chart, charts_of
from fitcheck.geometry.rotations.rotation_symmetry import all_allowed
from fitcheck.proving.rotation_cover import on_end_too
from fitcheck.things.part import Attitude
from fitcheck.things.pose import angles_from
from fitcheck.things.solid import Floats

EVERY = all_allowed(Attitude())


def angles_in(chart: Chart, rotation: Floats) -> Floats:
    """Return (swing, tilt, roll) of a rotation in a chart."""
    told = angles_from(rotation @ chart.axes.T)
    return np.array([told.swing_rad, told.tilt_rad, told.roll_rad])


def holds(turns: Allowed, angles: Floats) -> bool:
    return bool((turns.low_rad <= angles).all() and (angles <= turns.high_rad).all())


def test_every_rotation_is_in_one_chart_or_another_and_far_from_upright_there() -> None:
    """Any rotations, and others within a thousandth of a radian of standing on end, either end up."""
    some = [turn(seed) for seed in range(400)]
    random = np.random.default_rng(7)
    for end in (-1.0, 1.0):
        near = np.column_stack(
            [
                random.uniform(-math.pi, math.pi, 200),
                end * (math.pi / 2.0 - random.uniform(0.0, 1e-3, 200)),
                random.uniform(-math.pi, math.pi, 200),
            ]
        )
        some += list(rotations(near))
    charts, in_both = charts_of(EVERY), 0
    for rotation in some:
        found = [holds(turns, angles_in(chart, rotation)) for chart in charts for turns in chart.turns]
        assert any(found)
        in_both += sum(found) - 1
        lengthwise_rise = abs(math.asin(np.clip(rotation[2, 0], -1.0, 1.0)))
        assert found[0] == (lengthwise_rise <= math.pi / 4.0)
    assert 0 < in_both < 0.15 * 400
    assert all(abs(turns.high_rad[1]) <= math.pi / 4.0 for chart in charts for turns in chart.turns)


def test_what_is_looked_at_is_what_the_check_asks_for() -> None:
    """Two lists of boxes, written apart: by the search and by the check."""
    asked = on_end_too()
    for chart, boxes in zip(charts_of(EVERY), asked, strict=True):
        mine = sorted((*turns.low_rad, *turns.high_rad) for turns in chart.turns)
        theirs = sorted((*low, *high) for low, high in boxes)
        assert np.allclose(mine, theirs, rtol=0.0, atol=1e-15)


@pytest.mark.parametrize("attitude", [Attitude(1.5), Attitude(roll_rad=3.0), Attitude(swing_rad=0.1)])
def test_where_not_every_rotation_is_allowed_there_is_one_chart(attitude: Attitude) -> None:
    """A second one would hold rotations that are not allowed."""
    allowed = all_allowed(attitude)
    (chart,) = charts_of(allowed)
    assert chart.as_drawn
    assert chart.turns == (allowed,)


def test_a_pose_keeps_its_place_from_chart_to_chart() -> None:
    for chart in charts_of(EVERY):
        poses = np.random.default_rng(3).uniform(-0.7, 0.7, (20, 6))
        there = chart.poses_as_drawn(poses)
        assert np.allclose(rotations(poses[:, :3]) @ chart.axes, rotations(there[:, :3]), atol=1e-12)
        assert (there[:, 3:] == poses[:, 3:]).all()


def test_bodies_with_other_axes_are_those_of_the_turned_points() -> None:
    axes = charts_of(EVERY)[1].axes
    assert np.allclose(axes @ axes.T, np.eye(3))
    assert np.linalg.det(axes) == pytest.approx(1.0)
    points = bumpy(3).vertices_mm
    pieces = (points, points[:9] + [100.0, 0.0, 50.0])
    named, made = with_axes(bodies_of(pieces), axes), bodies_of(tuple(each @ axes.T for each in pieces))
    for one, other in (
        (named.corners, made.corners),
        (named.normals, made.normals),
        (named.edges, made.edges),
    ):
        # A direction and its opposite are one.
        assert {tuple(np.round(np.abs(row), 6)) for row in one} == {
            tuple(np.round(np.abs(row), 6)) for row in other
        }
    for one, other in ((named.centre, made.centre), (named.radius, made.radius), (named.far, made.far)):
        assert np.allclose(one, other)
    assert np.allclose(named.short, made.short)
    assert not np.allclose(named.short, bodies_of(pieces).short)
    same = with_axes(bodies_of(pieces), AS_DRAWN)
    assert np.array_equal(same.short, bodies_of(pieces).short)
