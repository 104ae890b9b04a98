"""What blocks cannot fill beside an outline: the bound against boxes that fill all they can, at any angle."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from shapely import MultiPoint, Polygon, affinity, intersection, union_all
from shapely import box as rectangle

from fitcheck.geometry.plan.least_plan_area import Shadow
from fitcheck.geometry.plan.slots import Slots
from fitcheck.shapes.block import block
from fitcheck.things.solid import Floats

UP = np.array([0.0, 0.0, 1.0])
TANK = Slots(1200.0, 600.0, 6.0, 25.0, 25.0, 100.0, 76.0)


def filled(tank: Slots, grown: Polygon, turn: float) -> Polygon:
    """All that boxes with sides of `thinnest` or more, at one angle, can cover clear of a convex outline.

    A box can be covered by squares of its least side. The middles of squares clear of the outline are the
    room for squares less the outline widened by one; outside each edge of that they are convex.
    """
    half = tank.thinnest_mm / 2.0
    square = affinity.rotate(rectangle(-half, -half, half, half), turn)
    inset = tank.gap_mm + half * (abs(math.cos(math.radians(turn))) + abs(math.sin(math.radians(turn))))
    room = rectangle(inset, inset, tank.long_mm - inset, tank.wide_mm - inset)
    barred = np.array(_sum(grown, square).exterior.coords)
    if Polygon(barred).exterior.is_ccw:
        barred = barred[::-1]
    pieces = []
    for one, other in itertools.pairwise(barred):
        along = (other - one) / np.linalg.norm(other - one)
        out = np.array([-along[1], along[0]])
        far = 5000.0
        beyond = Polygon(
            [one - far * along, one + far * along, one + far * (along + out), one + far * (out - along)]
        )
        each = intersection(room, beyond)
        if each.area > 0.0:
            pieces.append(_sum(each, square))
    return union_all(pieces)


def _sum(one: Polygon, other: Polygon) -> Polygon:
    a, b = (np.array(each.exterior.coords)[:-1] for each in (one, other))
    return MultiPoint((a[:, None, :] + b[None, :, :]).reshape(-1, 2)).convex_hull


def prism(outline: Floats, height_mm: float) -> Shadow:
    return Shadow.of(
        np.vstack([np.column_stack([outline, np.full(len(outline), z)]) for z in (0.0, height_mm)])
    )


def least_liquid(tank: Slots, outline: Polygon, height_mm: float, turn: float) -> float:
    """Liquid and part where boxes fill all they can, at one angle and square, and parts fill the rest."""
    # Corners of the arcs a hair outside them.
    grown = outline.buffer(tank.clear_mm / math.cos(math.pi / 40.0), quad_segs=10)
    boxes = union_all([filled(tank, grown, 0.0), filled(tank, grown, turn)])
    side = tank.side_mm
    others = rectangle(side, side, tank.long_mm - side, tank.wide_mm - side).difference(
        union_all([grown, boxes])
    )
    level = tank.base_mm + height_mm
    return float(level * (tank.long_mm * tank.wide_mm - boxes.area) - height_mm * others.area)


@pytest.mark.parametrize("seed", range(30))
def test_no_boxes_and_parts_leave_less_than_the_bound(seed: int) -> None:
    """Outlines in a corner or anywhere, with slots just too narrow for a block, just wide enough, or any."""
    rng = np.random.default_rng(seed)
    height = float(rng.uniform(10.0, 200.0))
    gap, thinnest = float(rng.uniform(2.0, 24.0)), float(rng.uniform(40.0, 140.0))
    tank = Slots(1200.0, 600.0, gap, 25.0, 25.0, 100.0, thinnest)
    slot = gap + thinnest * float(
        [rng.uniform(0.9, 0.999), rng.uniform(1.001, 1.08), rng.uniform(0.5, 2.0)][seed % 3]
    )
    # Along the tank, or from end to end of it.
    size = (
        (float(rng.uniform(850.0, 1149.0)), 550.0 - slot)
        if seed % 2
        else (1150.0 - slot, float(rng.uniform(100.0, 500.0)))
    )
    outline = rectangle(0.0, 0.0, *size)
    if seed % 6 == 2:
        outline = MultiPoint(rng.uniform(0.0, 1.0, (9, 2)) * size).convex_hull
    bound = tank.at_least_mm3(prism(np.array(outline.exterior.coords)[:-1], height), UP, 0.0, height)
    outline = affinity.rotate(outline, float(rng.choice([0.0, 0.0, 0.0, rng.uniform(-2.0, 2.0)])))
    x0, y0, x1, y1 = outline.bounds
    free = np.maximum([1150.0 - (x1 - x0), 550.0 - (y1 - y0)], 0.0)
    at = 25.0 + free * rng.choice([0.0, 1.0, 1.0, float(rng.uniform())], 2) - [x0, y0]
    placed = affinity.translate(outline, *at)
    for turn in (15.0, 45.0):
        assert bound <= least_liquid(tank, placed, height, turn)


def test_a_tray_leaves_slots_that_no_block_fills() -> None:
    """Beside it 55 mm, of which other parts may take 30; beyond it room for one block."""
    shadow, level = prism(np.array([[0.0, 0.0], [914.0, 0.0], [914.0, 495.0], [0.0, 495.0]]), 38.0), 138.0
    bound = TANK.at_least_mm3(shadow, UP, 0.0, 38.0)
    beyond = 1200.0 - (914.0 + 50.0)
    want = level * (1200.0 * 600.0 - (beyond - 6.0) * 588.0) - 38.0 * 30.0 * (914.0 + 50.0)
    assert 0.98 * want <= bound <= want
    # With blocks of any width, or where the slots are wide enough for them, no more is told than is known.
    thin = Slots(1200.0, 600.0, 6.0, 25.0, 25.0, 100.0, 1.0)
    wide = Slots(1200.0, 700.0, 6.0, 25.0, 25.0, 100.0, 76.0)
    assert thin.at_least_mm3(shadow, UP, 0.0, 38.0) < 0.95 * bound
    assert wide.at_least_mm3(shadow, UP, 0.0, 38.0) < bound


def test_a_part_without_room_has_no_least_and_a_known_bound_comes_back() -> None:
    long = Shadow.of(block((1190.0, 500.0, 30.0)).solid.vertices_mm)
    assert TANK.at_least_mm3(long, UP, 0.0, 30.0) == math.inf
    tray = Shadow.of(block((900.0, 500.0, 30.0)).solid.vertices_mm)
    assert TANK.at_least_mm3(tray, UP, 0.0, 30.0, 1e12) == 1e12
    # Too wide an angle tells nothing.
    assert TANK.at_least_mm3(tray, UP, 0.2, 30.0, 7.0) == 7.0
    assert not TANK.may_be(Shadow.of(block((300.0, 200.0, 30.0)).solid.vertices_mm))


@pytest.mark.parametrize("seed", range(6))
def test_the_bound_within_an_angle_holds_for_every_direction_in_it(seed: int) -> None:
    rng = np.random.default_rng(seed)
    shadow = Shadow.of(block((rng.uniform(700.0, 1000.0), rng.uniform(440.0, 520.0), 40.0)).solid.vertices_mm)
    within = float(rng.uniform(0.001, 0.01))
    bound = TANK.at_least_mm3(shadow, UP, within, 40.0)
    assert bound > 0.0
    for way in np.linspace(0.0, 2.0 * math.pi, 12, endpoint=False).tolist():
        aside = np.array([math.cos(way), math.sin(way), 0.0])
        up = math.cos(within) * UP + math.sin(within) * aside
        assert bound <= TANK.at_least_mm3(shadow, up, 0.0, 40.0) * (1.0 + 1e-9)
