"""How the surface rises as a part is let down: the ends are what fill says, and between them nothing is lost."""

from __future__ import annotations

import numpy as np
import pytest
from strategies.solids import box, hulled, part_of, tank_of, turn

from fitcheck.geometry.liquid.fill_level import fill_at, room_for_liquid
from fitcheck.geometry.liquid.waterline import Waterline
from fitcheck.questions.dip.lowering import lowering
from fitcheck.things.pose import Pose

TANK = tank_of(box((2000.0, 800.0, 900.0)), post=box((200.0, 200.0, 900.0), (1700.0, 500.0, 0.0)))


def test_a_block_let_down_by_hand() -> None:
    """400 x 400 x 300 mm of water's room in a tank of 2000 x 800 mm less 200 x 200: displaced over plan."""
    part, pose = (
        part_of(box((400.0, 400.0, 300.0))),
        Pose("tank", "part", np.eye(3), np.array([100.0, 100.0, 50.0])),
    )
    plan = 2000.0 * 800.0 - 200.0 * 200.0
    liquid_mm3 = plan * 500.0 - 400.0 * 400.0 * 300.0
    steps = lowering(part, pose, TANK, liquid_mm3 / 1e6)
    before = liquid_mm3 / plan
    assert steps[0].raised_mm == 900.0
    assert steps[0].level_mm == pytest.approx(before, abs=1e-6)
    assert steps[-1].raised_mm == 0.0
    assert steps[-1].level_mm == pytest.approx(500.0, abs=1e-6)
    for step in steps:
        # Half under: the level z solves plan z - 400 400 (z - bottom) = liquid.
        bottom = step.raised_mm + 50.0
        dipping = (liquid_mm3 - 400.0 * 400.0 * bottom) / (plan - 400.0 * 400.0)
        level = min(max(before, dipping), 500.0)
        assert step.level_mm == pytest.approx(level, abs=1e-6)


@pytest.mark.parametrize("seed", range(5))
def test_the_liquid_is_the_same_all_the_way_down(seed: int) -> None:
    rng = np.random.default_rng(seed)
    part = part_of(hulled(rng.uniform(0.0, 500.0, (20, 3))))
    rotation = turn(seed)
    low = (part.solid.vertices_mm @ rotation.T).min(axis=0)
    pose = Pose("tank", "part", rotation, np.array([300.0, 50.0, 60.0]) - low)
    done = fill_at(part, pose, TANK, 880.0, air_l=3.0)
    steps = lowering(part, pose, TANK, done.liquid_l, air_l=3.0)
    assert steps[-1].level_mm == pytest.approx(done.level_mm, abs=1e-5)
    assert steps[0].level_mm == pytest.approx(done.level_before_mm, abs=1e-5)
    levels = [step.level_mm for step in steps]
    assert levels == sorted(levels)
    room, body = room_for_liquid(TANK), Waterline.of(pose.apply(part.skin.vertices_mm), part.skin.triangles)
    swell = 1.0 + 3e6 / body.volume_mm3
    for step in steps:
        held = room.volume_below_mm3(step.level_mm) - swell * body.volume_below_mm3(
            step.level_mm - step.raised_mm
        )
        assert held == pytest.approx(done.liquid_l * 1e6, rel=1e-9)
