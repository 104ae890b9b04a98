"""Legs of a sling, how a slung part settles, the middle of what a part holds, and the sag of a beam."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st
from strategies.solids import turn

from fitcheck.geometry.liquid.pockets import UPSIDE_DOWN, Vessel
from fitcheck.geometry.liquid.pool_centre import moments_of
from fitcheck.geometry.statics.beam import Beam, droop_mm, section_at, weakest_mm4
from fitcheck.geometry.statics.sling_statics import (
    Hung,
    below_mm,
    held_up,
    hook_height_mm,
    plan,
    settled,
    spread_mm,
    tensions_n,
    unit,
)
from fitcheck.shapes.catalogue import build
from fitcheck.shapes.holes import Hole, drilled
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.solid import Floats

UPRIGHT = np.array([0.0, 0.0, 1.0])
LOAD_N = 1000.0


def two_legs(out: tuple[float, float], height: float) -> Floats:
    """Return the pulls of two legs whose picks are so far left and right of the hook, so far under it."""
    picks = np.array([[-out[0], 0.0, 0.0], [out[1], 0.0, 0.0]])
    hung = Hung(UPRIGHT, np.array([0.0, 0.0, height]))
    return tensions_n(picks, hung, LOAD_N)


places = st.floats(-2000.0, 2000.0, allow_nan=False)
points = st.tuples(places, places, places).map(np.array)


@st.composite
def slings(draw: st.DrawFn, fewest: int = 1, most: int = 3) -> tuple[Floats, Floats, Floats]:
    """Return picks, a hook and the load's point, none of them a hair apart."""
    picks = np.array(draw(st.lists(points, min_size=fewest, max_size=most)))
    hook, at = draw(points), draw(points)
    every = np.vstack([picks, hook, at])
    gaps = np.linalg.norm(every[:, None] - every[None], axis=2)[np.triu_indices(len(every), 1)]
    assume(gaps.min() > 1.0)
    if len(picks) == 2:
        assume(_off_line(picks, at) > 1.0)
    return picks, hook, at


def _off_line(picks: Floats, point: Floats) -> float:
    along = unit(picks[1] - picks[0])
    return float(np.linalg.norm(np.cross(point - picks[0], along)))


@given(slings())
@example((np.array([[1.0, 2.0, 3.0]]), np.array([5.0, 5.0, 50.0]), np.zeros(3)))
def test_settled_it_is_in_balance(case: tuple[Floats, Floats, Floats]) -> None:
    """Forces and moments sum to zero, whatever the picks and the load, with legs as long as they were."""
    picks, hook, at = case
    then = settled(picks, hook, at)
    assert np.linalg.norm(then.hook_mm - picks, axis=1) == pytest.approx(
        np.linalg.norm(hook - picks, axis=1), rel=1e-9
    )
    along = then.hook_mm - picks
    directions = along / np.linalg.norm(along, axis=1, keepdims=True)
    # Legs that all but lie in one plane (or plumb line) carry a load only by pulls without end.
    assume(len(picks) == 1 or np.linalg.svd(directions, compute_uv=False)[-1] > 1e-4)
    pulls = tensions_n(picks, then, LOAD_N)
    forces = np.vstack([pulls[:, None] * directions, -LOAD_N * then.up])
    arms = np.vstack([picks, at])
    scale = float(np.abs(pulls).sum()) + LOAD_N
    assert np.abs(forces.sum(axis=0)).max() <= 1e-9 * scale
    for about in (np.zeros(3), hook, np.array([700.0, -300.0, 150.0])):
        moment = np.cross(arms - about, forces).sum(axis=0)
        assert np.abs(moment).max() <= 1e-9 * scale * 4000.0


@given(slings(fewest=2, most=2), st.floats(-3.0, 3.0))
def test_settled_the_load_hangs_lowest(case: tuple[Floats, Floats, Floats], angle: float) -> None:
    """Turn the hook about the line of two picks as it may turn: the load's point is never farther under it."""
    picks, hook, at = case
    assume(_off_line(picks, hook) > 1.0)
    then = settled(picks, hook, at)
    along = unit(picks[1] - picks[0])
    arm = then.hook_mm - picks[0]
    turned = (
        arm * math.cos(angle)
        + np.cross(along, arm) * math.sin(angle)
        + along * (along @ arm) * (1.0 - math.cos(angle))
    )
    assert np.linalg.norm(picks[0] + turned - at) <= np.linalg.norm(then.hook_mm - at) + 1e-6


