"""The least box around a part, against closed forms and against rotations tried at random."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from strategies.solids import box, hulled, part_of, turn

from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.least_box import extents, least_box
from fitcheck.geometry.rotations.rotation_cells import Allowed
from fitcheck.questions.passes.ask import passes
from fitcheck.questions.tank_for.answer import TankForAnswer
from fitcheck.questions.tank_for.ask import _cage, tank_for
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Attitude
from fitcheck.things.pose import Angles
from fitcheck.things.tank import Rules, Tank
from fitcheck.words.errors import Refused

RULES = Rules(
    side_clearance_mm=25.0, bottom_clearance_mm=50.0, cover_mm=50.0, freeboard_mm=100.0, tape_tank_mm=2.0
)
EVERY = Allowed(np.array([-math.pi / 4, 0.0, -math.pi]), np.array([math.pi / 4, math.pi / 2, math.pi]))
NO_ROOM = np.zeros(3)


@pytest.fixture(scope="module")
def kit() -> TankForAnswer:
    parts = [
        part_of(box((900.0, 200.0, 50.0)), name="rail"),
        part_of(box((400.0, 300.0, 200.0)), name="chest"),
        part_of(box((300.0, 100.0, 50.0)), name="step"),
    ]
    return tank_for(parts, RULES)


def test_a_turned_box_is_found_as_it_lies() -> None:
    # No box around a box is smaller than itself: its volume is a lower bound for any that holds it.
    points = ActivePoints(box((300.0, 200.0, 100.0)).vertices_mm @ turn(3).T)
    found = least_box(points, _cage(points), EVERY, NO_ROOM, gap=0.01)
    assert found.volume_mm3 == pytest.approx(300.0 * 200.0 * 100.0, rel=0.011)
    assert found.at_least_mm3 <= 300.0 * 200.0 * 100.0


def test_a_regular_tetrahedron_lies_in_a_cube() -> None:
    # The least box around a regular tetrahedron of edge a is the cube of side a / sqrt(2) (face diagonals).
    corners = np.array([[0, 0, 0], [1, 1, 0], [1, 0, 1], [0, 1, 1]]) * 100.0 @ turn(5).T
    points = ActivePoints(hulled(corners).vertices_mm)
    found = least_box(points, _cage(points), EVERY, NO_ROOM, gap=0.02)
    assert found.at_least_mm3 <= 1e6 <= found.volume_mm3 * (1.0 + 1e-9)
    assert found.volume_mm3 <= 1e6 * 1.021


def test_a_part_that_may_not_be_swung_has_a_tank_turned_with_it() -> None:
    # Deeper than long: the tank's length goes along its width, and the look at it must swing it as well.
    held = replace(part_of(box((200.0, 700.0, 300.0)), name="hatch"), attitude=Attitude(0.0, 0.0, 0.0))
    found = tank_for([held], RULES)
    assert found.tanks[0].inside_mm[0] > 700.0
    assert found.checked == (("hatch", "fits"),)


def test_a_part_flatter_than_its_cover_has_a_tank() -> None:
    # Half of it and half the overlap are less than the cover: no tank is that shallow.
    part = replace(part_of(box((900.0, 200.0, 20.0)), name="lid"), attitude=Attitude(0.0, 0.0, 0.0))
    rules = replace(RULES, bottom_clearance_mm=0.0, cover_mm=57.0, overlap_mm=40.0)
    answer = tank_for([part], rules)
    assert answer.checked == (("lid", "fits"),)
    assert answer.in_two is None or answer.in_two.level_mm > 57.0


def test_no_rotation_tried_is_under_the_bound() -> None:
    random = np.random.default_rng(4)
    points = ActivePoints(hulled(random.normal(size=(12, 3)) * [300.0, 100.0, 50.0]).vertices_mm)
    added = np.array([52.0, 52.0, 102.0])
    found = least_box(points, _cage(points), EVERY, added, gap=0.02)
    tries = random.uniform(EVERY.low_rad, EVERY.high_rad, (20_000, 3))
    sizes = (extents(points, _cage(points), tries) + added).prod(axis=1)
    assert sizes.min() >= found.at_least_mm3
    assert found.volume_mm3 <= sizes.min() * 1.02


def test_one_part_has_its_tank_and_the_proof() -> None:
    # A block stood or laid: of its three ways up the one with least plan times level, tape and clearances kept.
    part = part_of(box((600.0, 200.0, 100.0)), name="b")
    answer = tank_for([part], RULES)
    ways = [(600, 200, 100), (600, 100, 200), (200, 100, 600)]
    least = min((x + 52.0) * (y + 52.0) * (z + 102.0) for x, y, z in ways) / 1e6
    tank = answer.tanks[0]
    assert answer.at_least_l <= least * (1.0 + 1e-9)
    assert answer.at_least_l >= least * 0.99
    assert tank.liquid_l == pytest.approx(least, rel=0.01)
    assert answer.checked == (("b", "fits"),)


def test_two_passes_take_half_the_height_and_half_the_overlap() -> None:
    # Straight down and, turned end for end, down again: each time (z + overlap) / 2 is under, over the floor's
    # clearance; the tapes may put each off by 1 mm.
    rules = replace(RULES, overlap_mm=20.0)
    part = part_of(box((600.0, 200.0, 100.0)), name="b")
    answer = tank_for([part], rules)
    ways = [(600, 200, 100), (600, 100, 200), (200, 100, 600)]
    least = min((x + 52.0) * (y + 52.0) * ((z + 22.0) / 2.0 + 52.0) for x, y, z in ways) / 1e6
    assert answer.in_two is not None
    assert answer.in_two.liquid_l == pytest.approx(least, rel=0.01)
    assert answer.in_two.liquid_l < answer.tanks[0].liquid_l
    assert answer.in_two_passes == (("b", 2),)
    # The two passes hold as the sides lie, and a little less liquid does not do so.
    for short_mm, verdict in ((0.0, "fits"), (6.0, "not found")):
        length, width, depth = answer.in_two.inside_mm
        size = (width, length, depth - short_mm)
        tank = Tank("new", box(size), size, Liquid("any"), rules)
        assert passes(part, tank, Angles(math.pi / 2.0, 0.0, 0.0)).verdict == verdict


def test_a_part_that_may_not_be_turned_over_is_not_told_to_be() -> None:
    part = replace(part_of(box((600.0, 200.0, 100.0)), name="b"), attitude=Attitude(0.0, 0.0, 0.0))
    answer = tank_for([part], RULES)
    assert answer.in_two is None
    assert answer.in_two_passes == ()


def test_a_list_is_taken_whole_and_fewer_parts_take_less(kit: TankForAnswer) -> None:
    assert set(kit.tanks[0].takes) == {"rail", "chest", "step"}
    assert all(verdict == "fits" for _, verdict in kit.checked)
    litres = [tank.liquid_l for tank in kit.tanks]
    assert litres == sorted(litres, reverse=True)
    assert [len(tank.takes) for tank in kit.tanks] == sorted((len(t.takes) for t in kit.tanks), reverse=True)
    assert kit.at_least_l == max(litre for _, litre in kit.proven_parts)
    assert litres[0] >= kit.at_least_l


def test_panels_make_the_tank(kit: TankForAnswer) -> None:
    tank = kit.tanks[0]
    length, width, depth = tank.inside_mm
    floor, side, end = tank.panels
    board = (side.size_mm[0] - length) / 2.0
    assert floor.size_mm == pytest.approx((length + 2 * board, width + 2 * board))
    assert end.size_mm == pytest.approx((width, depth))
    assert depth == pytest.approx(tank.level_mm + RULES.freeboard_mm)


def test_no_part_is_refused() -> None:
    with pytest.raises(Refused):
        tank_for([], RULES)
