"""Where a part may go beside what stands in a tank."""

from __future__ import annotations

import numpy as np
import pytest
from referee import settled
from solids import box, hulled, tank_of, turn

from fitcheck.geometry.envelope import Envelope, envelope_of
from fitcheck.questions.bays import MOST_BAYS, bays
from fitcheck.things.solid import Floats, Solid
from fitcheck.things.tank import Rules, Tank

INSIDE = box((1000.0, 600.0, 500.0))
RULES = Rules(side_clearance_mm=10.0, bottom_clearance_mm=20.0, freeboard_mm=50.0)


def behind(bay: Envelope, points: Floats) -> Floats:
    """Return which points lie behind every plane of a bay."""
    return np.asarray((points @ bay.normals.T <= bay.offsets_mm + 1e-9).all(axis=1))


def apart(solid: Solid, points: Floats) -> Floats:
    """Return a lower bound of the distance of points from a convex solid: to its planes, from scipy's hull."""
    from scipy.spatial import ConvexHull

    planes = ConvexHull(solid.vertices_mm).equations
    return np.asarray((points @ planes[:, :3].T + planes[:, 3]).max(axis=1))


def random_points(tank: Tank) -> Floats:
    return np.random.default_rng(1).uniform(0.0, tank.size_mm, (4000, 3))


def test_an_empty_tank_is_one_bay() -> None:
    tank = tank_of(INSIDE, RULES)
    outer = envelope_of(tank)
    assert bays(tank, outer) == (outer,)


@pytest.mark.parametrize(
    "thing",
    [
        box((300.0, 200.0, 250.0)),
        box((100.0, 100.0, 500.0), (450.0, 250.0, 0.0)),
        hulled(settled(box((300.0, 200.0, 250.0)).vertices_mm @ turn(3).T) + [200.0, 100.0, 0.0]),
    ],
)
def test_bays_keep_clear_of_the_thing_and_leave_out_nothing_else(thing: Solid) -> None:
    tank = tank_of(INSIDE, RULES, thing=thing)
    outer = envelope_of(tank)
    points = random_points(tank)
    found = np.array([behind(bay, points) for bay in bays(tank, outer)])
    clear = apart(thing, points) >= 10.0
    assert not (found & ~clear).any(), "a bay reaches into the clearance of the thing"
    assert not (found & ~behind(outer, points)).any()
    # A point that is clear of some face of the thing by the clearance is in the bay of that face, where a ball
    # of any size goes into that bay.
    missed = behind(outer, points) & clear & ~found.any(axis=0)
    assert missed.mean() < 0.01
    assert found.any(axis=0).mean() > 0.3


def test_bays_of_two_things_keep_clear_of_both() -> None:
    left, right = box((200.0, 600.0, 200.0)), box((150.0, 300.0, 500.0), (850.0, 0.0, 0.0))
    tank = tank_of(INSIDE, RULES, left=left, right=right)
    points = random_points(tank)
    found = bays(tank, envelope_of(tank))
    assert 2 <= len(found) <= MOST_BAYS
    for bay in found:
        within = points[behind(bay, points)]
        assert apart(left, within).min(initial=99.0) >= 10.0
        assert apart(right, within).min(initial=99.0) >= 10.0


def test_the_roomiest_comes_first() -> None:
    """A block at one end leaves 680 mm beside it and 210 mm over it, all clearances kept."""
    tank = tank_of(INSIDE, RULES, block=box((300.0, 600.0, 230.0)))
    found = bays(tank, envelope_of(tank))
    spans = [np.array([found[0].offsets_mm[found[0].normals[:, 0] < -0.5].min()])]
    assert -spans[0][0] == pytest.approx(310.0)
    over = found[1].offsets_mm[found[1].normals[:, 2] < -0.5].min()
    assert -over == pytest.approx(240.0)


def test_many_things_leave_no_more_than_the_roomiest_bays() -> None:
    posts = {f"post {k}": box((20.0, 20.0, 500.0), (100.0 + 160.0 * k, 290.0, 0.0)) for k in range(6)}
    tank = tank_of(INSIDE, RULES, **posts)
    found = bays(tank, envelope_of(tank))
    assert 0 < len(found) <= MOST_BAYS
    for bay in found:
        for post in posts.values():
            assert not behind(bay, post.vertices_mm.mean(axis=0)[None])[0]


def test_a_thing_that_fills_the_tank_leaves_no_bay() -> None:
    tank = tank_of(INSIDE, RULES, thing=box((980.0, 580.0, 480.0), (10.0, 10.0, 0.0)))
    assert bays(tank, envelope_of(tank)) == ()