@given(points, points, points, st.floats(-60.0, 60.0), st.floats(-180.0, 180.0))
def test_two_legs_hold_it_where_its_plane_is_upright(
    one: Floats, other: Floats, centre: Floats, tilt: float, roll: float
) -> None:
    arms = np.array([one, other]) - centre
    normal = np.cross(arms[0], arms[1])
    assume(np.linalg.norm(normal) > 1e-3 * (arms**2).sum())
    wanted = rotation_from(Angles(math.radians(tilt), math.radians(roll)))[2]
    up = held_up(np.array([one, other]), centre, wanted)
    assert np.linalg.norm(up) == pytest.approx(1.0)
    assert up @ unit(normal) == pytest.approx(0.0, abs=1e-9)
    if up[0] != pytest.approx(wanted[0], abs=1e-9):
        # The tilt gives way only where no roll would do it, or the picks set the roll.
        steepest = abs(wanted[0] * unit(normal)[0]) > math.hypot(*wanted[1:]) * math.hypot(*unit(normal)[1:])
        assert steepest or abs(unit(normal)[0]) > math.sqrt(0.5)


def test_a_pick_off_the_middle_rolls_it_by_the_arc_tangent() -> None:
    """Picks 30 mm off to one side and 40 over the centre of mass: it rolls by atan(30 / 40)."""
    picks = np.array([[-500.0, 30.0, 40.0], [500.0, 30.0, 40.0]])
    up = held_up(picks, np.zeros(3), UPRIGHT)
    assert math.degrees(math.atan2(up[1], up[2])) == pytest.approx(36.8698976458)
    assert up[0] == 0.0
    assert below_mm(picks, np.zeros(3), up) == pytest.approx(50.0)


def test_picks_across_set_the_roll_and_leave_the_tilt() -> None:
    picks = np.array([[10.0, -300.0, 50.0], [10.0, 300.0, 50.0]])
    up = held_up(picks, np.zeros(3), UPRIGHT)
    assert math.degrees(math.asin(up[0])) == pytest.approx(math.degrees(math.atan2(10.0, 50.0)))
    assert up[1] == pytest.approx(0.0, abs=1e-12)


def test_one_pick_hangs_over_the_centre() -> None:
    up = held_up(np.array([[3.0, 0.0, 4.0]]), np.zeros(3), UPRIGHT)
    assert up == pytest.approx([0.6, 0.0, 0.8])


def test_how_far_the_centre_hangs_under_its_picks() -> None:
    low = np.array([[-300.0, 0.0, -20.0], [100.0, 0.0, -60.0]])
    assert below_mm(low, np.zeros(3), UPRIGHT) == pytest.approx(-50.0)
    three = np.array([[-300.0, 0.0, 30.0], [300.0, -100.0, 90.0], [300.0, 100.0, 90.0]])
    assert below_mm(three, np.zeros(3), UPRIGHT) == pytest.approx(60.0)


@given(st.integers(0, 50), st.floats(5.0, 80.0))
def test_the_least_hook_has_its_flattest_leg_at_the_limit(seed: int, degrees: float) -> None:
    rng = np.random.default_rng(seed)
    picks, up = rng.normal(size=(3, 3)) * 400.0, turn(seed)[2]
    height = hook_height_mm(picks, np.zeros(3), up, math.radians(degrees))
    along = height * up - picks
    angles = np.degrees(np.arcsin(along @ up / np.linalg.norm(along, axis=1)))
    assert angles.min() == pytest.approx(degrees, abs=1e-9)


def test_the_spread_in_plan() -> None:
    picks = np.array([[0.0, 0.0, 5.0], [30.0, 40.0, -9.0]])
    assert spread_mm(picks, UPRIGHT) == pytest.approx(50.0)
    line = np.array([[0.0, 0.0, 0.0], [100.0, 0.0, 50.0], [200.0, 7.0, -50.0]])
    # The middle one is 3.5 off the line of the outer two, less its slant.
    assert spread_mm(line, UPRIGHT) == pytest.approx(700.0 / math.hypot(200.0, 7.0))
    assert plan(line, UPRIGHT)[:, :2].shape == (3, 2)


