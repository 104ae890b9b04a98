"""A pose that holds is told from every forgery of it."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies.solids import ball, box, bumpy, hollow, hulled, joined, lathe, part_of, tank_of, turn

from fitcheck.geometry.mesh.distance import Surface, surface_gap_mm
from fitcheck.proving.exact_gaps import Recheck, recheck
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.solid import Floats, Solid
from fitcheck.things.tank import Rules, Tank
from fitcheck.words.errors import Refused

RULES = Rules(side_clearance_mm=25.0, bottom_clearance_mm=50.0, cover_mm=50.0, freeboard_mm=100.0)
# A box in a box with 2 mm to spare on every side: 1000 x 500 x 400 less the clearances.
INSIDE = box((1000.0, 500.0, 400.0))
PART = part_of(box((946.0, 446.0, 196.0)))
PLACE = (27.0, 27.0, 52.0)


def placed(*shift: float, rotation: Floats | None = None) -> Pose:
    return Pose("tank", "part", np.eye(3) if rotation is None else rotation, np.array(shift))


def gaps(found: Recheck) -> dict[str, float]:
    return {gap.between: gap.gap_mm for gap in found.gaps}


def test_box_in_a_box() -> None:
    found = recheck(PART, tank_of(INSIDE, RULES), placed(*PLACE))
    assert found.holds
    assert found.spare_mm == pytest.approx(2.0, abs=1e-12)
    assert gaps(found) == pytest.approx({"rim": 152.0, "floor": 52.0, "walls": 27.0}, abs=1e-12)
    assert [gap.required_mm for gap in found.gaps if gap.between == "rim"] == [150.0]
    assert 0.0 < found.tolerance_mm < 1e-10


def test_nothing_to_spare_still_holds() -> None:
    part = part_of(box((950.0, 450.0, 200.0)))
    found = recheck(part, tank_of(INSIDE, RULES), placed(25.0, 25.0, 50.0))
    assert found.holds
    assert abs(found.spare_mm) <= found.tolerance_mm


@pytest.mark.parametrize("axis", [0, 1, 2])
@pytest.mark.parametrize("by", [-1.0, 1.0])
def test_shifted_by_a_little_more_than_the_spare(axis: int, by: float) -> None:
    tank = tank_of(INSIDE, RULES)
    just, over = np.array(PLACE), np.array(PLACE)
    just[axis] += 2.0 * by
    over[axis] += (2.0 + 1e-6) * by
    assert recheck(PART, tank, placed(*just)).holds
    found = recheck(PART, tank, placed(*over))
    assert not found.holds
    assert found.spare_mm == pytest.approx(-1e-6, abs=1e-11)


def test_turned_by_a_little_too_much() -> None:
    """1e-5 rad about a corner lifts the other end of 946 mm by 0.009 mm."""
    tight = part_of(box((950.0, 450.0, 200.0)))
    turned = rotation_from(Angles(swing_rad=1e-5))
    found = recheck(tight, tank_of(INSIDE, RULES), placed(25.0, 25.0, 50.0, rotation=turned))
    assert not found.holds
    assert found.spare_mm == pytest.approx(-950.0 * 1e-5, rel=1e-2)


def test_shrunken_tank_and_swapped_part() -> None:
    smaller = tank_of(box((996.0 - 1e-6, 500.0, 400.0)), RULES)
    assert not recheck(PART, smaller, placed(*PLACE)).holds
    lower = tank_of(box((1000.0, 500.0, 398.0 - 1e-6)), RULES)
    assert not recheck(PART, lower, placed(*PLACE)).holds
    longer = part_of(box((948.0 + 1e-6, 446.0, 196.0)))
    assert not recheck(longer, tank_of(INSIDE, RULES), placed(*PLACE)).holds


@pytest.mark.parametrize("rule", ["side_clearance_mm", "bottom_clearance_mm", "cover_mm", "freeboard_mm"])
def test_every_rule_is_looked_at(rule: str) -> None:
    stricter = dataclasses.replace(RULES, **{rule: getattr(RULES, rule) + 2.0 + 1e-6})
    assert not recheck(PART, tank_of(INSIDE, stricter), placed(*PLACE)).holds


def test_mirrored_or_stretched_matrix_is_refused() -> None:
    for matrix in (np.diag([1.0, 1.0, -1.0]), 0.99 * np.eye(3)):
        with pytest.raises(Refused, match="mirror or stretch"):
            placed(*PLACE, rotation=matrix)


def test_matrix_shrunk_within_what_a_pose_admits() -> None:
    """A matrix a hair small would make a 3 km part a micrometre shorter; it is straightened first."""
    long = part_of(box((3e6, 10.0, 10.0)))
    tank = tank_of(box((3e6 - 5e-4, 100.0, 100.0)))
    assert not recheck(long, tank, placed(0.0, 20.0, 20.0, rotation=(1.0 - 4e-10) * np.eye(3))).holds


@pytest.mark.parametrize(
    "shift",
    [
        (2000.0, 27.0, 52.0),
        (-3000.0, 27.0, 52.0),
        (27.0, 900.0, 52.0),
        (27.0, 27.0, -900.0),
        (27.0, 27.0, 900.0),
    ],
)
def test_altogether_outside(shift: tuple[float, float, float]) -> None:
    """Outside the tank the surfaces are far apart, which is not room."""
    bare = tank_of(INSIDE)
    found = recheck(PART, bare, placed(*shift))
    assert not found.holds
    # The same beyond a tank without a clearance to break.
    assert found.spare_mm < -100.0


@given(st.integers(0, 10**6), st.floats(-20.0, 390.0))
def test_the_nearest_triangles_alone_give_the_gap_of_all(seed: int, lean: float) -> None:
    """Over a narrow floor under leaning walls, what is nearest to its plane may be far from the floor itself."""
    corners = np.array([[0.0, 0.0], [100.0, 0.0], [100.0, 50.0], [0.0, 50.0]])
    rim = corners + lean * np.sign(corners - corners.mean(axis=0))
    inside = hulled(
        np.vstack([np.column_stack([corners, np.zeros(4)]), np.column_stack([rim, np.full(4, 400.0)])])
    )
    # Ten small boxes, low down, anywhere between the walls.
    random = np.random.default_rng(seed)
    heights = random.uniform(0.2, 0.3, 10)
    middles = corners.mean(axis=0) + random.uniform(-0.9, 0.9, (10, 2)) * (
        np.array([50.0, 25.0]) + lean * heights[:, None]
    )
    bits = [
        box((2.0, 2.0, 2.0), (*middle, 400.0 * height))
        for middle, height in zip(middles, heights, strict=True)
    ]
    part = part_of(joined(*bits))
    low = inside.vertices_mm[:, 2][inside.triangles].max(axis=1) == 0.0
    high = inside.vertices_mm[:, 2][inside.triangles].min(axis=1) == 400.0
    whole = Surface.of(part.solid.vertices_mm, part.solid.triangles)
    pose = placed(0.0, 0.0, 0.0)
    found = gaps(recheck(part, tank_of(inside), pose))
    for name, faces in (("floor", inside.triangles[low]), ("walls", inside.triangles[~low & ~high])):
        gap = surface_gap_mm(whole, Surface.of(inside.vertices_mm, faces), pose)
        assert found[name] == pytest.approx(gap, abs=1e-9)


def test_through_a_wall() -> None:
    bare = tank_of(INSIDE)
    post = part_of(box((100.0, 100.0, 100.0)))
    found = recheck(post, bare, placed(-30.0, 200.0, 100.0))
    assert not found.holds
    assert gaps(found)["walls"] == pytest.approx(-30.0, abs=1e-12)
    assert gaps(recheck(post, bare, placed(300.0, 200.0, -40.0)))["floor"] == pytest.approx(-40.0, abs=1e-12)
    assert gaps(recheck(post, bare, placed(300.0, 200.0, 310.0)))["rim"] == pytest.approx(-10.0, abs=1e-12)
    # Touching is not through.
    assert recheck(post, bare, placed(0.0, 0.0, 0.0)).holds


def test_larger_than_the_tank() -> None:
    """Round the tank on all sides, no surface near another."""
    shell = hollow(box((4000.0, 4000.0, 4000.0)), box((3000.0, 3000.0, 3000.0), (500.0, 500.0, 500.0)))
    assert not recheck(part_of(shell), tank_of(INSIDE), placed(-1500.0, -1700.0, -1800.0)).holds


def test_one_loose_piece_outside() -> None:
    small = box((50.0, 50.0, 50.0))
    pair = part_of(joined(small, box((50.0, 50.0, 50.0), (3000.0, 0.0, 0.0))))
    assert not recheck(pair, tank_of(INSIDE), placed(100.0, 100.0, 100.0)).holds


@pytest.mark.parametrize(
    ("at", "gap"),
    [
        ((480.0, 100.0, 130.0), -20.0),  # through its side
        ((500.0, 100.0, 0.0), 0.0),  # against its side
        ((503.0, 100.0, 0.0), 3.0),  # beside it
        ((500.0, 100.0, 300.0), 0.0),  # on its upper edge
        ((425.0, 180.0, 130.0), -50.0),  # wholly in it, over its middle
    ],
)
def test_block_in_the_way(at: tuple[float, float, float], gap: float) -> None:
    tank = tank_of(INSIDE, None, block=box((100.0, 300.0, 300.0), (400.0, 50.0, 0.0)))
    found = recheck(part_of(box((50.0, 50.0, 50.0))), tank, placed(*at))
    assert gaps(found)["block"] == pytest.approx(gap, abs=1e-9)
    assert found.holds == (gap >= 0.0)


@settings(max_examples=30)  # two bisections each
@given(st.integers(0, 10**6))
def test_in_a_block_by_at_least_so_much(seed: int) -> None:
    """Drawn off by the depth found along any way, a part in a block is still not clear of it."""
    random = np.random.default_rng(seed)
    block = hulled(random.normal(size=(8, 3)) * 60.0 + [500.0, 250.0, 200.0])
    part = part_of(hulled(random.normal(size=(8, 3)) * 40.0))
    tank = tank_of(INSIDE, None, block=block)
    shift = np.array([500.0, 250.0, 200.0]) + random.normal(size=3) * 30.0
    depth = -gaps(recheck(part, tank, placed(*shift)))["block"]
    way = random.normal(size=3)
    drawn_off = shift + 0.999 * max(depth, 0.0) * way / np.linalg.norm(way)
    assert (gaps(recheck(part, tank, placed(*drawn_off)))["block"] <= 0.0) == (depth >= 0.0)


def test_block_inside_the_part() -> None:
    """In its metal, and in a sealed space, where nothing can stand; but under a hood it may."""
    tank = tank_of(INSIDE, None, drain=box((20.0, 20.0, 20.0), (300.0, 300.0, 100.0)))
    outside, space = box((200.0, 150.0, 200.0)), box((180.0, 130.0, 180.0), (10.0, 10.0, 10.0))
    pose = placed(210.0, 235.0, 10.0)
    assert not recheck(part_of(outside), tank, pose).holds
    assert not recheck(part_of(hollow(outside, space), outside), tank, pose).holds
    hood = joined(
        box((200.0, 150.0, 10.0), (0.0, 0.0, 190.0)),
        box((10.0, 150.0, 180.0)),
        box((10.0, 150.0, 180.0), (190.0, 0.0, 0.0)),
    )
    found = recheck(part_of(hood), tank, pose)
    assert found.holds
    assert gaps(found)["drain"] == pytest.approx(80.0, abs=1e-12)
    stricter = dataclasses.replace(tank, rules=Rules(side_clearance_mm=80.0 + 1e-6))
    assert not recheck(part_of(hood), stricter, pose).holds


def test_hollow_of_the_part_counts_not_its_hull() -> None:
    """An L over a block that its hull would run into."""
    tank = tank_of(INSIDE, Rules(side_clearance_mm=5.0), block=box((400.0, 500.0, 200.0)))
    ell = joined(box((800.0, 100.0, 50.0), (0.0, 0.0, 250.0)), box((300.0, 100.0, 249.0), (500.0, 0.0, 0.0)))
    found = recheck(part_of(ell), tank, placed(50.0, 100.0, 10.0))
    assert found.holds
    assert gaps(found)["block"] == pytest.approx(60.0, abs=1e-12)


def test_sloping_wall_and_floor() -> None:
    """A trough 300 deep and 400 wide at its floor: walls that slope by 36.87 deg are floor, by 53.13 wall."""

    def trough(wider: float) -> Solid:
        outline = [(400.0, 0.0), (800.0, 0.0), (800.0 + wider, 300.0), (400.0 - wider, 300.0)]
        return hulled([(x, y, z) for x in (0.0, 1000.0) for y, z in outline])

    rules = Rules(side_clearance_mm=10.0, bottom_clearance_mm=40.0)
    bar = part_of(box((500.0, 100.0, 20.0)))
    pose = placed(200.0, 420.0, 60.0)
    flat = recheck(bar, tank_of(trough(400.0), rules), pose)
    # The lower long edge, 20 inside and 60 over the floor's: 20 sin + 60 cos of the slope.
    slope = math.atan2(300.0, 400.0)
    assert gaps(flat)["floor"] == pytest.approx(20.0 * math.sin(slope) + 60.0 * math.cos(slope), abs=1e-9)
    assert gaps(flat)["walls"] == pytest.approx(200.0, abs=1e-9)
    steep = recheck(bar, tank_of(trough(225.0), rules), pose)
    slope = math.atan2(300.0, 225.0)
    assert gaps(steep)["walls"] == pytest.approx(20.0 * math.sin(slope) + 60.0 * math.cos(slope), abs=1e-9)
    assert gaps(steep)["floor"] == pytest.approx(60.0, abs=1e-9)


def test_way_to_the_floor_is_straight() -> None:
    """Over a sloping wall the way to the floor is longer than the height over it."""
    outline = [(400.0, 0.0), (800.0, 0.0), (1025.0, 300.0), (175.0, 300.0)]
    inside = hulled([(x, y, z) for x in (0.0, 1000.0) for y, z in outline])
    bar = part_of(box((500.0, 20.0, 20.0)))
    beside = placed(200.0, 810.0, 55.0)
    found = recheck(bar, tank_of(inside, Rules(bottom_clearance_mm=55.5)), beside)
    assert gaps(found)["floor"] == pytest.approx(math.hypot(10.0, 55.0), abs=1e-9)
    assert found.holds
    # And so it is for a bar that lies against that wall, with all of one edge a rounding beyond it.
    against = recheck(
        bar, tank_of(inside, Rules(bottom_clearance_mm=57.0)), placed(200.0, 821.25 + 1e-12, 55.0)
    )
    assert gaps(against)["floor"] == pytest.approx(math.hypot(21.25, 55.0), abs=1e-9)
    assert -against.tolerance_mm < gaps(against)["walls"] < 0.0
    assert against.holds


def test_round_tank_and_round_part() -> None:
    """A drum in a drum, 72 sides each, corners in line: the gap is that of the flats."""
    tank = tank_of(lathe([(300.0, 0.0), (300.0, 500.0)], 72), Rules(side_clearance_mm=10.0))
    part = part_of(lathe([(280.0, 0.0), (280.0, 300.0)], 72))
    flats = 20.0 * math.cos(math.pi / 72.0)
    found = recheck(part, tank, placed(0.0, 0.0, 100.0))
    assert gaps(found)["walls"] == pytest.approx(flats, abs=1e-9)
    assert found.spare_mm == pytest.approx(flats - 10.0, abs=1e-9)


@given(st.integers(0, 10**6), st.floats(-60.0, 60.0))
def test_same_as_corners_against_planes(seed: int, aside: float) -> None:
    """In a box the gaps follow from the part's corners alone, in or out."""
    random = np.random.default_rng(seed)
    solid = hulled(random.normal(size=(10, 3)) * [120.0, 60.0, 40.0])
    pose = placed(500.0 + 6.0 * aside, 250.0 + 3.0 * aside, 200.0 - 2.0 * aside, rotation=turn(seed))
    corners = pose.apply(solid.vertices_mm)
    low, high = corners.min(axis=0), corners.max(axis=0)
    walls = min(low[0], low[1], 1000.0 - high[0], 500.0 - high[1])
    rules = Rules(side_clearance_mm=7.0, bottom_clearance_mm=9.0, cover_mm=3.0)
    found = recheck(part_of(solid), tank_of(INSIDE, rules), pose)
    spare = min(walls - 7.0, low[2] - 9.0, 400.0 - high[2] - 3.0)
    # Over the rim the way to the walls is longer, and out through a wall that to the floor.
    inside = min(walls, low[2], 400.0 - high[2]) >= 0.0
    if inside:
        assert found.spare_mm == pytest.approx(spare, abs=1e-9)
    assert found.holds == (spare >= 0.0)
    assert (found.spare_mm < 0.0) == (spare < 0.0)


