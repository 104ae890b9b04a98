"""Two passes: against hand-checks of rectangles seen from the side, and against exact distances."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies.solids import box, hulled, part_of, tank_of

from fitcheck.cli import main
from fitcheck.geometry.liquid.halfspace_area import dry_share, wet_areas_mm2
from fitcheck.geometry.liquid.overhang import lowest_lift_mm, underside
from fitcheck.geometry.liquid.wet_bound import most_wet_share
from fitcheck.geometry.poses.dip_problem import dip_problem
from fitcheck.proving.exact_gaps import recheck_pass
from fitcheck.questions.passes.answer import PassAnswer
from fitcheck.questions.passes.ask import passes
from fitcheck.questions.passes.let_down import let_down, over_tank, pass_of
from fitcheck.questions.passes.prove import prove_pass
from fitcheck.say.cautions import sentences
from fitcheck.shapes.manifold import manifold_of, solid_of
from fitcheck.things.part import Attitude
from fitcheck.things.pose import Angles, Pose
from fitcheck.things.tank import Rules, Tank
from fitcheck.words.units import MM_PER_INCH, RAD_PER_DEGREE

RULES_IN = {"side_clearance_mm": 1.0, "bottom_clearance_mm": 2.0, "cover_mm": 2.0, "freeboard_mm": 4.0}


def long_tank(overlap_in: float, tape_in: float = 0.0) -> Tank:
    """Return a tank of 24 ft x 16 in x 24 in."""
    rules = Rules(
        **{key: value * MM_PER_INCH for key, value in RULES_IN.items()},
        overlap_mm=overlap_in * MM_PER_INCH,
        tape_tank_mm=tape_in * MM_PER_INCH,
    )
    return tank_of(box(MM_PER_INCH * np.array([288.0, 16.0, 24.0])), rules)


def windows(answer: PassAnswer, turn: str) -> list[tuple[float, float]]:
    return [
        (window.low_rad / RAD_PER_DEGREE, window.high_rad / RAD_PER_DEGREE)
        for window in answer.windows
        if window.turn == turn
    ]


def test_a_mast_in_two_passes() -> None:
    """A mast of 292 x 7 1/4 x 4 1/8 in: by hand, 18 in of liquid stand over the bottom clearance.

    Computed from the triangles of a rectangle seen from the side: the upper face is wet over
    (18 - 4.125 cos t) / sin t from its low end, the lower face over 18 / sin t.
    """
    mast = part_of(box(MM_PER_INCH * np.array([292.0, 7.25, 4.125])))
    answer = passes(mast, long_tank(12.0))
    assert (answer.verdict, answer.at_least.passes, len(answer.passes)) == ("fits", 2, 2)
    ((low, high),) = windows(answer, "same face up")
    ((low_over, high_over),) = windows(answer, "upside down")
    t = low * RAD_PER_DEGREE
    under = 2.0 + (288.0 - 1.0 - 4.125 * math.sin(t)) * math.tan(t) - 24.0
    assert under * math.cos(t) == pytest.approx(1.0, abs=1e-6)
    t = high * RAD_PER_DEGREE
    assert 2.0 * (18.0 - 4.125 * math.cos(t)) / math.sin(t) == pytest.approx(292.0 + 12.0, abs=1e-4)
    assert low_over == pytest.approx(low, abs=1e-6)
    t = high_over * RAD_PER_DEGREE
    assert (36.0 - 4.125 * math.cos(t)) / math.sin(t) == pytest.approx(292.0 + 12.0, abs=1e-4)
    t = answer.passes[0].pose.angles.tilt_rad
    shared_in = 2.0 * (18.0 - 4.125 * math.cos(t)) / math.sin(t) - 292.0
    assert answer.overlap_mm == pytest.approx(shared_in * MM_PER_INCH, abs=1e-6)
    assert answer.covered == pytest.approx(1.0, abs=1e-12)


def test_a_tank_section_stood_on_end_leaves_a_gap_leaned_it_does_not() -> None:
    """2100 x 700 x 420 mm in 1828.8 x 762 x 1219.2: on end the passes share 38 mm, at 38 degrees 290 mm.

    By hand: on end 2 x 1069.2 - 2100; at a tilt t, 2 (1069.2 - 420 cos t) / sin t - 2100.
    """
    section = part_of(box((2100.0, 700.0, 420.0)))
    tank = tank_of(box((1828.8, 762.0, 1219.2)), Rules(25.0, 50.0, 50.0, 100.0, overlap_mm=100.0))
    answer = passes(section, tank)
    assert (answer.verdict, answer.at_least.passes) == ("fits", 2)
    ((_, high),) = windows(answer, "same face up")
    t = high * RAD_PER_DEGREE
    assert 2.0 * (1069.2 - 420.0 * math.cos(t)) / math.sin(t) == pytest.approx(2200.0, abs=1e-4)
    t = answer.passes[0].pose.angles.tilt_rad
    assert t < 45.0 * RAD_PER_DEGREE
    shared = 2.0 * (1069.2 - 420.0 * math.cos(t)) / math.sin(t) - 2100.0
    assert answer.overlap_mm == pytest.approx(shared, abs=1e-6)
    upright = passes(
        replace(section, attitude=Attitude(roll_rad=0.0)),
        replace(tank, rules=replace(tank.rules, overlap_mm=30.0)),
    )
    ends = windows(upright, "same face up")
    assert ends[-1][1] == pytest.approx(90.0)


def test_one_pass_where_one_will_do() -> None:
    boom = part_of(box(MM_PER_INCH * np.array([186.0, 6.0, 4.0])))
    answer = passes(boom, long_tank(4.0))
    assert (answer.verdict, answer.at_least.passes, len(answer.passes), answer.covered) == ("fits", 1, 1, 1.0)
    assert answer.turn is None


def test_a_deep_block_is_rolled_over() -> None:
    """1000 x 300 x 500 in 300 mm of depth over the clearance: 300 wet each way up, 100 shared."""
    tank = tank_of(box((1400.0, 600.0, 450.0)), Rules(25.0, 50.0, 50.0, 100.0, overlap_mm=80.0))
    deep = replace(part_of(box((1000.0, 540.0, 500.0))), attitude=Attitude(tilt_rad=0.0))
    answer = passes(deep, tank)
    assert (answer.verdict, answer.turn) == ("fits", "rolled over")
    assert answer.overlap_mm == pytest.approx(100.0)


def test_what_no_pass_can_reach_is_refused() -> None:
    """A pass that wets the middle of a beam wets one of its ends; so they lie in the bath together.

    The longest line in the bath is hypot(286, 14, 18) = 286.9 in, from the middle to an end it is 350 in.
    """
    answer = passes(part_of(box(MM_PER_INCH * np.array([700.0, 7.25, 4.125]))), long_tank(12.0))
    assert (answer.verdict, answer.at_least.passes) == ("does not fit", 2)
    assert answer.never is not None
    assert answer.never.room_mm == pytest.approx(math.hypot(286.0, 14.0, 18.0) * MM_PER_INCH)
    assert answer.never.distance_mm >= 350.0 * MM_PER_INCH - 1e-6
    assert 0.0 < answer.covered < 1.0
    assert answer.overlap_mm is not None
    assert answer.overlap_mm < 0.0


def test_the_tape_decides() -> None:
    """An overlap that the sizes leave room for, and an inch of tape does not.

    Just clear of the rim, at 4.588 deg, the passes share 2 (18 - 4.125 cos t) / sin t - 292 = 55.2 in, and
    less at any other tilt; with an inch less of liquid and an inch more over the rim, 25 in less.
    """
    mast = part_of(box(MM_PER_INCH * np.array([292.0, 7.25, 4.125])))
    mast = replace(mast, attitude=Attitude(roll_rad=0.0))
    assert passes(mast, long_tank(45.0)).verdict == "fits"
    assert passes(mast, long_tank(45.0, tape_in=2.0)).verdict == "measure again"
    assert passes(mast, long_tank(56.0)).verdict == "not found"


def test_attitude_limits_are_kept() -> None:
    mast = part_of(box(MM_PER_INCH * np.array([292.0, 7.25, 4.125])))
    level = replace(mast, attitude=Attitude(tilt_rad=3.0 * RAD_PER_DEGREE, roll_rad=0.0))
    answer = passes(level, long_tank(12.0))
    assert answer.verdict == "not found"
    assert answer.windows == ()
    fixed = passes(replace(mast, attitude=Attitude(swing_rad=0.0)), long_tank(12.0))
    assert fixed.verdict == "fits"  # turned end for end by hand outside the tank


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.0, 900.0), st.floats(0.0, 300.0)), min_size=3, max_size=12),
    st.floats(200.0, 1200.0),
    st.floats(50.0, 400.0),
    st.floats(1.0, 60.0),
)
def test_the_lift_over_a_rim_is_the_least(
    points: list[tuple[float, float]], wall: float, rim: float, clearance: float
) -> None:
    """Raised so, the outline is just so far from the wall, by shapely's distance of polygons."""
    outline = np.array(points)
    if np.linalg.matrix_rank(outline - outline[0], tol=1.0) < 2:
        return
    lift = lowest_lift_mm(outline, (wall, rim), clearance)
    hull = shapely.MultiPoint(outline).convex_hull
    block = shapely.box(wall, -5000.0, wall + 5000.0, rim)
    if math.isinf(lift):
        assert hull.bounds[2] <= wall - clearance + 1e-9
        return
    # Under the rim but short of the wall nothing need be raised: the clearance alone decides.
    raised = shapely.affinity.translate(hull, 0.0, lift)
    assert raised.distance(block) >= clearance - 1e-6
    lowered = shapely.affinity.translate(hull, 0.0, lift - 1.0)
    assert lowered.distance(block) < clearance