# --- The middle of what is held -----------------------------------------------------------------------------------


def held_moments(shape: str, angles: Angles, **values: object) -> tuple[float, Floats]:
    """Return the volume of the liquid that a shape carries, and its middle in the part's frame."""
    vessel = Vessel(build(shape, values).solid)
    turned = UPSIDE_DOWN @ rotation_from(angles)
    pools = vessel.pools(turned)
    volume, moment = moments_of(vessel, turned, pools)
    assert volume == pytest.approx(float(pools.volume_mm3.sum()), rel=1e-9)
    return volume, moment / volume


def test_level_liquid_has_its_middle_in_the_middle() -> None:
    volume, middle = held_moments(
        "section", Angles(), size=(1000.0, 404.0, 202.0), wall=2.0, open="+z", baffles=0
    )
    assert volume == pytest.approx(996.0 * 400.0 * 200.0, rel=1e-9)
    assert middle == pytest.approx([500.0, 202.0, 102.0], rel=1e-9)


def test_tilted_liquid_is_a_wedge() -> None:
    """A tray 1000 inside by 100 deep, -x end down by atan(0.2): 500 of it along, its middle a third from the end."""
    volume, middle = held_moments(
        "section", Angles(math.atan(0.2)), size=(1004.0, 404.0, 102.0), wall=2.0, open="+z", baffles=0
    )
    assert volume == pytest.approx(100.0 * 500.0 / 2.0 * 400.0, rel=1e-9)
    assert middle == pytest.approx([2.0 + 500.0 / 3.0, 202.0, 2.0 + 100.0 / 3.0], rel=1e-9)


def test_bays_count_each_by_itself() -> None:
    """With a baffle in the middle the same tilt leaves a wedge in each half."""
    volume, middle = held_moments(
        "section", Angles(math.atan(0.2)), size=(1004.0, 404.0, 102.0), wall=2.0, open="+z", baffles=1
    )
    # Each bay is 499 long and 100 deep, so that the liquid's wedge is cut off at its thin end.
    cut = 0.2 * 1.0**2 / 2.0
    area = 100.0 * 500.0 / 2.0 - cut
    along = (100.0 * 500.0 / 2.0 * 500.0 / 3.0 - cut * (499.0 + 1.0 / 3.0)) / area
    assert volume == pytest.approx(2.0 * area * 400.0, rel=1e-9)
    assert middle[0] == pytest.approx(2.0 + along + 501.0 / 2.0, rel=1e-9)
    assert middle[1] == pytest.approx(202.0, rel=1e-9)


@given(st.integers(0, 30))
def test_turning_the_origin_about_changes_nothing(seed: int) -> None:
    """The middle of air caught is where the surface has it, whatever way round the part is asked about."""
    solid = build("section", {"size": (600.0, 300.0, 150.0), "wall": 2.0, "open": "-z", "baffles": 2}).solid
    angles = rotation_from(Angles(0.3, 0.2))
    here, other = Vessel(solid), turn(seed)
    volume, moment = moments_of(here, angles, here.pools(angles))
    shift = np.array([400.0, -90.0, 30.0])
    there = Vessel(solid.moved(other, shift))
    again, then = moments_of(there, angles @ other.T, there.pools(angles @ other.T))
    assert again == pytest.approx(volume, rel=1e-9)
    assert then / again == pytest.approx(other @ (moment / volume) + shift, rel=1e-7, abs=1e-5)


# --- Sag ----------------------------------------------------------------------------------------------------------

BEAM = Beam(length_mm=4000.0, load_n_mm=0.05, stiffness_n_mm2=7e9)


@pytest.mark.parametrize("over", [0.1, 0.2071, 0.2232, 0.3])
def test_an_overhanging_beam_by_numbers(over: float) -> None:
    """The same deflection by integrating the bending moment twice on a fine grid."""
    length, load, stiff = BEAM.length_mm, BEAM.load_n_mm, BEAM.stiffness_n_mm2
    first, second = over * length, (1.0 - over) * length
    x = np.linspace(0.0, length, 200_001)
    moment = -load * x**2 / 2.0
    for at in (first, second):
        moment += load * length / 2.0 * np.maximum(x - at, 0.0)
    step = x[1] - x[0]
    slope = np.concatenate([[0.0], np.cumsum((moment[1:] + moment[:-1]) / 2.0) * step]) / stiff
    height = np.concatenate([[0.0], np.cumsum((slope[1:] + slope[:-1]) / 2.0) * step])
    at_first, at_second = np.interp([first, second], x, height)
    height -= at_first + (at_second - at_first) * (x - first) / (second - first)
    assert droop_mm(BEAM, [first, second]) == pytest.approx(-height.min(), rel=1e-6)


