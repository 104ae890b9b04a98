"""Pulls in the legs of slings, as the charts and handbooks of riggers print them.

29 CFR 1910.184 and ASME B30.9, as public sling-angle charts and summaries give them; the worked examples of an
off-centre load are those of rigging handbooks.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from strategies.solids import box, tank_of

from fitcheck.geometry.mesh.measure import weighed
from fitcheck.geometry.statics.sling_statics import Hung, tensions_n
from fitcheck.questions.hang.ask import hang
from fitcheck.shapes.catalogue import build
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Part
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Rim, Rules, Tank
from fitcheck.words.units import (
    RAD_PER_DEGREE,
    STANDARD_GRAVITY_M_S2,
)

UPRIGHT = np.array([0.0, 0.0, 1.0])


LOAD_N = 1000.0


def two_legs(out: tuple[float, float], height: float) -> Floats:
    """Return the pulls of two legs whose picks are so far left and right of the hook, so far under it."""
    picks = np.array([[-out[0], 0.0, 0.0], [out[1], 0.0, 0.0]])
    hung = Hung(UPRIGHT, np.array([0.0, 0.0, height]))
    return tensions_n(picks, hung, LOAD_N)


# Degrees from level, and pull over that of a plumb leg: as worked out, 1 / sin, and as the charts of slings
# print it (29 CFR 1910.184 and ASME B30.9, as public sling-angle charts give them; 35 and 40 degrees are cut
# off there, not rounded).
FACTORS = [
    (90.0, 1.0, 1.0),
    (85.0, 1.003820, 1.004),
    (80.0, 1.015427, 1.015),
    (75.0, 1.035276, 1.035),
    (70.0, 1.064178, 1.064),
    (65.0, 1.103378, 1.104),
    (60.0, 1.154701, 1.155),
    (55.0, 1.220775, 1.221),
    (50.0, 1.305407, 1.305),
    (45.0, 1.414214, 1.414),
    (40.0, 1.555724, 1.555),
    (35.0, 1.743447, 1.742),
    (30.0, 2.0, 2.0),
    (20.0, 2.923804, None),
    (10.0, 5.758770, None),
    (5.0, 11.473713, None),
]


@pytest.mark.parametrize(("degrees", "factor", "printed"), FACTORS)
def test_two_legs_pull_by_the_table(degrees: float, factor: float, printed: float | None) -> None:
    out = math.cos(math.radians(degrees))
    pulls = (
        two_legs((out, out), math.sin(math.radians(degrees)))
        if degrees < 90.0
        else two_legs((1e-6, 1e-6), 1.0)
    )
    assert pulls / (LOAD_N / 2.0) == pytest.approx([factor, factor], abs=6e-7)
    if printed is not None:
        assert pulls[0] / (LOAD_N / 2.0) == pytest.approx(printed, abs=1.5e-3)


@pytest.mark.parametrize(
    ("degrees", "carried"), [(90.0, 1000.0), (60.0, 866.0), (45.0, 707.0), (30.0, 500.0)]
)
def test_a_leg_of_1000_lb_carries_by_its_angle(degrees: float, carried: float) -> None:
    """1000 lb legs carry 1000, 866, 707, 500 lb each at 90, 60, 45, 30 deg from level (OSHA-cited toolbox talk)."""
    out = math.cos(math.radians(degrees)) + 1e-9
    pulls = two_legs((out, out), math.sin(math.radians(degrees)))
    assert 1000.0 * (LOAD_N / 2.0) / pulls[0] == pytest.approx(carried, abs=0.5)


def test_an_off_centre_load_to_one_hook() -> None:
    """T1 = W D2 S1 / (H (D1 + D2)) as rigging handbooks have it: W 10000, D1 2, D2 8, H 6."""
    pulls = two_legs((2.0, 8.0), 6.0) * 10.0
    assert pulls == pytest.approx([8432.740427, 3333.333333], rel=1e-9)


G = STANDARD_GRAVITY_M_S2


ALUMINIUM_KG_L = 2.7


def made(shape: str, picks: list[list[float]] | None = None, **values: object) -> Part:
    """Return an aluminium part of a plain shape, lengths in mm."""
    built = build(shape, values)
    part = replace(weighed(shape, built.solid, ALUMINIUM_KG_L), chord_mm=built.chord_mm)
    return part if picks is None else replace(part, picks_mm=np.array(picks, dtype=float))


def bay(hook: float = 3200.0) -> Tank:
    """Return a deep tank with heights over the shop floor."""
    tank = tank_of(box((2600.0, 1200.0, 1219.2)), Rules(25.0, 50.0, 50.0, 100.0))
    return replace(tank, rim=Rim(1350.0, hook), liquid=Liquid("bath", 1.0))


@pytest.fixture(scope="module")
def bar() -> Part:
    """Return a bar of 1200 x 100 x 100 mm, 32.4 kg, picks on top at its quarter points."""
    return made("block", [[300.0, 50.0, 100.0], [900.0, 50.0, 100.0]], size=(1200.0, 100.0, 100.0))


@pytest.mark.parametrize(("degrees", "factor"), [(60.0, 1.154701), (45.0, 1.414214), (30.0, 2.0)])
def test_level_legs_pull_by_the_factor_table(bar: Part, degrees: float, factor: float) -> None:
    """Tension factors of sling charts (29 CFR 1910.184, ASME B30.9, as public summaries give them)."""
    answer = hang(bar, bay(), rise_mm=300.0 * math.tan(math.radians(degrees)))
    for leg in answer.legs:
        assert leg.tension_n == pytest.approx(32.4 * G / 2.0 * factor, rel=1e-6)
        assert leg.angle_rad / RAD_PER_DEGREE == pytest.approx(degrees)
        assert leg.factor == pytest.approx(factor, rel=1e-6)
        assert leg.length_mm == pytest.approx(300.0 / math.cos(math.radians(degrees)))
    assert answer.verdict == "fits"


def test_an_off_centre_load_pulls_as_the_handbooks_have_it() -> None:
    """W = 10000 lb, picks 2 and 8 ft from its centre, hook 6 ft over them: 8432.740427 and 3333.333333 lb."""
    feet = 304.8
    part = made("block", [[8 * feet, 76.0, 152.0], [18 * feet, 76.0, 152.0]], size=(20 * feet, 152.0, 152.0))
    pounds = 10000.0 * 0.45359237
    answer = hang(replace(part, mass_kg=pounds), bay(hook=9000.0), rise_mm=6 * feet)
    pulls = [leg.tension_n / (pounds * G / 10000.0) for leg in answer.legs]
    assert pulls == pytest.approx([8432.740427, 3333.333333], rel=1e-9)


def test_two_plumb_slings_share_by_moments() -> None:
    """10000 lb with its centre 2 and 8 ft from the slings: 8000 and 2000 lb (rigging handbooks)."""
    feet = 304.8
    part = made("block", [[8 * feet, 76.0, 152.0], [18 * feet, 76.0, 152.0]], size=(20 * feet, 152.0, 152.0))
    answer = hang(replace(part, mass_kg=10000.0 / G), bay(hook=9000.0))
    for rig in answer.rigs:
        assert rig.loads_n == pytest.approx((8000.0, 2000.0), rel=1e-9)
        assert rig.length_mm == pytest.approx(10 * feet)
    spreader = answer.rigs[0]
    assert spreader.upper_n is not None
    # Its upper legs carry the plumb loads, the flatter one at 60 degrees; the push is the same from both ends.
    rise = 8 * feet * math.tan(math.radians(60.0))
    assert spreader.upper_n[1] == pytest.approx(2000.0 * 2.0 / math.sqrt(3.0))
    assert spreader.push_n == pytest.approx(8000.0 * 2 * feet / rise)
    assert spreader.push_n == pytest.approx(2000.0 * 8 * feet / rise)