def test_the_underside_of_a_box_on_its_corner() -> None:
    square = np.array([[0.0, 1.0], [1.0, 0.0], [2.0, 1.0], [1.0, 2.0], [1.0, 1.0]])
    assert underside(square).tolist() == [[0.0, 1.0], [1.0, 0.0], [2.0, 1.0]]


def test_the_dry_share_against_points_thrown_at_random() -> None:
    import trimesh

    rng = np.random.default_rng(5)
    solid = box((300.0, 200.0, 100.0))
    mesh = trimesh.Trimesh(solid.vertices_mm, solid.triangles)
    ups = rng.normal(size=(2, 3))
    lines = ups @ np.array([150.0, 100.0, 50.0])
    thrown, _ = trimesh.sample.sample_surface(mesh, 200_000, seed=1)
    dry = ((thrown @ ups.T) > lines).all(axis=1).mean()
    # Of 200,000 points a share is known to about 0.001.
    assert dry_share(solid, ups, lines) == pytest.approx(dry, abs=0.005)
    assert dry_share(solid, ups[:1], np.array([-1e9])) == pytest.approx(1.0)
    assert dry_share(solid, ups[:1], np.array([1e9])) == 0.0


def test_every_pass_told_holds_and_a_tampered_one_does_not() -> None:
    mast = part_of(box(MM_PER_INCH * np.array([292.0, 7.25, 4.125])))
    tank = long_tank(12.0)
    for each in passes(mast, tank).passes:
        assert recheck_pass(mast, tank, each.pose).holds
        for move in ((0.0, 0.0, -5.0), (0.0, 150.0, 0.0), (-30.0, 0.0, 0.0)):
            pose = each.pose
            moved = Pose(pose.to_frame, pose.from_frame, pose.rotation, pose.shift_mm + np.array(move))
            assert not recheck_pass(mast, tank, moved).holds


