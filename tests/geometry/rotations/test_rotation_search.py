"""The certified search against theorems, published tables, other programmes and its own laws."""

from __future__ import annotations

import csv
import itertools
import math
from pathlib import Path

import numpy as np
import pytest
from oracles.referee import least_for, left, room_of, roomiest, settled, spares, turned
from scipy.optimize import minimize
from strategies.regular import FIRSCHING, SOLIDS, TRAPS
from strategies.solids import box, hulled, lathe, tank_of, turn

from fitcheck.geometry.rotations.active_points import Points
from fitcheck.geometry.rotations.envelope import Envelope, envelope_of
from fitcheck.geometry.rotations.rotation_cells import Allowed, Cells
from fitcheck.geometry.rotations.rotation_search import Budget, Least, Search
from fitcheck.geometry.rotations.rotation_symmetry import allowed
from fitcheck.things.part import Attitude
from fitcheck.things.solid import Floats

# Laid flat: only the swing is free.
FLAT = Attitude(tilt_rad=0.0, roll_rad=0.0)
# Sums of tens of products of metres, and what the search forgives.
ROUNDING_MM = 1e-5


def searched(
    part: Floats,
    tank: Envelope,
    budget: Budget,
    attitude: Attitude | None = None,
    at_most_mm: float = math.inf,
) -> Least:
    """Return what the search finds for the points of a part, every plane giving way alike."""
    points = Points(np.asarray(part, dtype=float))
    turns = allowed(attitude or Attitude(), points, tank)
    return Search(points, tank, np.ones(len(tank.normals))).least(turns, budget, at_most_mm)


def boxed(*size: float) -> Envelope:
    return envelope_of(tank_of(box(size)))


def held_in(corners: Floats) -> Envelope:
    return envelope_of(tank_of(hulled(settled(corners))))


def fits(part: Floats, tank: Envelope, gap_mm: float, attitude: Attitude | None = None) -> bool | None:
    """Return True for a witness, False for a proof, None for neither."""
    found = searched(part, tank, Budget(gap_mm=gap_mm, most_cells=300_000), attitude)
    if found.tau_mm <= 0.0:
        return True
    return False if found.at_least_mm > 0.0 else None


# J. E. Wetzel, Rectangles in Rectangles, Math. Magazine 73:3 (2000) 204-211; the criterion is W. B. Carver's, Amer.
# Math. Monthly 64 (1957) 114-116 (from memory). The widths follow from it: outer a x b, inner length p, largest width q.
RECTANGLES = [
    (8, 6, 9, 1.0603743734),
    (10, 8, 11, 1.8839010887),
    (10, 10, 12, 2.1421356237),
    (10, 5, 10.5, 0.9104140259),
    (4, 3, 4.5, 0.5301871867),
    (48, 24, 50, 4.9630870063),
    (1, 1, 1.2, 0.2142135624),
]


def carver(p: float, q: float, a: float) -> float:
    """Return the least b of a rectangle a x b that holds one of p x q, p > a: Carver's criterion."""
    return (2.0 * p * q * a + (p * p - q * q) * math.sqrt(p * p + q * q - a * a)) / (p * p + q * q)


@pytest.mark.parametrize(("a", "b", "p", "q"), RECTANGLES)
def test_rectangles_in_rectangles(a: float, b: float, p: float, q: float) -> None:
    """Laid flat with nothing to spare: the spare is 0 from both sides, on a scale where a is 1000 mm."""
    assert carver(p, q, a) == pytest.approx(b, rel=1e-9)
    k = 1000.0 / a
    found = searched(
        box((p * k, q * k, 1.0)).vertices_mm, boxed(a * k, b * k, 500.0), Budget(gap_mm=1e-3), FLAT
    )
    assert -ROUNDING_MM <= found.tau_mm <= 1e-3 + ROUNDING_MM
    assert found.open_share == 0.0
    assert found.at_least_mm >= found.tau_mm - 1e-3 - ROUNDING_MM


