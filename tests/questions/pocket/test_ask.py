"""What the questions make of what is caught: the advice of a dip, the map, the holes, the command's answer."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from strategies.solids import box, tank_of

from fitcheck.cli import main
from fitcheck.geometry.liquid.held_pockets import held_at
from fitcheck.geometry.mesh.measure import weighed
from fitcheck.questions.dip.answer import Fits
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.pocket.ask import pocket, ticks_of
from fitcheck.shapes.catalogue import build
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Attitude, Part
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.tank import Rules, Tank
from fitcheck.words.units import RAD_PER_DEGREE, STANDARD_GRAVITY_M_S2

ALUMINIUM_KG_L = 2.7
HALF_TURN = math.pi


def made(shape: str, **values: object) -> Part:
    """Return a part of a plain shape, lengths in mm."""
    built = build(shape, values)
    return replace(weighed(shape, built.solid, ALUMINIUM_KG_L), chord_mm=built.chord_mm)


@pytest.fixture(scope="module")
def pan() -> Part:
    """Return a tray of 600 x 600 x 60 mm, open side up as drawn: 20.8 L inside."""
    return made("pan", size=(600.0, 600.0, 60.0), wall=1.6)


INSIDE_L = 596.8**2 * 58.4 / 1e6


@pytest.fixture(scope="module")
def lid() -> Part:
    """Return a box of 600 x 400 x 100 mm with its open side down as drawn: it catches air when level."""
    return made("section", size=(600.0, 400.0, 100.0), wall=2.0, open="-z", baffles=0)


LID_L = 596.0 * 396.0 * 98.0 / 1e6


def deep_tank(specific_gravity: float = 1.0) -> Tank:
    """Return a tank in which the parts above can be turned any way."""
    tank = tank_of(box((1500.0, 1200.0, 1100.0)), Rules(25.0, 50.0, 50.0, 100.0))
    return replace(tank, liquid=Liquid("bath", specific_gravity))


def advised(part: Part, tank: Tank, prefer: str = "level", angles: Angles | None = None) -> Fits:
    answer = dip(part, tank, prefer, angles)  # type: ignore[arg-type]
    assert isinstance(answer, Fits)
    return answer


def test_an_open_side_down_is_passed_over_for_a_way_that_catches_less(lid: Part) -> None:
    level = advised(lid, deep_tank(), angles=Angles())
    assert level.advice.held.air_l == pytest.approx(LID_L, rel=1e-9)
    answer = advised(lid, deep_tank())
    assert answer.advice.held.air_l <= lid.air_at_most_l
    # Turned over it still lies level: no tilt is needed to let the air out.
    assert answer.advice.pose.angles.tilt_rad == pytest.approx(0.0, abs=1e-9)
    # With a limit above what it catches, level as drawn is the simplest.
    lenient = advised(replace(lid, air_at_most_l=LID_L + 0.1), deep_tank())
    assert lenient.advice.pose.angles == pytest.approx((0.0, 0.0, 0.0), abs=1e-9)


def test_no_way_that_catches_less_leaves_the_simplest(lid: Part) -> None:
    stiff = replace(lid, attitude=Attitude(tilt_rad=0.0, roll_rad=0.0))
    answer = advised(stiff, deep_tank())
    assert answer.advice.held.air_l == pytest.approx(LID_L, rel=1e-9)


def test_best_drain_holds_neither_air_nor_liquid(pan: Part) -> None:
    level = advised(pan, deep_tank())
    assert level.advice.held.carry_out_l == pytest.approx(INSIDE_L, rel=1e-9)
    drained = advised(pan, deep_tank(), "best-drain")
    assert drained.advice.held.air_l + drained.advice.held.carry_out_l < 0.05


def test_air_displaces_liquid_and_lifts(lid: Part) -> None:
    """With the air caught level the lid displaces its metal and all its inside (Archimedes)."""
    tank = deep_tank(1.03)
    advice = advised(lid, tank, angles=Angles()).advice
    metal_l = 600.0 * 400.0 * 100.0 / 1e6 - LID_L
    assert advice.fill.displaced_l == pytest.approx(metal_l + LID_L, rel=1e-9)
    lift_kg = 1.03 * (metal_l + LID_L) - ALUMINIUM_KG_L * metal_l
    assert advice.uplift_n == pytest.approx(lift_kg * STANDARD_GRAVITY_M_S2, rel=1e-9)
    # What the tank needs is the room under the level less both.
    under_l = 1500.0 * 1200.0 * advice.fill.level_mm / 1e6
    assert advice.fill.liquid_l == pytest.approx(under_l - metal_l - LID_L, rel=1e-9)


def test_at_a_lower_level_only_the_air_under_it_displaces(lid: Part) -> None:
    """At a level 40 mm over the lid's lower edge, the air in its lowest 40 mm and the metal there."""
    lowest = 50.0
    answer = dip(lid, deep_tank(), angles=Angles(), level_mm=lowest + 40.0)
    assert isinstance(answer, Fits)
    assert answer.advice.fill.displaced_l == pytest.approx(600.0 * 400.0 * 40.0 / 1e6, rel=1e-9)