def test_a_part_beside_the_tank_is_no_pass() -> None:
    stick = part_of(box((100.0, 50.0, 50.0)))
    tank = long_tank(4.0)
    outside = Pose("tank", "part", np.eye(3), np.array([9000.0, 100.0, 100.0]))
    assert not recheck_pass(stick, tank, outside).holds


@pytest.mark.parametrize("under_mm", [1e-17, 0.5])
def test_a_part_on_the_floor_is_beyond_the_floor_and_not_the_walls(under_mm: float) -> None:
    """Rounding puts a corner under a floor that asks for no clearance; the walls, 100 mm off, ask for 25.4."""
    stick = part_of(box((100.0, 50.0, 50.0)))
    tank = long_tank(4.0)
    tank = replace(tank, rules=replace(tank.rules, bottom_clearance_mm=0.0))
    shift = np.array([100.0, (tank.size_mm[1] - 50.0) / 2.0, -under_mm])
    found = recheck_pass(stick, tank, Pose("tank", "part", np.eye(3), shift))
    gaps = {gap.between: gap.gap_mm for gap in found.gaps}
    assert gaps["floor"] == -under_mm
    assert gaps["walls"] >= 25.4
    assert found.holds == (under_mm < 0.5)


SHOP = """
[shop]
name = "bay"
show = "mm"
[rules]
side_clearance = "25 mm"
bottom_clearance = "50 mm"
cover = "50 mm"
freeboard = "100 mm"
overlap = "100 mm"
[liquids.w]
specific_gravity = 1.0
[tanks.deep]
inside = ["1828.8 mm", "762 mm", "1219.2 mm"]
liquid = "w"
[parts.section]
shape = "block"
size = ["2100 mm", "700 mm", "420 mm"]
metal = "aluminium"
[parts.beam]
shape = "block"
size = ["9000 mm", "700 mm", "420 mm"]
metal = "aluminium"
"""