def test_rectangles_at_random_agree_with_the_criterion() -> None:
    rng = np.random.default_rng(1957)
    answers = []
    while len(answers) < 30:
        a, b = np.sort(rng.uniform(100.0, 1000.0, 2))[::-1]
        p = rng.uniform(a, math.hypot(a, b))
        q = rng.uniform(0.01, 0.3) * b
        need = carver(p, q, a)
        if q > b or abs(need - b) < 1.0:
            continue
        answers.append(fits(box((p, q, 1.0)).vertices_mm, boxed(a, b, 50.0), 0.01, FLAT))
        assert answers[-1] is bool(need < b)
    assert 5 < sum(map(bool, answers)) < 25


def test_nine_by_four_does_not_fit_eight_by_six() -> None:
    """Wetzel, p. 204: although its area, diagonal, perimeter and thickness would all allow it."""
    assert fits(box((900.0, 400.0, 1.0)).vertices_mm, boxed(800.0, 600.0, 100.0), 0.01, FLAT) is False


# A round rod of diameter d and length L along u fits a box D iff L |u_i| + d sqrt(1 - u_i^2) <= D_i for each i
# (the extents of a cylinder). Longest L from that. 24 in in 12 x 16 x 15 in is an old puzzle; three regimes as in
# Y. Bukhman and D. Lichtblau, Tube in a Cube, Wolfram Demonstrations Project.
RODS = [
    ((12, 16, 15), 0.5, 24.30417293),
    ((12, 16, 15), 2, 22.22555425),
    ((96, 36, 40), 4, 105.91247829),
    ((96, 36, 40), 1, 108.98934671),
    ((48, 24, 30), 3, 57.73104690),
    ((10, 10, 1), 0.5, 13.65097214),
]
SIDES = 72


@pytest.mark.parametrize(("inside", "d", "longest"), RODS)
def test_rods_in_boxes(inside: tuple[float, float, float], d: float, longest: float) -> None:
    """A polygon round the rod fits when a little shorter, one inside the rod does not when a little longer."""
    k = 1000.0 / max(inside)
    tank = boxed(*(k * side for side in inside))
    outside = d / math.cos(math.pi / SIDES)
    # Its corners stand out by 1e-3 of the radius, and a longer way round the tank's corners.
    shorter = longest * (1.0 - 1e-5) - 2e-3 * d
    for across, length, wanted in ((outside, shorter, True), (d, longest * (1.0 + 1e-5) + 2e-3 * d, False)):
        rod = lathe([[k * across / 2.0, 0.0], [k * across / 2.0, k * length]], SIDES).vertices_mm[
            :, [2, 0, 1]
        ]
        assert fits(rod, tank, 1e-3) is wanted


# The largest scale of a box in a box by a local search from 300 starts (computed for this table, feasible for sure
# but not proven the largest); "no": the second was a published puzzle, and the third passes the tests of area,
# volume, diagonal and sum of edges. That the scale is the largest is what is proven here.
BOXES = [
    ((1, 1, 1), (1.2, 0.2, 0.2), 1.114962901),
    ((1, 1, 1), (1.5, 0.1, 0.1), 1.033277366),
    ((1, 1, 1), (1.4, 0.5, 0.05), 0.975319698),
    ((590, 290, 160), (650, 220, 55), 0.909399064),
    ((590, 290, 160), (640, 60, 60), 0.961235353),
    ((96, 36, 40), (100, 20, 6), 1.000262251),
    ((96, 36, 40), (105, 4, 4), 1.000993601),
    ((48, 24, 30), (50, 26, 1), 1.056640816),
    ((48, 24, 30), (55, 8, 2), 1.004370183),
    ((10, 8, 6), (11, 4, 3), 0.926164463),
]