@given(st.floats(0.0, 0.45), st.floats(0.55, 1.0))
def test_turned_end_for_end_it_sags_alike(first: float, second: float) -> None:
    length = BEAM.length_mm
    one = droop_mm(BEAM, [first * length, second * length])
    other = droop_mm(BEAM, [(1.0 - second) * length, (1.0 - first) * length])
    assert one == pytest.approx(other, rel=1e-6, abs=1e-9)


def test_sections_by_the_closed_forms() -> None:
    block = build("block", {"size": (3000.0, 60.0, 20.0)}).solid
    cut = section_at(block, 1234.0)
    assert cut.area_mm2 == pytest.approx(1200.0)
    assert cut.second_mm4 == pytest.approx(np.diag([20.0 * 60.0**3 / 12.0, 60.0 * 20.0**3 / 12.0]), abs=1e-6)
    tube = build("tube", {"size": (3000.0, 60.0, 40.0), "wall": 3.0, "ends": "open"}).solid
    second = (60.0 * 40.0**3 - 54.0 * 34.0**3) / 12.0
    assert weakest_mm4(tube, np.array([0.0, -1.0])) == pytest.approx(second, rel=1e-9)
    assert section_at(block, -5.0).area_mm2 == 0.0


def test_a_rod_is_round_to_within_its_flats() -> None:
    """By pi d^4 / 64; flats of equal area are off by a part in a thousand (72 of them)."""
    rod = build("rod", {"diameter": 30.0, "length": 2000.0}).solid
    assert weakest_mm4(rod, np.array([0.0, -1.0])) == pytest.approx(math.pi * 30.0**4 / 64.0, rel=2e-3)


def test_a_lopsided_section_bends_towards_its_weak_side() -> None:
    """An angle loaded along a leg goes down as its two principal bends together make it."""
    angle = build("angle", {"size": (3000.0, 50.0, 50.0), "wall": 5.0}).solid
    second = section_at(angle, 1500.0).second_mm4
    # Two strips, 50 x 5 flat and 5 x 45 upright, about their common centre.
    flat, upright = 250.0, 225.0
    centre = (flat * 2.5 + upright * 27.5) / (flat + upright)
    about = flat * (centre - 2.5) ** 2 + upright * (27.5 - centre) ** 2
    assert second[1, 1] == pytest.approx((50.0 * 5.0**3 + 5.0 * 45.0**3) / 12.0 + about, rel=1e-9)
    mixed = flat * (25.0 - centre) * (2.5 - centre) + upright * (2.5 - centre) * (27.5 - centre)
    assert abs(second[0, 1]) == pytest.approx(abs(mixed), rel=1e-9)
    values, axes = np.linalg.eigh(second)
    down = np.array([0.0, -1.0])
    together = sum(float(axes[:, k] @ down) ** 2 / values[k] for k in range(2))
    assert weakest_mm4(angle, down) == pytest.approx(1.0 / together, rel=1e-9)
    assert weakest_mm4(angle, down) < 0.7 * second[1, 1]


def test_the_weakest_of_its_sections_decides() -> None:
    """A slot of 30 mm across the top and bottom wall, where one of the sections is taken, leaves less metal."""
    tube = build("tube", {"size": (1000.0, 60.0, 40.0), "wall": 3.0, "ends": "open"})
    cut = drilled(tube, Hole((470.0, 30.0, 40.0), "z", 30.0, through=True)).solid
    whole = weakest_mm4(tube.solid, np.array([0.0, -1.0]))
    # A hole of 72 flats and equal area is a little wider than its diameter at a corner, narrower at a flat.
    walls = 30.0 * (40.0**3 - 34.0**3) / 12.0
    assert weakest_mm4(cut, np.array([0.0, -1.0])) == pytest.approx(whole - walls, rel=1e-2)