@given(st.integers(0, 10**6), st.floats(-20.0, 20.0))
def test_same_however_the_whole_yard_is_turned(seed: int, swing: float) -> None:
    """Tank, block and pose turned in plan together change nothing."""
    block = box((100.0, 300.0, 300.0), (400.0, 50.0, 0.0))
    part = part_of(ball(60.0, 6))
    pose = placed(300.0, 200.0, 150.0, rotation=turn(seed))
    plan = Pose("yard", "tank", rotation_from(Angles(swing_rad=swing)), np.array([700.0, -900.0, 0.0]))
    here = recheck(part, tank_of(INSIDE, RULES, block=block), pose)
    inside, turned_block = (solid.moved(plan.rotation, plan.shift_mm) for solid in (INSIDE, block))
    there = recheck(part, _with_inside(inside, turned_block), plan @ pose)
    assert gaps(there) == pytest.approx(gaps(here), abs=1e-9)


def _with_inside(inside: Solid, block: Solid) -> Tank:
    tank = tank_of(INSIDE, RULES, block=block)
    return dataclasses.replace(tank, inside=inside)


def test_vertices_of_no_triangle_do_not_count() -> None:
    vertices = np.concatenate((PART.solid.vertices_mm, [[9e3, 9e3, 9e3]]))
    stray = part_of(Solid(vertices, PART.solid.triangles))
    assert recheck(stray, tank_of(INSIDE, RULES), placed(*PLACE)).spare_mm == pytest.approx(2.0, abs=1e-12)


def test_large_mesh() -> None:
    """Twenty thousand triangles: as found by all corners against the planes of the box."""
    solid = bumpy(71)
    assert len(solid.triangles) > 20_000
    part: Part = part_of(solid)
    tank = tank_of(box((1500.0, 900.0, 900.0)), None, block=box((100.0, 900.0, 100.0)))
    pose = placed(
        800.0, 450.0, 450.0, rotation=rotation_from(Angles(tilt_rad=0.2, roll_rad=0.4, swing_rad=0.1))
    )
    corners = pose.apply(solid.vertices_mm)
    want = min(corners.min(), (np.array([1500.0, 900.0, 900.0]) - corners).min())
    assert recheck(part, tank, pose).spare_mm == pytest.approx(want, abs=1e-9)