def test_a_sealed_float_pulls_up() -> None:
    """A sealed tube of 200 mm by 1200 mm, 2 mm wall, in a bath of 1.02: 37.70 L less its 4.36 kg, 34.1 kg.

    Computed by hand from the closed forms of a cylinder.
    """
    tube = made("pipe", diameter=200.0, length=1200.0, wall=2.0, ends="closed")
    advice = advised(tube, deep_tank(1.02)).advice
    metal_l = (1200.0 * 100.0**2 - 1196.0 * 98.0**2) * math.pi / 1e6
    up_kg = 1.02 * 1200.0 * 100.0**2 * math.pi / 1e6 - ALUMINIUM_KG_L * metal_l
    assert up_kg == pytest.approx(34.1, abs=0.05)
    assert advice.uplift_n == pytest.approx(up_kg * STANDARD_GRAVITY_M_S2, rel=1e-6)
    assert advice.held.air_l == 0.0


def test_a_bathful_comes_out_with_an_open_tray(pan: Part) -> None:
    advice = advised(pan, deep_tank(1.02), angles=Angles()).advice
    assert advice.wet_mass_kg == pytest.approx(pan.mass_kg + 1.02 * INSIDE_L, rel=1e-9)


def test_the_map_knows_the_best_way_and_the_worst(pan: Part) -> None:
    ticked = []
    answer = pocket(pan, progress=lambda: ticked.append(1))
    assert len(ticked) == ticks_of(pan)
    chart, best = answer.map, answer.best
    assert chart is not None
    assert best is not None
    level, over = len(chart.tilts_rad) // 2, -1
    assert chart.rolls_rad[over] == pytest.approx(HALF_TURN)
    assert chart.air_l[level, over] == pytest.approx(INSIDE_L, rel=1e-9)
    assert chart.air_l.max() == pytest.approx(INSIDE_L, rel=1e-9)
    assert best.air_l + best.carry_out_l < 0.01
    assert best.off_l < 0.05
    # What is carried out one way up is what is caught the other way up.
    across = np.round(chart.rolls_rad / RAD_PER_DEGREE).astype(int)
    turned_over = [int(np.flatnonzero((across - roll - 180) % 360 == 0)[0]) for roll in across]
    assert chart.carry_out_l == pytest.approx(chart.air_l[::-1, turned_over], abs=1e-9)


def test_the_map_keeps_to_the_attitudes_allowed(pan: Part) -> None:
    stiff = replace(pan, attitude=Attitude(tilt_rad=0.0, roll_rad=20.0 * RAD_PER_DEGREE))
    answer = pocket(stiff)
    assert answer.map is not None
    assert answer.best is not None
    assert answer.map.tilts_rad.tolist() == [0.0]
    assert abs(answer.map.rolls_rad).max() == pytest.approx(20.0 * RAD_PER_DEGREE)
    assert abs(answer.best.angles.roll_rad) == pytest.approx(20.0 * RAD_PER_DEGREE)


def test_the_best_way_in_a_tank_fits_it(pan: Part) -> None:
    """A tank 300 mm deep inside the clearances takes the tray up to about 25 degrees from flat."""
    shallow = tank_of(box((1500.0, 800.0, 480.0)), Rules(25.0, 50.0, 30.0, 100.0))
    answer = pocket(pan, tank=shallow)
    assert answer.map is not None
    assert answer.map.fits is not None
    assert answer.best is not None
    assert 0 < np.count_nonzero(answer.map.fits) < answer.map.fits.size
    angles = answer.best.angles
    fit = dip(pan, shallow, angles=angles)
    assert fit.verdict == "fits"
    # On edge it would hold nothing; here it holds something whichever way it is turned.
    assert answer.best.carry_out_l + answer.best.air_l > 0.1
    none = pocket(pan, tank=tank_of(box((300.0, 300.0, 480.0)), Rules(25.0, 50.0, 30.0, 100.0)))
    assert none.best is None


def test_a_hole_where_it_is_told_leaves_what_is_told(pan: Part) -> None:
    """The tray upside down, an edge up, with the hole told drilled into it: just that much air is left."""
    angles = Angles(20.0 * RAD_PER_DEGREE, HALF_TURN)
    answer = pocket(pan, angles)
    hole = next(hole for hole in answer.holes if hole.kind == "air")
    assert hole.left_l < 0.1 * answer.held.air_l
    assert hole.through_mm == pytest.approx(1.6, abs=1e-6)
    drilled = _drilled(pan, hole.at_mm, 6.0)
    left = held_at(drilled, rotation_from(angles)).air_l
    # The hole told is a point; a round one lets the air out up to its upper edge.
    assert left <= hole.left_l + 1e-9
    assert left >= 0.25 * hole.left_l