@pytest.mark.parametrize(("part", "code"), [("section", 0), ("beam", 1), ("bean", 2)])
def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str], part: str, code: int) -> None:
    path = tmp_path / "shop.toml"
    path.write_text(SHOP)
    assert main.run(["pass", str(path), part, "deep"]) == code
    out, err = capsys.readouterr()
    if code == 2:
        assert "did you mean beam?" in err
        return
    assert main.run(["pass", str(path), part, "deep", "--json"]) == code
    data = json.loads(capsys.readouterr().out)
    assert data["at_least_passes"] == 2
    assert {"verdict", "passes", "overlap_mm", "windows", "covered"} <= data.keys()
    if code == 0:
        assert out.startswith("section in deep: two passes (one is proven not to do)")
        assert data["windows"][0]["turn"] == "same face up"
    else:
        assert out.startswith("beam in deep: does not fit, no number of passes wets all of it (proven)")
        assert "stay dry between them" in out
        assert data["never"]["distance_mm"] > data["never"]["room_mm"]


def works(tilt: float, length: float, height: float, overlap: float, *, over: bool) -> bool:
    """Tell, in inches and closed form, whether two passes of a mast do at a tilt in the long tank."""
    rim = (2.0 + (287.0 - height * math.sin(tilt)) * math.tan(tilt) - 24.0) * math.cos(tilt)
    if length * math.cos(tilt) + height * math.sin(tilt) > 286.0 and rim < 1.0:
        return False
    wet = 36.0 - (1.0 if over else 2.0) * height * math.cos(tilt)
    return wet >= (length + overlap) * math.sin(tilt)


@pytest.mark.parametrize("overlap_in", [12.0, 40.0, 55.0, 55.22])
def test_windows_against_dense_sampling(overlap_in: float) -> None:
    """At 3,001 tilts: inside a window two passes do, outside they do not. The last is 0.003 deg wide."""
    mast = part_of(box(MM_PER_INCH * np.array([292.0, 7.25, 4.125])))
    answer = passes(mast, long_tank(overlap_in))
    for turn in ("same face up", "upside down"):
        found = windows(answer, turn)
        assert found, turn
        for tilt in np.linspace(3.0, 9.0, 3001):
            inside = any(low <= tilt <= high for low, high in found)
            near = min(abs(tilt - end) for window in found for end in window) < 1e-6
            expected = works(tilt * RAD_PER_DEGREE, 292.0, 4.125, overlap_in, over=turn == "upside down")
            assert near or inside == expected, (turn, tilt)
    ((low, high),) = windows(answer, "same face up")
    if overlap_in > 55.2:
        assert 0.0 < high - low < 0.01


def fewest(answer: PassAnswer) -> float:
    return len(answer.passes) if answer.verdict == "fits" else math.inf


def test_deeper_never_needs_more_and_more_overlap_never_fewer() -> None:
    section = part_of(box((2100.0, 700.0, 420.0)))
    tank = tank_of(box((1828.8, 762.0, 1219.2)), Rules(25.0, 50.0, 50.0, 100.0, overlap_mm=100.0))
    deeper = [
        fewest(passes(section, replace(tank_of(box((1828.8, 762.0, depth)), tank.rules))))
        for depth in (1000.0, 1219.2, 1700.0, 2000.0)
    ]
    assert deeper == sorted(deeper, reverse=True)
    assert deeper[0] > deeper[-1] == 1
    wider = [
        fewest(passes(section, replace(tank, rules=replace(tank.rules, overlap_mm=overlap))))
        for overlap in (0.0, 290.0, 800.0)
    ]
    assert wider == sorted(wider)