@pytest.mark.parametrize(("outer", "inner", "scale"), BOXES)
def test_boxes_in_boxes(
    outer: tuple[float, float, float], inner: tuple[float, float, float], scale: float
) -> None:
    k = 1000.0 / max(outer)
    tank = boxed(*(k * side for side in outer))
    for factor, wanted in ((1.0 - 1e-6, True), (1.0 + 1e-5, False)):
        part = box([k * factor * scale * side for side in inner]).vertices_mm
        assert fits(part, tank, 1e-4) is wanted


def two_sided(inner: str, outer: str, edge: float, by: float) -> tuple[bool | None, bool | None]:
    """Return whether the inner solid of this edge fits at 1 - by and at 1 + by of it, the outer edge being 1000 mm."""
    tank = held_in(1000.0 * SOLIDS[outer])
    least = 1000.0 * by / 100.0
    small, large = (1000.0 * edge * factor * SOLIDS[inner] for factor in (1.0 - by, 1.0 + by))
    return fits(small, tank, least), fits(large, tank, least)


@pytest.mark.parametrize(("inner", "outer", "edge"), FIRSCHING)
def test_regular_solids_in_each_other(inner: str, outer: str, edge: float) -> None:
    assert two_sided(inner, outer, edge, 1e-4) == (True, False)


@pytest.mark.parametrize(("inner", "outer", "edge"), [FIRSCHING[0], FIRSCHING[6]])
def test_two_regular_solids_to_five_digits(inner: str, outer: str, edge: float) -> None:
    """Cube in tetrahedron, which has a second-best place, and cube in octahedron, the slowest to close."""
    assert two_sided(inner, outer, edge, 1e-5) == (True, False)


@pytest.mark.parametrize(("inner", "outer", "second", "best"), TRAPS)
def test_a_second_best_place_is_not_the_end(inner: str, outer: str, second: float, best: float) -> None:
    """Climbing from random turns does end at the second best now and then; the search goes past it."""
    corner = SOLIDS[outer] - SOLIDS[outer].mean(axis=0)
    room = room_of(corner)
    level = room.weights @ room.offsets

    def edge_at(angles: Floats) -> float:
        reach = room.offsets - left(room, SOLIDS[inner], turned(angles))[0]
        return -float((level / (room.weights @ reach)).min())

    rng = np.random.default_rng(2)
    ends = [
        -minimize(edge_at, rng.uniform(-3.0, 3.0, 3), method="Nelder-Mead", options={"fatol": 1e-7}).fun
        for _ in range(40)
    ]
    assert max(ends) == pytest.approx(best, abs=1e-5)
    assert any(abs(end - second) < 1e-5 for end in ends), "no climb was caught: the trap is gone"
    between = 0.1 * second + 0.9 * best
    assert fits(1000.0 * between * SOLIDS[inner], held_in(1000.0 * SOLIDS[outer]), 0.1) is True


def ngons() -> list[tuple[int, int, float]]:
    with (Path(__file__).parents[2] / "data" / "ngon_in_mgon.csv").open() as file:
        rows = list(csv.DictReader(file))
    return [(int(r["inner_n"]), int(r["outer_m"]), float(r["inner_edge_when_outer_edge_1"])) for r in rows]


def prism(sides: int, edge: float, height: float) -> Floats:
    return lathe(
        np.array([[1.0, 0.0], [1.0, height]]) * [edge / 2.0 / math.sin(math.pi / sides), 1.0], sides
    ).vertices_mm


@pytest.mark.parametrize(("inner", "outer", "edge"), ngons())
def test_polygons_in_polygons(inner: int, outer: int, edge: float) -> None:
    """As upright prisms: with nothing to spare the spare is 0 from both sides. Sources: data/README.md."""
    tank = held_in(prism(outer, 1000.0, 900.0))
    found = searched(prism(inner, 1000.0 * edge, 10.0), tank, Budget(gap_mm=1e-3), FLAT)
    # The table has 10 digits.
    assert -1e-3 <= found.tau_mm <= 1e-3 + ROUNDING_MM
    assert found.open_share == 0.0
    assert found.at_least_mm >= found.tau_mm - 1e-3 - ROUNDING_MM