def _drilled(part: Part, at_mm: tuple[float, float, float], diameter_mm: float) -> Part:
    import manifold3d

    mesh = manifold3d.Mesh64(np.array(part.solid.vertices_mm), part.solid.triangles.astype(np.uint64))
    bit = manifold3d.Manifold.cylinder(20.0, diameter_mm / 2.0, -1.0, 48, center=True).translate(at_mm)
    cut = (manifold3d.Manifold(mesh) - bit).to_mesh64()
    return weighed("drilled", _solid(cut), ALUMINIUM_KG_L)


def _solid(mesh: object) -> object:
    from fitcheck.things.solid import Solid

    return Solid(np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts).astype(np.int64))  # type: ignore[attr-defined]


def test_three_bays_need_three_holes() -> None:
    """A box with two baffles, open side down, has a pocket in each bay; a hole lets out one of them."""
    bays = made("section", size=(1500.0, 700.0, 420.0), wall=1.6, open="-z", baffles=2)
    answer = pocket(bays, Angles(10.0 * RAD_PER_DEGREE))
    air = [row for row in answer.held.pockets if row.kind == "air"]
    assert len(air) == 3
    holes = [hole.left_l for hole in answer.holes if hole.kind == "air"]
    assert len(holes) == 3
    assert holes[0] < answer.held.air_l - 0.9 * max(row.volume_l for row in air)
    assert holes[0] > holes[1] > holes[2]
    assert holes[2] < 0.02 * answer.held.air_l


def test_a_degree_off_matters_where_a_face_stands_upright() -> None:
    """A box 1000 deep with its open side upright holds nothing; a degree off it holds a wedge."""
    bay = made("section", size=(500.0, 1002.0, 302.0), wall=2.0, open="+y", baffles=0)
    answer = pocket(bay, Angles())
    assert answer.held.air_l + answer.held.carry_out_l < 1e-9
    # A wedge 1000 long, 1000 tan 1 deg high at its end and 496 wide.
    wedge_l = 1000.0**2 * math.tan(RAD_PER_DEGREE) / 2.0 * 496.0 / 1e6
    assert answer.off_l == pytest.approx(wedge_l, rel=0.01)


SHOP = """
[shop]
name = "bay"
show = "mm"
[rules]
side_clearance = "25 mm"
[liquids.w]
specific_gravity = 1.0
[tanks.deep]
inside = ["1500 mm", "1200 mm", "1100 mm"]
liquid = "w"
[parts.pan]
shape = "pan"
size = ["600 mm", "600 mm", "60 mm"]
wall = "1.6 mm"
metal = "aluminium"
air_at_most = "25 L"
"""


@pytest.fixture(scope="module")
def shop_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("shop") / "shop.toml"
    path.write_text(SHOP)
    return path


Ask = Callable[..., tuple[int, str, str]]


@pytest.fixture
def ask(shop_file: Path, capsys: pytest.CaptureFixture[str]) -> Ask:
    def asked(*words: str) -> tuple[int, str, str]:
        code = main.run(["pocket", str(shop_file), *words])
        out, err = capsys.readouterr()
        return code, out, err

    return asked


def test_the_command_answers_in_litres(ask: Ask) -> None:
    code, out, _ = ask("pan", "--roll", "180 deg")
    assert code == 0
    assert out.splitlines()[0] == (
        "pan, level end to end; rolled upside down: 20.8 L of air stays in going under, no liquid comes out with it"
    )
    for word in ("Best bleed hole", "no air", "bare", "hydrogen", "strength and tightness"):
        assert word in " ".join(out.split())


def test_the_command_in_json(ask: Ask) -> None:
    code, out, _ = ask("pan", "--json", "--tank", "deep")
    data = json.loads(out)
    assert code == 0
    assert data["carry_out_l"] == pytest.approx(INSIDE_L, rel=1e-9)
    assert data["air_l"] == 0.0
    assert [row["kind"] for row in data["pockets"]] == ["liquid"]
    assert data["drain_holes"][0]["carry_out_left_l"] < 0.01
    assert data["bleed_holes"] == []
    assert {"pose", "air_l", "carry_out_l", "one_degree_off_l"} <= data["best"].keys()
    rows, columns = len(data["map"]["tilt_deg"]), len(data["map"]["roll_deg"])
    assert np.array(data["map"]["air_l"]).shape == (rows, columns) == np.array(data["map"]["fits"]).shape


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("pot",), 'there is no part "pot"'),
        (("pan", "--tank", "deeep"), "did you mean deep?"),
        (("pan", "--tilt", "30"), "--tilt"),
        (("pan", "--tank", "deep", "--tilt", "30 deg"), "--tank: it belongs to the map"),
        (("pan", "--picture", "no/such/folder/a.png"), "there is no folder"),
    ],
)
def test_bad_words_get_one_line(ask: Ask, words: tuple[str, ...], said: str) -> None:
    code, out, err = ask(*words)
    assert code == 2
    assert out == ""
    assert said in err
    assert len(err.splitlines()) == 1


def test_the_shop_says_how_much_air_is_too_much(shop_file: Path) -> None:
    from fitcheck.files.shop_file import read_shop

    assert read_shop(shop_file).parts["pan"].air_at_most_l == 25.0