def test_what_one_pass_wets_bounds_the_count() -> None:
    """A cube of 900 in 351 mm of liquid: flat, a pass wets (900 + 4 x 351) / 6 x 900 = 0.427 of it.

    So two will not do, whichever way they are turned, if no attitude wets half.
    """
    cube = part_of(box((900.0, 900.0, 900.0)))
    tank = tank_of(box((1500.0, 1500.0, 500.0)), Rules(25.0, 49.0, 50.0, 100.0, overlap_mm=20.0))
    answer = passes(cube, tank)
    share = answer.at_least.share_at_most
    assert (answer.at_least.because, answer.at_least.passes) == ("area", 3)
    assert share is not None
    assert (900.0 + 4.0 * 351.0) / (6.0 * 900.0) <= share < 0.5
    assert max(each.covers for each in answer.passes) <= share
    assert (answer.verdict, answer.covered) == ("fits", pytest.approx(1.0))


def test_no_attitude_wets_more_than_its_bound() -> None:
    """A wedge at 3,000 attitudes drawn at random: none wets more than the bound, and some nearly as much."""
    rng = np.random.default_rng(3)
    wedge = hulled([[0, 0, 0], [900, 0, 0], [0, 700, 0], [0, 0, 800], [900, 700, 60], [900, 0, 60]])
    corners, deep = wedge.vertices_mm, 110.0
    bound = most_wet_share(wedge, corners, deep, (math.pi / 2.0, math.pi))
    ups = rng.normal(size=(3000, 3))
    ups /= np.linalg.norm(ups, axis=1, keepdims=True)
    wet = wet_areas_mm2(wedge, ups, (ups @ corners.T).min(axis=1) + deep)
    most = float(wet.max() / wet_areas_mm2(wedge, ups[:1], np.array([1e6]))[0])
    assert 0.9 * bound < most <= bound < 0.5


def test_the_yards_mast_and_tank_section() -> None:
    """By hand, in degrees; low ends where the underside is just so far from the rim, in a straight line.

    The mast of 292 x 4 1/8 in to 5.24, and 6.02 turned over; the section of 2100 x 420 mm to 44.3 and 61.8.
    """
    from fitcheck.files.shop_file import read_shop

    yard = Path(__file__).parents[3] / "examples" / "yard" / "yard.toml"
    for name, tank, ends in (("P02", "T1", (4.588, 5.244, 6.023)), ("P04", "T2", (37.83, 44.3, 61.85))):
        shop = read_shop(yard, name)
        part, held = shop.parts[name], shop.tanks[tank]
        rules = replace(held.rules, overlap_mm=304.8 if name == "P02" else held.rules.overlap_mm)
        answer = passes(part, replace(held, rules=rules))
        assert (answer.verdict, answer.at_least.passes, len(answer.passes)) == ("fits", 2, 2)
        ((low, high),) = windows(answer, "same face up")
        ((low_over, high_over),) = windows(answer, "upside down")
        # The mast is an oval: a little less deep at its ends than the box round it.
        assert (low, high, high_over) == pytest.approx(ends, abs=0.05)
        assert low_over == pytest.approx(low, abs=0.05)
    t = 37.83 * RAD_PER_DEGREE
    under = 50.0 + (1828.8 - 25.0 - 420.0 * math.sin(t)) * math.tan(t) - 1219.2
    assert under * math.cos(t) == pytest.approx(25.0, abs=0.5)