def cloud(seed: int, size: tuple[float, float, float] = (500.0, 160.0, 60.0)) -> Floats:
    return np.asarray(np.random.default_rng(seed).uniform(-0.5, 0.5, (16, 3)) * size)


HOPPER = np.vstack(
    [
        box((300.0, 200.0, 1.0), (50.0, 50.0, 0.0)).vertices_mm * [1, 1, 0],
        box((400.0, 300.0, 350.0)).vertices_mm[1::2],
    ]
)
TANKS = {"box": box((420.0, 180.0, 240.0)).vertices_mm, "hopper": HOPPER, "odd": settled(HOPPER @ turn(9).T)}


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("tank", TANKS)
def test_nothing_random_beats_the_bound(tank: str, seed: int) -> None:
    part = cloud(seed)
    found = searched(part, held_in(TANKS[tank]), Budget(gap_mm=0.01, gap_share=1e-4))
    room = room_of(TANKS[tank])
    whole = (np.array([-math.pi, -math.pi / 2.0, -math.pi]), np.array([math.pi, math.pi / 2.0, math.pi]))
    best, _ = roomiest(room, part, whole, np.random.default_rng(seed), 1000, 4)
    assert best <= -found.at_least_mm + ROUNDING_MM
    assert -found.tau_mm >= best - 0.01 - 1e-4 * abs(best)
    at = spares(room, part, turned(found.angles_rad))
    assert at[0] == pytest.approx(-found.tau_mm, abs=ROUNDING_MM)


def share_of(turns: Allowed) -> float:
    middle, half = (turns.low_rad + turns.high_rad) / 2.0, (turns.high_rad - turns.low_rad) / 2.0
    return float(Cells(middle[None], half[None]).share[0])


@pytest.mark.parametrize("tank", TANKS)
@pytest.mark.parametrize("attitude", [Attitude(), Attitude(0.3, 0.4, 0.5)])
def test_leaves_cover_every_allowed_rotation_and_none_fits(tank: str, attitude: Attitude) -> None:
    part = cloud(5) * 1.4
    envelope, points = held_in(TANKS[tank]), Points(part)
    turns = allowed(attitude, points, envelope)
    found = Search(points, envelope, np.ones(len(envelope.normals))).least(turns, Budget(gap_mm=0.5), 0.0)
    assert found.at_least_mm >= 0.0
    assert found.open_share == 0.0
    assert found.leaves.share.sum() == pytest.approx(share_of(turns), rel=1e-9)
    rng = np.random.default_rng(3)
    anywhere = rng.uniform(turns.low_rad, turns.high_rad, (2000, 3))
    inside = np.abs(anywhere[:, None, :] - found.leaves.middle_rad) <= found.leaves.half_rad + 1e-12
    assert inside.all(axis=2).any(axis=1).all()
    steps = rng.uniform(-1.0, 1.0, (len(found.leaves), 3))
    within = found.leaves.middle_rad + steps * found.leaves.half_rad
    assert spares(room_of(TANKS[tank]), part, turned(within)).max() < 0.0


def test_a_search_ended_early_says_how_much_is_open() -> None:
    part, envelope = cloud(5) * 1.1, held_in(TANKS["hopper"])
    whole = searched(part, envelope, Budget(gap_mm=0.01))
    early = searched(part, envelope, Budget(gap_mm=0.01, most_cells=400))
    assert whole.closed and not early.closed
    assert whole.open_share == 0.0
    assert 0.0 < early.open_share < 1.0
    assert early.leaves.share.sum() == pytest.approx(1.0)
    assert early.at_least_mm <= whole.tau_mm
    assert early.tau_mm >= whole.at_least_mm


