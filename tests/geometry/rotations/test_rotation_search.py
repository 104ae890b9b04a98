"""The certified search against other programmes and its own laws; what is printed stands in tests/published."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from oracles.referee import least_for, left, room_of, roomiest, settled, spares, turned
from scipy.optimize import minimize
from strategies.asked_search import ROUNDING_MM, boxed, fits, held_in, searched
from strategies.regular import SOLIDS, TRAPS
from strategies.solids import box, turn

from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.rotation_cells import Allowed, Cells
from fitcheck.geometry.rotations.rotation_search import Budget, Search
from fitcheck.geometry.rotations.rotation_symmetry import allowed
from fitcheck.things.part import Attitude
from fitcheck.things.solid import Floats


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
    envelope, points = held_in(TANKS[tank]), ActivePoints(part)
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
    envelope, points = held_in(TANKS[tank]), ActivePoints(cloud(11) * 0.8)
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
    points = ActivePoints(box((1100.0, 50.0, 20.0)).vertices_mm)
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
    points = ActivePoints(box((490.0, 390.0, 290.0)).vertices_mm)
    simplest = Search(points, envelope, np.ones(6)).simplest(allowed(Attitude(), points, envelope), Budget())
    assert simplest is not None
    np.testing.assert_allclose(simplest, 0.0, atol=1e-3)


def test_simplest_of_a_part_that_goes_in_nowhere_is_none() -> None:
    envelope = boxed(500.0, 400.0, 300.0)
    points = ActivePoints(box((490.0, 390.0, 310.0)).vertices_mm)
    assert (
        Search(points, envelope, np.ones(6)).simplest(allowed(Attitude(), points, envelope), Budget()) is None
    )


def test_a_search_that_finds_nothing_ends_and_says_so() -> None:
    """A cube too long for the firm sides, whatever the lid gives: refused at once, not searched to its effort."""
    envelope = boxed(100.0, 100.0, 100.0)
    points, lid = ActivePoints(box((300.0, 300.0, 300.0)).vertices_mm), np.where(envelope.is_rim, 1.0, 0.0)
    turns = allowed(Attitude(), points, envelope)
    for share in (0.0, 1e-3):
        found = Search(points, envelope, lid).least(turns, Budget(gap_share=share, most_cells=100_000))
        assert found.closed
        assert found.tau_mm == found.at_least_mm == math.inf
        assert found.cells < 2_000