def test_things_in_the_way_keep_the_tapes_too() -> None:
    """A heater 27 mm off the pass that is first thought of: clear of its 25 mm, not of 4 mm of tape as well."""
    section = part_of(box((2100.0, 700.0, 420.0)))
    rules = Rules(25.0, 50.0, 50.0, 100.0, overlap_mm=50.0, tape_part_mm=4.0, tape_tank_mm=4.0)
    inside = box((1828.8, 762.0, 1219.2))
    tank = tank_of(inside, rules, heater=box((40.0, 700.0, 575.3), at=(1000.0, 31.0, 1.0)))
    first = passes(section, tank_of(inside, rules)).passes[0]
    gaps = {gap.between: gap.gap_mm for gap in recheck_pass(section, tank, first.pose).gaps}
    assert gaps["heater"] == pytest.approx(27.0, abs=0.1)
    answer = passes(section, tank)
    assert answer.verdict == "fits"
    assert all(recheck_pass(section, tank, each.pose).spare_mm >= 4.0 - 1e-9 for each in answer.passes)
    assert {each.held_by for each in answer.passes} == {"what stands there"}
    # Raised over it they share less than they would, as the proof finds too.
    assert prove_pass(answer, section, tank).holds


def test_air_under_a_bell_that_stands_out_of_the_bath() -> None:
    """A box of 300 x 200 x 400 mm, open below, 5 mm thick, 250 mm of it under: its inside is 290 x 190."""
    bell = manifold_of(box((300.0, 200.0, 400.0))) - manifold_of(box((290.0, 190.0, 395.0), (5.0, 5.0, 0.0)))
    rules = Rules(10.0, 20.0, 0.0, 30.0, overlap_mm=10.0)
    part, tank = part_of(solid_of(bell, "bell")), tank_of(box((400.0, 300.0, 300.0)), rules)
    over = over_tank(dip_problem(part, tank))
    way = let_down(over, Angles(), 0.0)
    assert way is not None
    only = pass_of(over, way, over.level_mm)
    assert only.lowest_mm == pytest.approx(20.0)
    assert only.air_l == pytest.approx(0.29 * 0.19 * 0.25 * 1000.0)
    assert only.air_m2 == pytest.approx(2.0 * (0.29 + 0.19) * 0.25)
    metal_l = (0.3 * 0.2 - 0.29 * 0.19) * 0.25 * 1000.0
    assert only.fill.displaced_l == pytest.approx(metal_l + only.air_l)


def test_all_wet_without_the_cover_is_not_one_pass() -> None:
    """A plate leaned over by 50 deg stands 208 mm high under 220 mm of liquid: 12 mm are not the cover of 60."""
    part = replace(part_of(box((1000.0, 20.0, 300.0))), attitude=Attitude(0.0, 54.0 * RAD_PER_DEGREE))
    tank = tank_of(box((1500.0, 900.0, 320.0)), Rules(0.0, 0.0, 60.0, 100.0, overlap_mm=10.0))
    answer = passes(part, tank)
    assert (answer.verdict, answer.at_least.passes, len(answer.passes)) == ("fits", 2, 2)
    assert prove_pass(answer, part, tank).holds


@pytest.mark.parametrize(("overlap_mm", "turn"), [(60.0, "rolled over"), (100.0, "upside down")])
def test_the_band_square_to_the_line(overlap_mm: float, turn: str) -> None:
    """A plate of L x H on its edge under D of liquid: at tilt t it is H cos t + L sin t high in both passes.

    Turned over, up is down, so the two lines are parallel and 2 D - H cos t - L sin t apart.
    """
    part = replace(part_of(box((1000.0, 600.0, 2.0))), attitude=Attitude(2.0 * RAD_PER_DEGREE))
    tank = tank_of(box((1500.0, 20.0, 400.0)), Rules(5.0, 10.0, 20.0, 50.0, overlap_mm=overlap_mm))
    answer = passes(part, tank)
    assert (answer.verdict, answer.turn) == ("fits", turn)
    assert answer.band_mm is not None
    tilt = answer.passes[0].pose.angles.tilt_rad
    high = 600.0 * math.cos(tilt) + 1000.0 * math.sin(abs(tilt))
    assert answer.band_mm == pytest.approx(2.0 * 340.0 - high, abs=1e-3)  # found by halving to that
    assert prove_pass(answer, part, tank).holds
    assert not prove_pass(replace(answer, band_mm=answer.band_mm + 0.1), part, tank).holds
    said = sentences(answer.cautions, "mm")
    assert any("leaves a dry line" in each for each in said) == (answer.band_mm < overlap_mm)