@pytest.mark.parametrize("seed", range(3))
def test_turning_and_shifting_part_and_tank_changes_nothing(seed: int) -> None:
    part, corner, gap = cloud(seed), TANKS["box"], 0.01
    plain = searched(part, held_in(corner), Budget(gap_mm=gap))
    for part_turn, tank_turn in ((turn(seed), np.eye(3)), (np.eye(3), turn(seed + 50)), (turn(1), turn(2))):
        moved = part @ part_turn.T + np.array([1000.0, -300.0, 50.0])
        again = searched(moved, held_in(corner @ tank_turn.T), Budget(gap_mm=gap))
        assert again.tau_mm == pytest.approx(plain.tau_mm, abs=gap + ROUNDING_MM)
        assert again.at_least_mm <= plain.tau_mm + ROUNDING_MM
        assert plain.at_least_mm <= again.tau_mm + ROUNDING_MM


@pytest.mark.parametrize("seed", range(4))
def test_a_larger_tank_never_has_less_room(seed: int) -> None:
    rng = np.random.default_rng(seed)
    part, size = cloud(seed), np.array([420.0, 180.0, 240.0])
    before = math.inf
    for _ in range(4):
        found = searched(part, boxed(*size), Budget(gap_mm=0.05))
        assert found.at_least_mm <= before + ROUNDING_MM
        before = found.tau_mm
        size = size + rng.uniform(0.0, 30.0, 3) * (rng.random(3) < 0.6)


def test_every_side_larger_by_two_mm_gives_one_more_to_spare() -> None:
    part, size = cloud(2), np.array([420.0, 180.0, 240.0])
    small, large = (searched(part, boxed(*(size + more)), Budget(gap_mm=1e-3)) for more in (0.0, 2.0))
    assert small.tau_mm - large.tau_mm == pytest.approx(1.0, abs=2e-3)


@pytest.mark.parametrize("scale", [1e-2, 7.0, 1e3])
def test_scaling_everything_scales_the_spare(scale: float) -> None:
    part, corner = cloud(4), TANKS["hopper"]
    one = searched(part, held_in(corner), Budget(gap_mm=0.02))
    other = searched(part * scale, held_in(corner * scale), Budget(gap_mm=0.02 * scale))
    assert other.tau_mm / scale == pytest.approx(one.tau_mm, abs=0.02)
    assert other.at_least_mm / scale == pytest.approx(one.at_least_mm, abs=0.04)


@pytest.mark.parametrize("seed", range(3))
def test_tighter_attitudes_never_have_more_room(seed: int) -> None:
    envelope = boxed(420.0, 180.0, 240.0)
    before = -math.inf
    for most in (math.pi, 1.0, 0.5, 0.1, 0.0):
        attitude = Attitude(min(most, math.pi / 2.0), most, most)
        found = searched(cloud(seed), envelope, Budget(gap_mm=0.01), attitude)
        assert found.tau_mm >= before - 0.01 - ROUNDING_MM
        assert (np.abs(found.angles_rad) <= most + 1e-12).all()
        before = found.tau_mm
    drawn = spares(room_of(TANKS["box"]), cloud(seed), np.eye(3)[None])[0]
    assert -before == pytest.approx(drawn, abs=ROUNDING_MM)


def test_the_same_question_twice_has_the_same_answer_to_the_last_bit() -> None:
    one, two = (searched(cloud(7), held_in(TANKS["odd"]), Budget(gap_mm=0.01)) for _ in range(2))
    assert (one.tau_mm, one.at_least_mm, one.cells) == (two.tau_mm, two.at_least_mm, two.cells)
    np.testing.assert_array_equal(one.angles_rad, two.angles_rad)
    np.testing.assert_array_equal(one.leaves.middle_rad, two.leaves.middle_rad)


