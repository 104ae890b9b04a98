"""How a part hangs over a tank: legs, pulls, hook height, what changes under the liquid, what is refused."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies.solids import box, tank_of

from fitcheck.cli import main
from fitcheck.geometry.mesh.distance import Surface, surface_gap_mm
from fitcheck.geometry.mesh.measure import weighed
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.hang.answer import HangAnswer
from fitcheck.questions.hang.ask import hang
from fitcheck.questions.hang.hook_forces import loads_of
from fitcheck.questions.hang.record import to_dict
from fitcheck.questions.hang.say import text, verdict_line
from fitcheck.say.cautions import sentences
from fitcheck.shapes.catalogue import build
from fitcheck.shapes.holes import Hole, drilled
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Attitude, Part
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Rim, Rules, Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import RAD_PER_DEGREE, STANDARD_GRAVITY_M_S2

G = STANDARD_GRAVITY_M_S2
ALUMINIUM_KG_L, MODULUS_N_MM2 = 2.7, 69_000.0
CLEAR = 50.0


def made(shape: str, picks: list[list[float]] | None = None, **values: object) -> Part:
    """Return an aluminium part of a plain shape, lengths in mm."""
    built = build(shape, values)
    part = replace(weighed(shape, built.solid, ALUMINIUM_KG_L), chord_mm=built.chord_mm)
    return part if picks is None else replace(part, picks_mm=np.array(picks, dtype=float))


def bay(
    rim: float | None = 1350.0, hook: float | None = 3200.0, rules: Rules | None = None, gravity: float = 1.0
) -> Tank:
    """Return a deep tank with heights over the shop floor."""
    tank = tank_of(box((2600.0, 1200.0, 1219.2)), rules or Rules(25.0, 50.0, 50.0, 100.0))
    return replace(tank, rim=Rim(rim, hook), liquid=Liquid("bath", gravity))


def tilted(degrees: float, roll: float = 0.0) -> Angles:
    return Angles(degrees * RAD_PER_DEGREE, roll * RAD_PER_DEGREE)


@pytest.fixture(scope="module")
def bar() -> Part:
    """Return a bar of 1200 x 100 x 100 mm, 32.4 kg, picks on top at its quarter points."""
    return made("block", [[300.0, 50.0, 100.0], [900.0, 50.0, 100.0]], size=(1200.0, 100.0, 100.0))


# --- Legs and pulls -----------------------------------------------------------------------------------------------


def test_three_legs_share_alike_round_the_centre() -> None:
    """Three picks on a circle of 400 round the centre, hook 400 over them: each pulls W sqrt(2) / 3."""
    round_ = [
        [600.0 + 400.0 * math.cos(a), 600.0 + 400.0 * math.sin(a), 60.0] for a in (0.5, 0.5 + 2 * math.pi / 3, 0.5 - 2 * math.pi / 3)
    ]  # fmt: skip
    plate = made("block", round_, size=(1200.0, 1200.0, 60.0))
    answer = hang(plate, bay(), rise_mm=400.0)
    for leg in answer.legs:
        assert leg.tension_n == pytest.approx(plate.mass_kg * G * math.sqrt(2.0) / 3.0, rel=1e-9)
    assert answer.verdict == "fits"
    assert answer.rigs == ()


@given(st.floats(-50.0, 50.0), st.floats(-25.0, 25.0), st.floats(200.0, 3000.0), st.integers(1, 3))
@settings(max_examples=60)
def test_what_is_told_is_in_balance(tilt: float, roll: float, rise: float, legs: int) -> None:
    """From the answer alone: the pulls along the legs told hold the weight, and turn it no way."""
    part = made(
        "block",
        [[150.0, 40.0, 100.0], [900.0, 55.0, 100.0], [700.0, 300.0, 90.0]],
        size=(1200.0, 320.0, 100.0),
    )
    numbers = [3] if legs == 1 else list(range(1, legs + 1))
    answer = hang(part, bay(), tilted(tilt, roll), rise_mm=rise, picks=numbers)
    picks = answer.pose.apply(np.array([leg.pick_mm for leg in answer.legs]))
    along = np.array(answer.hook_at_mm) - picks
    assert np.linalg.norm(along, axis=1) == pytest.approx([leg.length_mm for leg in answer.legs])
    pulls = np.array([leg.tension_n for leg in answer.legs])
    forces = pulls[:, None] * along / np.linalg.norm(along, axis=1, keepdims=True)
    weight = part.mass_kg * G
    size = np.abs(pulls).sum() + weight
    assert np.abs(forces.sum(axis=0) - [0.0, 0.0, weight]).max() <= 1e-9 * size
    centre = answer.pose.apply(part.centre_mm[None, :])[0]
    assert np.abs(np.cross(picks - centre, forces).sum(axis=0)).max() <= 1e-9 * size * 3000.0
    # The legs told give the tilt told: three hold it as asked, and the hook is plumb over the centre of mass.
    assert answer.hook_at_mm[:2] == pytest.approx(centre[:2], abs=1e-6)
    if legs == 3:
        assert answer.angles == answer.wanted


# --- The hook -----------------------------------------------------------------------------------------------------


def test_the_hook_budget_of_a_tank_section_by_hand() -> None:
    """A box of 2100 x 420 mm tilted 38.17 deg is 1628 mm high: 1350 + 50 + 1628 = 3028 mm to lift it over the rim.

    That leaves 172 mm of a hook at 3.20 m. Picks 1.2 m apart with no more than that over them have legs at
    16 deg, which pull 3.6 times a plumb leg: a spreader or a second hoist. (Worked out by hand.)
    """
    angle = math.radians(38.17)
    high = 2100.0 * math.sin(angle) + 420.0 * math.cos(angle)
    assert high == pytest.approx(1628.0, abs=0.5)
    section = made(
        "tube",
        [[450.0, 350.0, 420.0], [1650.0, 350.0, 420.0]],
        size=(2100.0, 700.0, 420.0),
        wall=1.6,
        ends="open",
    )
    answer = hang(section, bay(), tilted(38.17))
    assert answer.hook.needed_mm is not None
    assert answer.hook.spare_mm is not None
    to_its_top = answer.hook.needed_mm - answer.over_top_mm
    assert to_its_top == pytest.approx(3028.0, abs=0.5)
    assert answer.hook.spare_mm + answer.over_top_mm == pytest.approx(172.0, abs=0.5)
    level = hang(section, bay(), rise_mm=172.0)
    assert level.legs[0].angle_rad / RAD_PER_DEGREE == pytest.approx(16.0, abs=0.05)
    assert level.legs[0].factor == pytest.approx(3.6, abs=0.05)
    assert (level.verdict, level.faults[0]) == ("does not fit", "flat legs")
    assert verdict_line(level, section, "mm").endswith("legs at 16 deg: use a spreader or a second hoist")


def test_the_hook_needs_rim_clearance_part_and_rise(bar: Part) -> None:
    answer = hang(bar, bay(), rise_mm=400.0)
    assert answer.hook.needed_mm == pytest.approx(1350.0 + CLEAR + 100.0 + 400.0)
    assert answer.hook.spare_mm == pytest.approx(3200.0 - 1900.0)
    # The lowest for these picks has legs at 30 degrees.
    assert answer.hook.least_mm == pytest.approx(1350.0 + CLEAR + 100.0 + 300.0 / math.sqrt(3.0))
    assert answer.least_rise_mm == pytest.approx(300.0 / math.sqrt(3.0))
    # Over the tank the part is just clear of the rim, and the hook stands where the legs meet.
    z = answer.pose.apply(bar.solid.vertices_mm)[:, 2]
    assert z.min() == pytest.approx(1219.2 + CLEAR)
    assert answer.hook_at_mm[2] == pytest.approx(z.max() + 400.0)


def test_without_a_rise_legs_stand_at_60_degrees_or_as_the_hook_lets_them(bar: Part) -> None:
    roomy = hang(bar, bay())
    assert roomy.legs[0].angle_rad / RAD_PER_DEGREE == pytest.approx(60.0)
    tape = Rules(25.0, 50.0, 50.0, 100.0, tape_part_mm=2.0, tape_tank_mm=3.0)
    tight = hang(bar, bay(hook=1900.0, rules=tape))
    # All of the hook's height but what the tapes may hide: of hook and rim 3 mm each, of the part 2 mm.
    assert tight.hook.tape_mm == pytest.approx(8.0)
    assert tight.hook.spare_mm == pytest.approx(8.0)
    assert tight.verdict == "fits"
    assert math.degrees(tight.legs[0].angle_rad) == pytest.approx(math.degrees(math.atan2(392.0, 300.0)))


def test_a_hook_too_low_says_by_how_much_and_what_would_do(bar: Part) -> None:
    answer = hang(bar, bay(hook=1650.0))
    least = 1350.0 + CLEAR + 100.0 + 300.0 / math.sqrt(3.0)
    assert (answer.verdict, answer.faults) == ("does not fit", ("hook too low",))
    assert answer.hook.spare_mm == pytest.approx(1650.0 - least)
    assert answer.hook.needed_mm == pytest.approx(least)
    hoists = next(rig for rig in answer.rigs if rig.kind == "two hoists")
    assert hoists.hook_mm == pytest.approx(1350.0 + CLEAR + 100.0 + 150.0)
    assert hoists.hook_spare_mm == pytest.approx(0.0)


def test_the_tape_decides_within_itself(bar: Part) -> None:
    tape = Rules(25.0, 50.0, 50.0, 100.0, tape_part_mm=2.0, tape_tank_mm=3.0)
    for hook, verdict in (
        (1909.0, "fits"),
        (1907.0, "measure again"),
        (1893.0, "measure again"),
        (1891.0, "does not fit"),
    ):
        answer = hang(bar, bay(hook=hook, rules=tape), rise_mm=400.0)
        assert answer.verdict == verdict, hook


@pytest.mark.parametrize(
    ("rim", "hook", "missing"),
    [
        (None, 3200.0, ("rim_height",)),
        (1350.0, None, ("hook_height",)),
        (None, None, ("rim_height", "hook_height")),
    ],
)
def test_a_height_that_is_missing_is_named(
    bar: Part, rim: float | None, hook: float | None, missing: tuple[str, ...]
) -> None:
    answer = hang(bar, bay(rim, hook))
    assert answer.verdict == "measure again"
    assert answer.missing == missing
    assert answer.hook.spare_mm is None
    assert answer.legs[0].angle_rad / RAD_PER_DEGREE == pytest.approx(60.0)
    # What is wrong whatever the heights is still told first.
    assert hang(bar, bay(rim, hook), rise_mm=100.0).verdict == "does not fit"


def test_a_flatter_way_that_passes_under_the_hook_and_goes_under() -> None:
    """Tilted 50 degrees the plate is too high for the hook; the steepest whole degree that is not is found."""
    plate = made("block", [[100.0, 10.0, 500.0], [1100.0, 10.0, 500.0]], size=(1200.0, 20.0, 500.0))
    tank = bay(hook=2600.0)
    answer = hang(plate, tank, tilted(50.0))
    assert answer.faults[0] == "hook too low"
    lower = answer.lower
    assert lower is not None
    degrees = lower.angles.tilt_rad / RAD_PER_DEGREE
    assert degrees == pytest.approx(round(degrees))
    assert lower.hook_mm <= 2600.0
    assert hang(plate, tank, lower.angles).verdict == "fits"
    assert lower.goes_under
    assert dip(plate, tank, angles=lower.angles).verdict == "fits"
    steeper = hang(plate, tank, tilted(degrees + 1.0))
    higher = steeper.faults == ("hook too low",)
    assert higher or dip(plate, tank, angles=tilted(degrees + 1.0)).verdict == "does not fit"
    # In a tank too small for it, the way is told all the same, and that it does not go under so.
    small = replace(tank_of(box((900.0, 300.0, 1000.0)), Rules()), rim=Rim(1350.0, 2600.0))
    cramped = hang(plate, small, tilted(50.0)).lower
    assert cramped is not None
    # Of those that pass under the hook it is the steepest.
    assert cramped.angles.tilt_rad >= lower.angles.tilt_rad
    assert hang(plate, small, Angles(cramped.angles.tilt_rad + RAD_PER_DEGREE)).verdict == "does not fit"
    assert not cramped.goes_under


def test_tilted_the_legs_differ_and_the_tilt_comes_from_them(bar: Part) -> None:
    """By hand at 30 deg: picks (-300, 50) and (300, 50) from the centre, turned; hook 400 over the higher."""
    answer = hang(bar, bay(), tilted(30.0), rise_mm=400.0)
    c, s = math.cos(math.pi / 6.0), math.sin(math.pi / 6.0)
    high, low = (300 * c - 50 * s, 300 * s + 50 * c), (-300 * c - 50 * s, -300 * s + 50 * c)
    hook = high[1] + 400.0
    lengths = [math.hypot(low[0], hook - low[1]), math.hypot(high[0], hook - high[1])]
    assert [leg.length_mm for leg in answer.legs] == pytest.approx(lengths)
    told = [leg.tension_n for leg in answer.legs]
    assert told[0] * -low[0] / lengths[0] == pytest.approx(told[1] * high[0] / lengths[1])
    assert sum(
        t * (hook - p[1]) / ln for t, p, ln in zip(told, (low, high), lengths, strict=True)
    ) == pytest.approx(32.4 * G)


# --- How it hangs -------------------------------------------------------------------------------------------------


def test_picks_under_the_centre_of_mass_roll_it_over() -> None:
    low = made("block", [[300.0, 50.0, 10.0], [900.0, 50.0, 10.0]], size=(1200.0, 100.0, 100.0))
    answer = hang(low, bay())
    assert answer.verdict == "does not fit"
    assert answer.faults[0] == "rolls over"
    assert answer.below_mm == pytest.approx(-40.0)
    assert "its centre of mass is 40 mm over its picks: it rolls over" in verdict_line(answer, low, "mm")
    # Turned over, the same picks are over it.
    assert hang(low, bay(), tilted(0.0, 180.0)).verdict == "fits"


def test_a_pick_line_off_the_middle_rolls_it_and_the_figure_is_told() -> None:
    """Picks 20 mm off the middle, 50 over the centre of mass: it rolls by atan(20 / 50) = 21.8 deg."""
    part = made("block", [[300.0, 70.0, 100.0], [900.0, 70.0, 100.0]], size=(1200.0, 100.0, 100.0))
    answer = hang(part, bay())
    assert (answer.verdict, answer.faults) == ("does not fit", ("turns by itself",))
    assert answer.angles.roll_rad / RAD_PER_DEGREE == pytest.approx(21.8014094864)
    assert answer.wanted.roll_rad == 0.0
    assert "so slung it hangs level end to end; rolled 21.8 deg" in verdict_line(answer, part, "mm")
    # Who wants it so has it so.
    assert hang(part, bay(), tilted(0.0, 21.8)).verdict == "fits"


@pytest.mark.parametrize(("degrees", "verdict"), [(0.9, "fits"), (1.1, "does not fit")])
def test_a_degree_off_is_hung_by_eye(degrees: float, verdict: str) -> None:
    off = 50.0 + 50.0 * math.tan(math.radians(degrees))
    part = made("block", [[300.0, off, 100.0], [900.0, off, 100.0]], size=(1200.0, 100.0, 100.0))
    assert hang(part, bay()).verdict == verdict


@pytest.mark.parametrize(("under", "faults"), [(1.5, ("rolls over",)), (1.7, ())])
def test_two_picks_are_over_the_centre_of_mass_by_more_than_the_tape(
    under: float, faults: tuple[str, ...]
) -> None:
    part = made("block", [[300.0, 50.0, 100.0], [900.0, 50.0, 100.0]], size=(1200.0, 100.0, 100.0))
    high = replace(part, centre_mm=np.array([600.0, 50.0, 100.0 - under]), tape_mm=1.6)
    assert hang(high, bay()).faults == faults


def test_one_leg_holds_it_only_under_its_pick() -> None:
    part = made("block", [[600.0, 50.0, 100.0], [620.0, 50.0, 100.0]], size=(1200.0, 100.0, 100.0))
    plumb = hang(part, bay(), picks=[1])
    assert plumb.verdict == "fits"
    assert plumb.legs[0].tension_n == pytest.approx(32.4 * G)
    assert plumb.rise_mm == pytest.approx(600.0)
    # Under a low hook the leg is as short as hook and shackle let it be.
    low = hang(part, bay(hook=1350.0 + CLEAR + 100.0 + 200.0), picks=[1])
    assert low.rise_mm == pytest.approx(200.0)
    assert hang(part, bay(hook=1550.0), picks=[1]).rise_mm == pytest.approx(150.0)
    off = hang(part, bay(), picks=[2])
    assert off.faults == ("turns by itself",)
    assert off.angles.tilt_rad / RAD_PER_DEGREE == pytest.approx(math.degrees(math.atan2(20.0, 50.0)))


def test_a_centre_of_mass_beyond_the_picks_slackens_a_leg() -> None:
    part = made("block", [[700.0, 50.0, 100.0], [1100.0, 50.0, 100.0]], size=(1200.0, 100.0, 100.0))
    answer = hang(part, bay())
    assert "slack leg" in answer.faults
    assert answer.verdict == "does not fit"
    assert min(leg.tension_n for leg in answer.legs) < 0.0


def test_three_legs_hold_a_flat_plate_by_the_middle_of_its_holes() -> None:
    """Picks a little over the centre of mass hold it, or under it within the tape; far under it they do not."""
    at = [(200.0, 300.0), (1000.0, 100.0), (1000.0, 500.0)]
    plate = build("block", {"size": (1200.0, 600.0, 40.0)})
    for x, y in at:
        plate = drilled(plate, Hole((x, y, 40.0), "z", 16.0, through=True))
    part = replace(weighed("plate", plate.solid, ALUMINIUM_KG_L), tape_mm=1.6)
    for height, faults in ((2.0, ()), (-1.0, ()), (-18.0, ("rolls over",))):
        slung = replace(part, picks_mm=np.array([[x, y, 20.0 + height] for x, y in at]))
        answer = hang(slung, bay(hook=4000.0))
        assert answer.below_mm == pytest.approx(height)
        assert answer.faults == faults


def test_a_hook_inside_the_part_is_refused_and_legs_through_it_are_told() -> None:
    """A box slung by lugs low on its ends: legs that meet under its top run through it."""
    part = made("block", [[0.0, 200.0, 300.0], [1000.0, 200.0, 300.0]], size=(1000.0, 400.0, 500.0))
    low = hang(part, bay(), rise_mm=120.0)
    assert "hook under its top" in low.faults
    assert low.over_top_mm == pytest.approx(-80.0)
    over = hang(part, bay(), rise_mm=500.0)
    assert over.faults == ()
    assert all(leg.bent for leg in over.legs)
    words = " ".join(sentences(over.cautions, "mm"))
    assert "Legs 1 and 2 run into the part" in words
    top = made("block", [[100.0, 200.0, 500.0], [900.0, 200.0, 500.0]], size=(1000.0, 400.0, 500.0))
    assert not any(leg.bent for leg in hang(top, bay(), rise_mm=500.0).legs)


def test_more_tilt_than_the_part_allows_is_noted(bar: Part) -> None:
    stiff = replace(bar, attitude=Attitude(tilt_rad=10.0 * RAD_PER_DEGREE))
    assert hang(stiff, bay(), tilted(20.0)).notes == (
        "it hangs with more tilt than tilt_at_most of block allows",
    )
    assert hang(stiff, bay(), tilted(10.0)).notes == ()


# --- Under the liquid, and out of it ------------------------------------------------------------------------------


def test_under_it_turns_until_its_wet_weight_hangs_plumb() -> None:
    """By hand: a bar of 10 L and 27 kg, its centre of mass 50 mm off its middle, hung in water.

    17 kg are left, acting at (27 x 450 - 10 x 500) / 17 = 420.59 mm; the hook is over 450, 1000 over the
    picks and 1050 over the axis. So it turns by atan(29.41 / 1050) = 1.6045 deg, the heavy end down, which
    is the low-x one: its tilt grows.
    """
    bar = made("block", [[200.0, 50.0, 100.0], [750.0, 50.0, 100.0]], size=(1000.0, 100.0, 100.0))
    heavy = replace(bar, centre_mm=np.array([450.0, 50.0, 50.0]))
    answer = hang(heavy, bay(), rise_mm=1000.0)
    assert answer.under.hook_n == pytest.approx(17.0 * G)
    turn = math.degrees(math.atan2(450.0 - (27 * 450.0 - 10 * 500.0) / 17.0, 1050.0))
    assert turn == pytest.approx(1.6045, abs=5e-5)
    data = to_dict(answer)
    assert data["tilt_change_deg"] == pytest.approx(turn, rel=1e-9)
    assert data["roll_change_deg"] == pytest.approx(0.0, abs=1e-9)
    assert data["turn_deg"] == pytest.approx(turn, rel=1e-9)
    # In the part's frame the legs still meet in the hook, and their pulls hold the wet weight.
    under = [leg.under_n for leg in answer.legs]
    hook = np.array([450.0, 50.0, 1100.0])
    along = [(hook - np.array(leg.pick_mm)) / leg.length_mm for leg in answer.legs]
    up = rotation_from(answer.under.angles)[2]  # type: ignore[arg-type]
    assert sum(pull * way for pull, way in zip(under, along, strict=True)) == pytest.approx(
        17.0 * G * up, abs=1e-6
    )  # type: ignore[operator]
    assert any("turns by 1.6 deg under the liquid" in c for c in sentences(answer.cautions, "mm"))


def test_sealed_space_at_one_side_rolls_it_under_two_legs() -> None:
    """A centre of mass 5 mm off the middle: the wet weight hangs farther off, and two legs let it roll there."""
    bar = made("block", [[300.0, 55.0, 100.0], [900.0, 55.0, 100.0]], size=(1200.0, 100.0, 100.0))
    lopsided = replace(bar, centre_mm=np.array([600.0, 55.0, 50.0]))
    answer = hang(lopsided, bay(), rise_mm=500.0)
    assert answer.verdict == "fits"
    # 32.4 kg at 55 mm less 12 kg of water at 50: 20.4 kg at 57.94, 50 mm under the picks.
    wet = (32.4 * 55.0 - 12.0 * 50.0) / 20.4
    roll = math.degrees(math.atan2(55.0 - wet, 50.0))
    assert to_dict(answer)["roll_change_deg"] == pytest.approx(roll, rel=1e-9)


def test_an_even_part_hangs_under_as_in_air(bar: Part) -> None:
    answer = hang(bar, bay(gravity=1.03))
    assert answer.under.hook_n == pytest.approx((32.4 - 12.0 * 1.03) * G)
    assert answer.under.turn_rad == pytest.approx(0.0, abs=1e-9)
    assert [leg.under_n for leg in answer.legs] == pytest.approx(
        [leg.tension_n * (32.4 - 12.36) / 32.4 for leg in answer.legs]
    )


def test_what_floats_hangs_slack() -> None:
    """A sealed tube of 200 mm by 1200 mm, 2 mm wall: 37.70 L against 4.36 kg."""
    tube = made("pipe", diameter=200.0, length=1200.0, wall=2.0, ends="closed")
    answer = hang(tube, bay(gravity=1.02))
    assert answer.under.hook_n == pytest.approx(-34.1 * G, abs=0.05 * G)
    assert answer.under.angles is None
    assert all(leg.under_n is None for leg in answer.legs)
    assert answer.verdict == "fits"
    assert any("It floats" in line for line in sentences(answer.cautions, "mm"))
    assert "tilt_change_deg" not in to_dict(answer)


def test_air_caught_lifts_and_moves_the_wet_weight() -> None:
    """A lid, open side down, catches all its inside: Archimedes, and the centre of the air by hand."""
    lid = made("section", size=(600.0, 400.0, 100.0), wall=2.0, open="-z", baffles=0)
    loads = loads_of(lid, rotation_from(Angles()), 1.0)
    air_l, all_l = 596.0 * 396.0 * 98.0 / 1e6, 600.0 * 400.0 * 100.0 / 1e6
    assert loads.under.force_n == pytest.approx((lid.mass_kg - all_l) * G, rel=1e-9)
    # Skin and air fill the whole box, whose middle is known.
    metal_mid = lid.centre_mm
    wet_mid = (lid.mass_kg * metal_mid - all_l * np.array([300.0, 200.0, 50.0])) / (lid.mass_kg - all_l)
    assert loads.under.at_mm == pytest.approx(wet_mid, rel=1e-9)
    assert loads.held.air_l == pytest.approx(air_l, rel=1e-9)


def test_a_bathful_lifted_out_is_on_the_hook() -> None:
    pan = made("pan", size=(600.0, 600.0, 60.0), wall=1.6)
    answer = hang(pan, bay(gravity=1.02), legs=3)
    inside_l = 596.8**2 * 58.4 / 1e6
    assert answer.wet_mass_kg == pytest.approx(pan.mass_kg + 1.02 * inside_l, rel=1e-9)
    assert answer.breakout.hook_n == pytest.approx(answer.wet_mass_kg * G, rel=1e-9)
    assert answer.dry_n == pytest.approx(pan.mass_kg * G)
    # Carried in the middle, it pulls on each leg in the same share.
    share = answer.wet_mass_kg / answer.mass_kg
    assert [leg.breakout_n for leg in answer.legs] == pytest.approx(
        [leg.tension_n * share for leg in answer.legs], rel=1e-6
    )
    assert answer.breakout.turn_rad == pytest.approx(0.0, abs=1e-6)


def test_a_bathful_at_one_end_swings_it() -> None:
    """Open side up and tilted 5 deg, the liquid lies at the low end: lifted out it tilts farther down there."""
    tray = made("section", size=(1000.0, 400.0, 100.0), wall=2.0, open="+z", baffles=0)
    up = hang(tray, bay(), tilted(5.0), legs=3)
    assert up.held.carry_out_l > 1.0
    assert up.breakout.angles is not None
    assert up.breakout.angles.tilt_rad > up.angles.tilt_rad + 1.0 * RAD_PER_DEGREE
    assert any("with the liquid that it carries out" in c for c in sentences(up.cautions, "mm"))


# --- Sag, and picks proposed --------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def spar() -> Part:
    """Return a flat bar of 6000 x 40 x 10 mm, which sags."""
    return made("block", size=(6000.0, 40.0, 10.0))


def test_a_spar_sags_by_the_formula_and_the_hook_goes_higher_by_it(spar: Part) -> None:
    ends = replace(spar, picks_mm=np.array([[0.0, 20.0, 10.0], [6000.0, 20.0, 10.0]]))
    tank = bay(hook=9000.0)
    answer = hang(ends, tank, rise_mm=3000.0)
    load = 40.0 * 10.0 * ALUMINIUM_KG_L / 1e6 * G
    sag = 5.0 * load * 6000.0**4 / (384.0 * MODULUS_N_MM2 * 40.0 * 10.0**3 / 12.0)
    assert answer.sag_mm == pytest.approx(sag, rel=1e-6)
    assert answer.hook.needed_mm == pytest.approx(1350.0 + CLEAR + 10.0 + 3000.0 + sag, rel=1e-6)
    # On edge it is sixteen times as stiff; tilted, only the load across it bends it.
    edge = replace(spar, picks_mm=np.array([[0.0, 40.0, 5.0], [6000.0, 40.0, 5.0]]))
    assert hang(edge, tank, tilted(0.0, 90.0), rise_mm=3000.0).sag_mm == pytest.approx(sag / 16.0, rel=1e-6)
    lean = hang(ends, tank, tilted(30.0), rise_mm=3000.0)
    assert lean.sag_mm == pytest.approx(sag * math.cos(math.pi / 6.0), rel=1e-6)


def test_steel_sags_less_and_what_is_no_beam_is_not_told(spar: Part, bar: Part) -> None:
    tank = bay(hook=9000.0)
    aluminium = hang(spar, tank).sag_mm
    steel = hang(replace(spar, mass_kg=spar.mass_kg * 7.85 / 2.7), tank).sag_mm
    assert aluminium is not None
    # Twice and a fraction as stiff (193 GPa, the least of steels of that density), and as much heavier.
    assert steel == pytest.approx(aluminium * 7.85 / 2.7 * 69.0 / 193.0, rel=1e-6)
    assert hang(bar, bay()).sag_mm is None
    wood = replace(spar, mass_kg=spar.mass_kg / 5.0)
    assert hang(wood, tank).sag_mm is None
    assert "sag_mm" not in to_dict(hang(wood, tank))
    sheet = made("block", [[600.0, 500.0, 2.0], [1800.0, 500.0, 2.0]], size=(2400.0, 1000.0, 2.0))
    assert hang(sheet, bay()).sag_mm is None


def test_picks_are_proposed_where_a_spar_sags_least(spar: Part) -> None:
    answer = hang(spar, bay(hook=9000.0))
    assert answer.proposed
    assert [leg.pick_mm[0] for leg in answer.legs] == pytest.approx([0.2232 * 6000.0, 0.7768 * 6000.0])
    assert [leg.pick_mm[1:] for leg in answer.legs] == [pytest.approx((20.0, 10.0))] * 2
    other = replace(spar, picks_mm=np.array([[1500.0, 20.0, 10.0], [4500.0, 20.0, 10.0]]))
    quarter = hang(other, bay(hook=9000.0))
    assert not quarter.proposed
    assert answer.sag_mm is not None
    assert quarter.sag_mm is not None
    assert answer.sag_mm < quarter.sag_mm


SHAPES = [
    ("pan", {"size": (600.0, 600.0, 60.0), "wall": 1.6}, 2),
    ("pan", {"size": (1778.0, 1016.0, 38.1), "wall": 2.0}, 3),
    ("frame", {"size": (914.4, 495.3, 38.1), "wall": 50.8}, 3),
    ("section", {"size": (1500.0, 700.0, 420.0), "wall": 1.6, "open": "+z", "baffles": 2}, 2),
    ("channel", {"size": (2000.0, 80.0, 50.0), "wall": 4.0}, 2),
    ("pipe", {"diameter": 60.0, "length": 2200.0, "wall": 3.0, "ends": "open"}, 2),
    ("rod", {"diameter": 60.0, "length": 800.0}, 2),
]


@pytest.mark.parametrize(("shape", "values", "legs"), SHAPES)
@pytest.mark.parametrize("angles", [(0.0, 0.0), (12.0, 0.0), (-12.0, 25.0), (0.0, 180.0)])
def test_picks_proposed_lie_on_the_part_and_hold_it(
    shape: str, values: dict[str, object], legs: int, angles: tuple[float, float]
) -> None:
    part = made(shape, **values)
    if shape == "channel" and angles[1] == 180.0:
        # Open side up there is nothing over its centre of mass but two thin edges, and a sling goes round it.
        with pytest.raises(Refused, match="give it some"):
            hang(part, bay(hook=9000.0), tilted(*angles))
        return
    answer = hang(part, bay(hook=9000.0), tilted(*angles))
    assert answer.verdict == "fits"
    assert answer.angles.tilt_rad / RAD_PER_DEGREE == pytest.approx(angles[0], abs=1e-6)
    metal = Surface.of(part.solid.vertices_mm, part.solid.triangles)
    here = Pose("part", "part", np.eye(3), np.zeros(3))
    for leg in answer.legs:
        point = Surface.of(np.array(leg.pick_mm) + 1e-4 * np.eye(3), np.array([[0, 1, 2]]))
        assert surface_gap_mm(point, metal, here) < 1e-3
        assert leg.tension_n > 0.0
    if angles == (0.0, 0.0):
        assert len(answer.legs) == legs


def test_one_leg_is_proposed_over_the_centre_of_mass(bar: Part) -> None:
    plain = replace(bar, picks_mm=np.zeros((0, 3)))
    answer = hang(plain, bay(), legs=1)
    assert answer.legs[0].pick_mm == pytest.approx((600.0, 50.0, 100.0))
    assert hang(plain, bay(), tilted(10.0), legs=1).verdict == "fits"
    assert len(hang(plain, bay(), legs=3).legs) == 3


# --- Bad input ----------------------------------------------------------------------------------------------------


def test_what_no_sling_can_do_is_refused_with_its_cure(bar: Part) -> None:
    def refused(part: Part, **asked: object) -> str:
        with pytest.raises(Refused) as told:
            hang(part, bay(), **asked)  # type: ignore[arg-type]
        return str(told.value)

    off = replace(bar, picks_mm=np.array([[300.0, 50.0, 100.0], [900.0, 50.0, 130.0]]))
    assert "pick 2 of block is 30 mm (1 3/16 in) off its surface" in refused(off)
    assert "pick 3 of block is 50 mm" in refused(
        replace(
            made("block", size=(1200.0, 100.0, 100.0)),
            picks_mm=np.array([*bar.picks_mm, [600.0, 50.0, 50.0]]),
        )
    )
    four = replace(bar, picks_mm=np.array([[x, y, 100.0] for x in (300.0, 900.0) for y in (20.0, 80.0)]))
    assert "4 legs to one hook" in refused(four)
    assert "indeterminate" in refused(four)
    assert "--picks" in refused(four)
    assert "4 legs to one hook" in refused(bar, legs=4)
    line = replace(bar, picks_mm=np.array([[300.0, 20.0, 100.0], [600.0, 20.0, 100.0], [900.0, 20.0, 100.0]]))
    assert "in one line in plan" in refused(line)
    assert "over one another" in refused(bar, angles=tilted(90.0))
    assert "no pick 3" in refused(bar, picks=[1, 3])
    assert "named twice" in refused(bar, picks=[1, 1])
    assert "2 picks for 3 legs" in refused(bar, legs=3)
    assert "no picks to choose from" in refused(made("block", size=(9.0, 9.0, 9.0)), picks=[1])
    assert "above 0" in refused(bar, rise_mm=0.0)
    assert "give it some" in refused(made("frame", size=(900.0, 500.0, 40.0), wall=50.0), legs=1)
    assert "give it some" in refused(made("block", size=(900.0, 50.0, 40.0)), angles=tilted(80.0))


def test_a_pick_in_the_middle_of_a_pin_hole_is_on_the_part() -> None:
    plate = drilled(build("plate", {"size": (500.0, 50.0, 10.0)}), Hole((480.0, 25.0, 0.0), "z", 16.0))
    part = replace(weighed("plate", plate.solid, ALUMINIUM_KG_L), picks_mm=np.array([[480.0, 25.0, 5.0]]))
    answer = hang(part, bay(), tilted(90.0))
    assert answer.legs[0].tension_n == pytest.approx(part.mass_kg * G)


def test_a_hook_under_the_rim_is_refused(bar: Part) -> None:
    with pytest.raises(Refused, match="hook_height is 1300 mm"):
        hang(bar, bay(1350.0, 1300.0))


# --- The command --------------------------------------------------------------------------------------------------

SHOP = """
[shop]
name = "bay"
show = "mm"
[rules]
side_clearance = "25 mm"
[liquids.w]
specific_gravity = 1.0
[tanks.deep]
inside = ["2600 mm", "1200 mm", "1200 mm"]
liquid = "w"
rim_height = "1350 mm"
hook_height = "3200 mm"
[tanks.low]
inside = ["2600 mm", "1200 mm", "1200 mm"]
liquid = "w"
rim_height = "1350 mm"
hook_height = "1600 mm"
[tanks.bare]
inside = ["2600 mm", "1200 mm", "1200 mm"]
liquid = "w"
[tanks.wrong]
inside = ["2600 mm", "1200 mm", "1200 mm"]
liquid = "w"
rim_height = "1350 mm"
hook_height = "1 m"
[parts.bar]
shape = "block"
size = ["1200 mm", "100 mm", "100 mm"]
metal = "aluminium"
picks = [["300 mm", "50 mm", "100 mm"], ["900 mm", "50 mm", "100 mm"], ["600 mm", "50 mm", "100 mm"]]
[parts.plain]
shape = "block"
size = ["1200 mm", "100 mm", "100 mm"]
metal = "aluminium"
"""

Ask = Callable[..., tuple[int, str, str]]


@pytest.fixture(scope="module")
def shop_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("shop") / "shop.toml"
    path.write_text(SHOP)
    return path


@pytest.fixture
def ask(shop_file: Path, capsys: pytest.CaptureFixture[str]) -> Ask:
    def asked(*words: str) -> tuple[int, str, str]:
        code = main.run(["hang", str(shop_file), *words])
        out, err = capsys.readouterr()
        return code, out, err

    return asked


def test_the_command_says_the_verdict_first(ask: Ask) -> None:
    code, out, _ = ask("bar", "deep", "--picks", "1,2", "--rise", "400", "mm")
    assert code == 0
    assert out.splitlines()[0] == "bar over deep: fits, with 1300 mm of hook height to spare"
    words = " ".join(out.split())
    for word in (
        "500 mm long from x 300 mm, y 50 mm, z 100 mm; 53.1 deg from level (factor 1.250)",
        "needs 1900 mm over the shop floor, the part about 50 mm over the rim",
        "centre of mass 50 mm under its picks",
        "Nobody under the load",
        "ASME B30.9",
        "1926.251(e)",
        "competent person",
    ):
        assert word in words


def test_no_comes_with_the_figures_of_what_would_do(ask: Ask) -> None:
    code, out, _ = ask("bar", "low", "--picks", "1,2")
    words = " ".join(out.split())
    assert code == 1
    assert "does not fit, the hook is 73.3 mm too low" in out.splitlines()[0]
    for word in ("Spreader", "Lifting beam", "Two hoists", "Would do a hook that goes to 1673.3 mm"):
        assert word in words
    code, out, _ = ask("bar", "deep", "--picks", "1,2", "--rise", "100 mm")
    assert code == 1
    assert "legs at 18.4 deg: use a spreader or a second hoist" in out.splitlines()[0]
    assert "Would do the hook 173.3 mm over the higher pick" in " ".join(out.split())


def test_missing_heights_end_with_3_and_say_where_to_write_them(ask: Ask) -> None:
    code, out, _ = ask("plain", "bare")
    assert code == 3
    assert (
        out.splitlines()[0]
        == "plain over bare: measure again, rim_height and hook_height of bare are not given"
    )
    assert "written under [tanks.bare]" in " ".join(out.split())


def test_the_command_in_json(ask: Ask) -> None:
    code, out, _ = ask("bar", "deep", "--picks", "1,2", "--tilt", "10 deg", "--json")
    data = json.loads(out)
    assert code == 0
    assert {
        "legs",
        "hook_mm",
        "hook_spare_mm",
        "wet_mass_kg",
        "verdict",
        "under_n",
        "breakout_n",
        "rigs",
    } <= data.keys()
    assert {"pick_mm", "length_mm", "tension_n", "angle_deg", "factor", "under_n", "breakout_n"} <= data[
        "legs"
    ][0].keys()
    assert data["pose"]["tilt_deg"] == pytest.approx(10.0)
    assert [rig["kind"] for rig in data["rigs"]] == ["spreader", "lifting beam", "two hoists"]
    assert data["legs"][0]["pick_mm"] == [300.0, 50.0, 100.0]
    code, out, _ = ask("plain", "bare", "--json")
    assert code == 3
    assert not {"hook_mm", "hook_spare_mm"} & json.loads(out).keys()
    assert json.loads(out)["missing"] == ["rim_height", "hook_height"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("pole", "deep"), 'there is no part "pole"'),
        (("bar", "deeep"), "did you mean deep?"),
        (("bar", "deep"), "in one line in plan"),
        (("bar", "deep", "--picks", "one,2"), "--picks"),
        (("bar", "deep", "--picks", "1,9"), "no pick 9"),
        (("bar", "deep", "--legs", "5"), "indeterminate"),
        (("bar", "deep", "--picks", "1,2", "--rise", "400"), "--rise"),
        (("bar", "deep", "--picks", "1,2", "--rise", "-4 mm"), "above 0"),
        (("bar", "wrong", "--picks", "1,2"), "hook_height is 1000 mm"),
        (("bar", "deep", "--picks", "1,2", "--tilt", "30"), "--tilt"),
        (("bar", "deep", "--picture", "no/such/folder/a.png"), "there is no folder"),
    ],
)
def test_bad_words_get_one_line(ask: Ask, words: tuple[str, ...], said: str) -> None:
    code, out, err = ask(*words)
    assert code == 2
    assert out == ""
    assert said in err
    assert len(err.splitlines()) == 1


@pytest.mark.parametrize("show", ["mm", "ft-in"])
def test_every_answer_can_be_told(bar: Part, show: str) -> None:
    """Each fault has its own first line, and none of them stops the rest from being told."""
    asked: list[HangAnswer] = [
        hang(bar, bay()),
        hang(bar, bay(hook=1600.0), tilted(40.0)),
        hang(bar, bay(None, None)),
        hang(bar, bay(), rise_mm=50.0),
        hang(bar, bay(), tilted(0.0, 40.0)),
        hang(bar, bay(), tilted(0.0, 180.0)),
        hang(bar, bay(hook=1900.0, rules=Rules(tape_tank_mm=3.0)), rise_mm=400.0),
        hang(replace(bar, mass_kg=5.0), bay(), legs=2),
    ]
    shop = replace(Shop.of(bar), show=show)  # type: ignore[arg-type]
    lines = [text(answer, shop).splitlines()[0] for answer in asked]
    assert len(set(lines)) == len(lines) - 1  # the first and the last fit alike
    assert {line.split(": ")[1].split(",")[0] for line in lines} == {"fits", "does not fit", "measure again"}
