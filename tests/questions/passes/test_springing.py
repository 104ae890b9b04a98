"""Sheet sprung into an arc: closed forms and a worked skin."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from strategies.solids import box, part_of, tank_of

from fitcheck.cli import main
from fitcheck.geometry.mesh.measure import measures
from fitcheck.geometry.statics.elastica import bend_of, plate_stiffness_nmm
from fitcheck.geometry.statics.sprung_sheet import bent_part, is_springy, least_radius_mm, sprung_to
from fitcheck.questions.passes.ask import passes
from fitcheck.things.metals import ALLOYS
from fitcheck.things.part import Attitude
from fitcheck.things.springing import Springiness
from fitcheck.things.tank import Rules
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM_PER_INCH, RAD_PER_DEGREE

# A skin of 10 ft x 3 ft x 0.050 in that yields at 0.28 %.
SPRING = Springiness(0.0028, "a bend test", 70.3, 0.33)
SKIN = replace(part_of(box((3048.0, 914.4, 1.27))), spring=SPRING)
DEEP = tank_of(box((1828.8, 762.0, 1219.2)), Rules(25.0, 50.0, 50.0, 100.0, overlap_mm=100.0))


def test_the_skin_worked_by_hand() -> None:
    """914.4 mm round a chord of 712: sin(a) / a = 712 / 914.4 gives radius 382.8, rise 242, strain 0.17 %."""
    bend = bend_of(914.4, 712.0)
    assert bend.curve == "arc"
    assert bend.radius_mm == pytest.approx(382.8, abs=0.1)
    assert bend.rise_mm == pytest.approx(242.0, abs=0.5)
    assert 1.27 / (2.0 * bend.radius_mm) == pytest.approx(0.0017, abs=0.00005)
    assert math.sin(bend.half_angle_rad) / bend.half_angle_rad == pytest.approx(712.0 / 914.4, rel=1e-12)
    assert 2.0 * bend.half_angle_rad * bend.radius_mm == pytest.approx(914.4, rel=1e-12)


def test_a_narrow_tank_asks_for_a_u_that_keeps_a_set() -> None:
    """Between walls 14 in apart the skin is a U of 7 in: 0.05 / 14 = 0.36 % at its faces, over 0.28 %."""
    sprung = sprung_to(SKIN, 14.0 * MM_PER_INCH)
    assert sprung.curve == "U"
    assert sprung.radius_mm == pytest.approx(7.0 * MM_PER_INCH - 1.27 / 2.0)
    assert sprung.strain == pytest.approx(0.0036, abs=0.00005)
    assert sprung.keeps_a_set
    answer = passes(SKIN, DEEP, chord_mm=14.0 * MM_PER_INCH)
    assert (answer.verdict, answer.passes) == ("does not fit", ())
    assert answer.reason.startswith("permanent set")
    legs = 914.4 - math.pi * sprung.radius_mm
    assert sprung.rise_mm == pytest.approx(sprung.radius_mm + legs / 2.0 + 1.27 / 2.0)


def test_the_skin_goes_in_sprung_and_only_turned_over() -> None:
    """By hand, as a box of 3048 x 241 with h over all: 36.1 to 38.2 deg turned over, and never same face up.

    The wet lengths: (2 x 1069.2 - 241 cos t) / sin t = 3148 at the upper end. At the lower one the hand-check
    keeps 25 mm upright over the rim, here it is a straight line: 25 / cos t upright, so a little lower.
    """
    answer = passes(SKIN, DEEP, chord_mm=711.0)
    assert (answer.verdict, len(answer.passes), answer.turn) == ("fits", 2, "upside down")
    (window,) = answer.windows
    assert window.turn == "upside down"
    assert answer.sprung is not None
    rise = answer.sprung.rise_mm
    t = window.high_rad
    # The arc's flats stand out over the true arc by a hundredth of a mm.
    assert (2.0 * 1069.2 - rise * math.cos(t)) / math.sin(t) == pytest.approx(3148.0, abs=0.1)
    assert t / RAD_PER_DEGREE == pytest.approx(38.2, abs=0.1)
    t = window.low_rad
    under = 50.0 + (1778.8 + 25.0 - rise * math.sin(t)) * math.tan(t) - 1219.2
    assert under * math.cos(t) == pytest.approx(25.0, abs=0.1)
    assert t / RAD_PER_DEGREE == pytest.approx(36.1, abs=0.3)


def test_hardly_bent_it_pulls_as_it_buckles() -> None:
    """Euler: pi^2 D / l^2 for each unit of breadth; D = E t^3 / 12 (1 - nu^2)."""
    sprung = sprung_to(SKIN, 914.0)
    stiffness = 70_300.0 * 1.27**3 / 12.0 / (1.0 - 0.33**2)
    assert plate_stiffness_nmm(1.27, 70.3, 0.33) == pytest.approx(stiffness)
    assert sprung.pull_n == pytest.approx(math.pi**2 * stiffness * 3048.0 / 914.4**2, rel=1e-3)


def test_least_radius() -> None:
    assert least_radius_mm(1.27, SPRING) == pytest.approx(1.27 / 0.0056)
    assert ALLOYS["5052-H32"].yield_strain == pytest.approx(193.0 / 70_300.0)


def test_the_part_as_bent() -> None:
    """Chord over its outer edges, rise over all, and the metal of the flat sheet; its length is left alone."""
    sprung = sprung_to(SKIN, 700.0)
    bent = bent_part(SKIN, 700.0)
    size = np.ptp(bent.solid.vertices_mm, axis=0)
    assert size.tolist() == pytest.approx([3048.0, 700.0, sprung.rise_mm], abs=1e-6)
    flats = measures(bent.solid).volume_mm3 / measures(SKIN.solid).volume_mm3
    # The flats' chords are shorter than the arcs by step^2 / 24, and flats thinner by step^2 / 8.
    assert 0.0 < 1.0 - flats <= (math.pi / 72.0) ** 2 / 6.0
    assert bent.mass_kg == SKIN.mass_kg
    assert not is_springy(bent)


def test_what_cannot_be_sprung_is_refused() -> None:
    with pytest.raises(Refused, match="chord"):
        sprung_to(SKIN, 914.4)
    with pytest.raises(Refused, match="not flat thin sheet"):
        sprung_to(replace(part_of(box((900.0, 300.0, 40.0))), spring=SPRING), 200.0)
    with pytest.raises(Refused, match="springs back"):
        sprung_to(replace(SKIN, spring=None), 700.0)


def test_what_is_proven_flat_is_not_said_of_a_sheet_that_may_be_sprung() -> None:
    """A skin 12 ft across goes into no bath flat; sprung it might, so that is not a proof."""
    wide = replace(part_of(box((9000.0, 3700.0, 1.27))), spring=SPRING, attitude=Attitude(0.2, 0.0))
    rigid = passes(replace(wide, spring=None), DEEP)
    assert rigid.verdict == "does not fit"
    answer = passes(wide, DEEP)
    assert (answer.verdict, answer.at_least.shape) == ("not found", "flat")
    assert answer.reason.startswith("flat it does not go")


SHOP = """
[rules]
side_clearance = "25 mm"
overlap = "100 mm"
[liquids.w]
specific_gravity = 1.0
[tanks.deep]
inside = ["1828.8 mm", "762 mm", "1219.2 mm"]
liquid = "w"
[parts.skin]
shape = "plate"
size = ["3048 mm", "914.4 mm", "1.27 mm"]
metal = "aluminium"
"""


def test_the_command_and_its_keys(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "shop.toml"
    path.write_text(SHOP + 'alloy = "5052-H32"\n')
    assert main.run(["pass", str(path), "skin", "deep", "--sprung", "300 mm"]) == 1
    assert "permanent set" in capsys.readouterr().out
    path.write_text(SHOP + 'alloy = "5052-H33"\n')
    assert main.run(["pass", str(path), "skin", "deep"]) == 2
    assert "did you mean 5052-H34?" in capsys.readouterr().err
    path.write_text(SHOP + 'yield_strain = "28"\n')
    assert main.run(["pass", str(path), "skin", "deep"]) == 2
    assert '"0.28 %"' in capsys.readouterr().err