@pytest.mark.parametrize("yielding", ["rim", "end", "walls"])
@pytest.mark.parametrize("tank", ["box", "hopper"])
def test_some_planes_only_give_way(tank: str, yielding: str) -> None:
    """How deep, how long, how wide must it be? Against all of a fine grid of turns."""
    envelope, points = held_in(TANKS[tank]), Points(cloud(11) * 0.8)
    gives = {
        "rim": envelope.is_rim.astype(float),
        "end": np.maximum(envelope.normals[:, 0], 0.0),
        "walls": np.where(envelope.is_floor | envelope.is_rim, 0.0, 1.0),
    }[yielding]
    turns = Allowed(np.array([-1.0, -0.8, -1.0]), np.array([1.0, 0.8, 1.0]))
    found = Search(points, envelope, gives).least(turns, Budget(gap_mm=0.1))
    room = room_of(TANKS[tank])
    order = [int(np.argmax(envelope.normals @ normal)) for normal in room.normals]
    grid = np.array(list(itertools.product(*[np.linspace(-1.0, 1.0, 21)] * 3))) * turns.high_rad
    need = least_for(gives[order], room, points.all_mm, turned(grid))
    assert np.isfinite(need).any()
    assert need.min() >= found.at_least_mm - ROUNDING_MM
    assert found.tau_mm <= need.min() + 0.1 + ROUNDING_MM
    at = least_for(gives[order], room, points.all_mm, turned(found.angles_rad))
    assert at[0] == pytest.approx(found.tau_mm, abs=ROUNDING_MM)


def test_simplest_is_the_least_tilted_of_a_fine_grid() -> None:
    """A plank that goes in only when tilted: tilt and no other turn is the closed form L cos t + h sin t = D."""
    envelope = boxed(1000.0, 60.0, 600.0)
    points = Points(box((1100.0, 50.0, 20.0)).vertices_mm)
    search = Search(points, envelope, np.ones(6))
    simplest = search.simplest(allowed(Attitude(), points, envelope), Budget(most_cells=60_000))
    assert simplest is not None
    flat = math.acos(1000.0 / math.hypot(1100.0, 20.0)) + math.atan2(20.0, 1100.0)
    assert simplest[1] <= flat + 1e-4
    # A swing inside the 10 mm to spare saves some tilt; nothing on a fine grid saves more.
    swings, tilts = np.linspace(-0.02, 0.02, 41), np.linspace(0.0, flat, 800)
    grid = np.array([[s, t, r] for s in swings for t in tilts for r in (0.0, 0.01)])
    works = spares(room_of(box((1000.0, 60.0, 600.0)).vertices_mm), points.all_mm, turned(grid)) >= 0.0
    assert simplest[1] <= grid[works, 1].min() + 1e-3


def test_simplest_of_a_part_that_goes_in_as_drawn_is_as_drawn() -> None:
    envelope = boxed(500.0, 400.0, 300.0)
    points = Points(box((490.0, 390.0, 290.0)).vertices_mm)
    simplest = Search(points, envelope, np.ones(6)).simplest(allowed(Attitude(), points, envelope), Budget())
    assert simplest is not None
    np.testing.assert_allclose(simplest, 0.0, atol=1e-3)


def test_simplest_of_a_part_that_goes_in_nowhere_is_none() -> None:
    envelope = boxed(500.0, 400.0, 300.0)
    points = Points(box((490.0, 390.0, 310.0)).vertices_mm)
    assert (
        Search(points, envelope, np.ones(6)).simplest(allowed(Attitude(), points, envelope), Budget()) is None
    )


def test_a_search_that_finds_nothing_ends_and_says_so() -> None:
    """A cube too long for the firm sides, whatever the lid gives: refused at once, not searched to its effort."""
    envelope = boxed(100.0, 100.0, 100.0)
    points, lid = Points(box((300.0, 300.0, 300.0)).vertices_mm), np.where(envelope.is_rim, 1.0, 0.0)
    turns = allowed(Attitude(), points, envelope)
    for share in (0.0, 1e-3):
        found = Search(points, envelope, lid).least(turns, Budget(gap_share=share, most_cells=100_000))
        assert found.closed
        assert found.tau_mm == found.at_least_mm == math.inf
        assert found.cells < 2_000
