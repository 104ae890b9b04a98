"""The four answers: what each promises, looked at by plain arithmetic and by other people's optimisers."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from oracles.referee import room_of, spares, turned
from strategies.drawn_cases import FORGIVEN_MM, clear_by, drawn, judged
from strategies.solids import box, bumpy, hulled, part_of, tank_of, turn

from fitcheck.geometry.rotations.active_points import ActivePoints
from fitcheck.geometry.rotations.rotation_search import FIT_MM, Budget
from fitcheck.geometry.rotations.rotation_symmetry import fold
from fitcheck.proving.exact_gaps import recheck
from fitcheck.proving.infeasible_rotations import recheck_infeasible
from fitcheck.questions.dip import free_space as room_answer
from fitcheck.questions.dip.answer import DoesNotFit, Fits, MeasureAgain, NotFound, Spare
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.dip.free_space import decide
from fitcheck.things.part import Attitude, Part
from fitcheck.things.pose import Angles
from fitcheck.things.tank import Rules, Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import MM_PER_INCH, RAD_PER_DEGREE

# Cases in the everyday run, in batches so that two processes can share them; nightly/long_dip.py looks at more.
BATCHES, EACH = 4, 32
RULES = Rules(MM_PER_INCH, 2.0 * MM_PER_INCH, 2.0 * MM_PER_INCH, 4.0 * MM_PER_INCH)


def inches(length: float, width: float, height: float) -> Part:
    return part_of(box(MM_PER_INCH * np.array([length, width, height])))


def long_tank(tape_in: float = 0.0) -> Tank:
    """Return a tank of 24 ft x 16 in x 24 in: 22 ft 10 in x 14 in x 16 in once all clearances are kept."""
    rules = replace(RULES, tape_tank_mm=tape_in * MM_PER_INCH)
    return tank_of(box(MM_PER_INCH * np.array([288.0, 16.0, 24.0])), rules)


@pytest.mark.parametrize("batch", range(BATCHES))
def test_no_answer_is_contradicted(batch: int) -> None:
    """No random turn, nor a climb from the best of them, beats a proven bound, and no advice breaks a clearance."""
    verdicts = [judged(seed).verdict for seed in range(batch * EACH, (batch + 1) * EACH)]
    assert verdicts.count("fits") > 3
    assert verdicts.count("does not fit") > 3
    assert "not found" not in verdicts


# A frame of 36 x 19 1/2 x 1 1/2 in goes in only rolled. Width and height it then needs, at a roll r:
# 19.5 cos r + 1.5 sin r and 19.5 sin r + 1.5 cos r, in 14 and 16 in: as much to spare in both where
# 18 (sin r - cos r) = 2, which is r = 45 deg + asin(2 / (18 sqrt 2)).
ROLL = math.pi / 4.0 + math.asin(2.0 / (18.0 * math.sqrt(2.0)))
FRAME_SPARE_MM = (14.0 - 19.5 * math.cos(ROLL) - 1.5 * math.sin(ROLL)) / 2.0 * MM_PER_INCH


def test_a_frame_that_goes_in_rolled_only() -> None:
    answer = dip(inches(36.0, 19.5, 1.5), long_tank(), "most-room")
    assert isinstance(answer, Fits)
    assert answer.spare.mm <= FRAME_SPARE_MM + FORGIVEN_MM
    assert answer.spare.at_most_mm >= FRAME_SPARE_MM - FORGIVEN_MM
    # Proven to a hundredth of a mm.
    assert answer.spare.at_most_mm - answer.spare.mm <= 0.01
    angles = answer.advice.pose.angles
    # Either face may look up and either edge may be the higher.
    assert abs(math.sin(angles.roll_rad)) == pytest.approx(math.sin(ROLL), abs=2e-3)
    assert {side.side for side in answer.deciding} == {"width", "height"}


@pytest.mark.parametrize(
    ("width_in", "tape_in", "verdict"),
    [
        (19.5, 0.0, "fits"),
        (19.5, 0.0625, "fits"),
        (19.5, 0.125, "measure again"),
        (19.9, 0.125, "measure again"),
        (20.5, 0.0, "does not fit"),
        (20.5, 0.125, "does not fit"),
    ],
)
def test_verdicts_by_the_tape(width_in: float, tape_in: float, verdict: str) -> None:
    """Its 2.5 mm to spare are more than tapes of 1/16 in can hide (1.6 mm), less than of 1/8 in (3.2 mm)."""
    part = replace(inches(36.0, width_in, 1.5), tape_mm=tape_in * MM_PER_INCH)
    answer = dip(part, long_tank(tape_in), with_cures=False)
    assert answer.verdict == verdict
    assert answer.spare.mm - answer.spare.low_mm == pytest.approx(tape_in * MM_PER_INCH)
    assert answer.spare.high_mm - answer.spare.at_most_mm == pytest.approx(tape_in * MM_PER_INCH)
    if isinstance(answer, MeasureAgain):
        assert {side.side for side in answer.deciding} == {"width", "height"}


def test_flats_of_round_faces_count_with_the_tape() -> None:
    part = replace(inches(36.0, 19.5, 1.5), chord_mm=2.0)
    tank = replace(long_tank(), chord_mm=1.0)
    assert isinstance(dip(part, long_tank(), with_cures=False), Fits)
    assert isinstance(dip(part, tank, with_cures=False), MeasureAgain)


@pytest.mark.parametrize(
    ("low", "mm", "at_most", "high", "closed", "verdict"),
    [
        (0.1, 1.0, 1.1, 2.0, True, "fits"),
        (0.1, 1.0, 9.0, 10.0, False, "fits"),
        (-0.1, 0.9, 1.0, 2.0, True, "measure again"),
        (-2.0, -1.0, -0.9, 0.1, True, "measure again"),
        (-2.0, -1.0, -0.9, 0.1, False, "measure again"),
        (-2.1, -1.1, -1.05, -0.05, False, "does not fit"),
        (-5.0, -4.0, 3.0, 4.0, False, "not found"),
        (-0.5, -0.5, 0.2, 0.2, False, "not found"),
        (-0.004, -0.004, 0.001, 0.001, True, "measure again"),
    ],
)
def test_the_tape_rule(
    low: float, mm: float, at_most: float, high: float, closed: bool, verdict: str
) -> None:
    assert decide(Spare(mm, at_most, low, high), closed) == verdict


def test_there_are_four_answers_and_not_two() -> None:
    for width in (19.5, 20.5):
        with pytest.raises(TypeError, match="four"):
            bool(dip(inches(36.0, width, 1.5), long_tank(), with_cures=False))


def test_too_long_for_the_tank_at_any_tilt() -> None:
    """Flat it lacks (292 - 286) / 2 = 3 in both ways; tilting gains a little, up to 2.849 in (a grid of tilts)."""
    answer = dip(inches(292.0, 7.25, 4.125), long_tank(), with_cures=False)
    assert isinstance(answer, DoesNotFit)
    swings, tilts = np.linspace(0.0, 0.04, 161), np.linspace(0.0, 0.08, 321)
    grid = np.array(list(itertools.product(swings, tilts, (0.0, math.pi / 2.0))))
    room = room_of(long_tank().inside.vertices_mm, RULES)
    best = spares(room, inches(292.0, 7.25, 4.125).solid.vertices_mm, turned(grid)).max()
    assert best <= answer.spare.at_most_mm + FORGIVEN_MM
    assert answer.spare.mm >= best - 0.005 - 1e-3 * abs(best)
    assert [side.side for side in answer.deciding][0] == "length"


@pytest.mark.parametrize("seed", range(16))
def test_a_proof_covers_every_allowed_turn(seed: int) -> None:
    case = drawn(seed)
    large = replace(part_of(hulled(case.part.solid.vertices_mm * 1.5)), attitude=case.part.attitude)
    answer = dip(large, case.tank, with_cures=False)
    assert isinstance(answer, DoesNotFit)
    _check_cover(answer, large)


def _check_cover(answer: DoesNotFit, part: Part) -> None:
    """Each allowed turn, or one that a box tank or the part itself cannot tell from it, lies in a leaf.

    That those look the same is tested with `turns`.
    """
    limits = np.array([part.attitude.swing_rad, part.attitude.tilt_rad, part.attitude.roll_rad])
    swing, tilt, roll = np.random.default_rng(1).uniform(-limits, limits, (200, 3)).T
    half, around = math.pi, 2.0 * math.pi
    leaves, share = answer.proof, around / fold(ActivePoints(part.solid.vertices_mm))
    held = np.zeros(len(swing), dtype=bool)
    for over, (more, sign, flip) in itertools.product(
        np.arange(0.0, around - 1e-9, share), ((0, 1, 0), (half, 1, 0), (0, -1, half), (half, -1, half))
    ):
        at = np.stack([sign * swing + more, sign * tilt, roll + flip + over], axis=1)
        at[:, [0, 2]] = (at[:, [0, 2]] + half) % around - half
        # Both ends of a whole turn are the same.
        for ends in ([0.0, 0.0, 0.0], [around, 0.0, 0.0], [0.0, 0.0, around], [around, 0.0, around]):
            apart = np.abs((at + ends)[:, None, :] - leaves.middle_rad) - leaves.half_rad
            held |= (apart <= 1e-9).all(axis=2).any(axis=1)
    assert held.all(), "a turn that is allowed is in no leaf"


def test_a_no_whose_search_was_ended_still_has_a_whole_proof(monkeypatch: pytest.MonkeyPatch) -> None:
    """Either the leaves cover everything, or the answer is not "does not fit"."""
    part, tank = part_of(box((3000.0, 500.0, 400.0))), tank_of(box((2000.0, 1000.0, 600.0)))
    for most in (1, 200, 500, 1000):
        monkeypatch.setattr(room_answer, "SPARE_BUDGET", Budget(1e-6, 0.0, most))
        answer = dip(part, tank, with_cures=False)
        if isinstance(answer, DoesNotFit):
            _check_cover(answer, part)
        else:
            assert isinstance(answer, NotFound)


def test_an_ended_search_is_not_the_tape(monkeypatch: pytest.MonkeyPatch) -> None:
    """With one or two angles held, the cells have no volume; an open search is open all the same."""
    monkeypatch.setattr(room_answer, "SPARE_BUDGET", Budget(1e-9, 0.0, 1))
    tank = tank_of(box((1000.0, 400.0, 500.0)))
    ended = 0
    for attitude in (Attitude(0.0, 0.0), Attitude(0.3, 0.0, 0.0), Attitude(0.3, 0.3, 0.3)):
        part = replace(part_of(box((1010.0, 150.0, 50.0))), attitude=attitude)
        answer = dip(part, tank, with_cures=False)
        if answer.spare.mm < 0.0 < answer.spare.at_most_mm:
            assert isinstance(answer, NotFound)
            ended += 1
    assert ended, "a search was to end early"


@pytest.mark.parametrize("seed", range(12))
def test_preferences(seed: int) -> None:
    case = drawn(1000 + seed)
    roomy = part_of(hulled(case.part.solid.vertices_mm * 0.9))
    by = {
        prefer: dip(roomy, case.tank, prefer, with_cures=False)
        for prefer in ("level", "least-liquid", "most-room")
    }
    level, liquid, room = by.values()
    assert isinstance(level, Fits)
    assert isinstance(liquid, Fits)
    assert isinstance(room, Fits)
    # The tilt advised may be rounded up to whole degrees.
    others = min(abs(liquid.advice.pose.angles.tilt_rad), abs(room.advice.pose.angles.tilt_rad))
    assert abs(level.advice.pose.angles.tilt_rad) <= others + RAD_PER_DEGREE
    assert liquid.advice.fill.level_mm == pytest.approx(liquid.least.level_mm, abs=FORGIVEN_MM)
    assert (
        liquid.advice.fill.level_mm
        <= min(level.advice.fill.level_mm, room.advice.fill.level_mm) + FORGIVEN_MM
    )
    assert room.advice.spare_mm == pytest.approx(room.spare.mm, abs=FORGIVEN_MM)
    assert (
        room.advice.spare_mm
        >= max(level.advice.spare_mm, liquid.advice.spare_mm) - 0.005 - 1e-3 * room.spare.mm
    )
    # The question decides nothing but the advice.
    assert level.spare == liquid.spare == room.spare


LEAST_TILTED = [
    ((1100.0, 50.0, 20.0), (1000.0, 60.0, 600.0)),
    ((700.0, 450.0, 10.0), (900.0, 300.0, 500.0)),
    ((600.0, 420.0, 100.0), (500.0, 480.0, 700.0)),
    ((36 * 25.0, 480.0, 40.0), (2000.0, 350.0, 400.0)),
]


@pytest.mark.parametrize(("size", "inside"), LEAST_TILTED)
def test_advice_is_the_least_tilted(
    size: tuple[float, float, float], inside: tuple[float, float, float]
) -> None:
    """Among a fine grid of turns none that fits is tilted less, but for rounding the advice to whole degrees."""
    part, tank = part_of(box(size)), tank_of(box(inside))
    answer = dip(part, tank)
    assert isinstance(answer, Fits)
    tilt = abs(answer.advice.pose.angles.tilt_rad)
    below = np.arange(0.0, tilt - RAD_PER_DEGREE - 1e-9, RAD_PER_DEGREE)
    if not len(below):
        assert tilt <= RAD_PER_DEGREE
        return
    # A box is its own mirror image: swings one way are enough with rolls both ways.
    swings, rolls = np.linspace(0.0, math.pi / 2.0, 61), np.linspace(-math.pi / 2.0, math.pi / 2.0, 61)
    room = room_of(box(inside).vertices_mm)
    for one in below:
        grid = np.array(list(itertools.product(swings, [one], rolls)))
        assert spares(room, part.solid.vertices_mm, turned(grid)).max() < 0.0


def test_advice_is_in_whole_degrees_where_those_work() -> None:
    answer = dip(part_of(box((1100.0, 50.0, 20.0))), tank_of(box((1000.0, 60.0, 600.0))))
    assert isinstance(answer, Fits)
    for angle in answer.advice.pose.angles:
        assert angle / RAD_PER_DEGREE == pytest.approx(round(angle / RAD_PER_DEGREE), abs=1e-9)


@pytest.mark.parametrize("seed", range(15))
def test_one_attitude_only(seed: int) -> None:
    """Its spare is a sum, and the sum is right; the attitude asked about is the one advised."""
    case, rng = drawn(2000 + seed), np.random.default_rng(seed)
    angles = Angles(*rng.uniform([-1.5, -3.0, -3.0], [1.5, 3.0, 3.0]).tolist())
    answer = dip(case.part, case.tank, angles=angles, with_cures=False)
    at = np.array([[angles.swing_rad, angles.tilt_rad, angles.roll_rad]])
    wanted = spares(case.room, case.part.solid.vertices_mm, turned(at))[0]
    assert answer.spare.mm == pytest.approx(wanted, abs=FORGIVEN_MM)
    assert answer.spare.at_most_mm >= wanted - FORGIVEN_MM
    assert answer.spare.at_most_mm <= wanted + 0.005 + 1e-3 * abs(wanted) + FORGIVEN_MM
    assert answer.verdict == ("fits" if wanted >= 0.0 else "does not fit")
    pose = answer.advice.pose if isinstance(answer, Fits) else answer.nearest
    assert pose.angles == pytest.approx(angles, abs=1e-9)


def test_attitude_limits_may_refuse() -> None:
    tank = tank_of(box((1000.0, 200.0, 600.0)))
    free = part_of(box((1080.0, 150.0, 20.0)))
    assert isinstance(dip(free, tank), Fits)
    assert isinstance(dip(replace(free, attitude=Attitude(tilt_rad=0.1)), tank), DoesNotFit)


def test_the_level_asked_for_is_the_level_given() -> None:
    answer = dip(inches(36.0, 12.0, 1.5), long_tank(), level_mm=400.0)
    assert isinstance(answer, Fits)
    assert answer.advice.fill.level_mm == pytest.approx(400.0)
    assert answer.least.level_mm == pytest.approx((2.0 + 1.5 + 2.0) * MM_PER_INCH, abs=0.2)
    with pytest.raises(Refused):
        dip(inches(36.0, 12.0, 1.5), long_tank(), level_mm=-1.0)


def test_wide_plate_has_its_lowest_level_rolled_until_it_is_as_wide_as_the_room() -> None:
    """Width 19 cos t + 0.5 sin t = 14 in, height 19 sin t + 0.5 cos t."""
    answer = dip(inches(60.0, 19.0, 0.5), long_tank(), "least-liquid")
    assert isinstance(answer, Fits)
    t = math.acos(14.0 / math.hypot(19.0, 0.5)) + math.atan2(0.5, 19.0)
    wanted = (4.0 + 19.0 * math.sin(t) + 0.5 * math.cos(t)) * MM_PER_INCH
    assert answer.least.level_mm == pytest.approx(wanted, abs=0.1 + 2e-4 * wanted)
    assert answer.least.at_least_mm <= wanted + FORGIVEN_MM
    assert answer.least.level_mm >= wanted - FORGIVEN_MM


def test_a_mesh_of_thousands_of_triangles() -> None:
    solid = bumpy(24)
    tank = tank_of(box(np.ptp(solid.vertices_mm, axis=0) * [0.97, 1.1, 1.6]))
    answer = dip(part_of(solid), tank)
    assert isinstance(answer, Fits)
    room = room_of(tank.inside.vertices_mm)
    spare = spares(room, solid.vertices_mm, answer.roomiest.rotation[None])[0]
    assert answer.spare.mm == pytest.approx(spare, abs=FORGIVEN_MM)


@pytest.mark.parametrize("seed", [1, 3, 5, 8, 9, 10])
def test_the_exact_check_holds_for_what_is_advised(seed: int) -> None:
    """Within the rounding that it allows itself, not within what the search forgives."""
    case = drawn(seed)
    part = part_of(hulled(case.part.solid.vertices_mm * 0.9))
    answer = dip(part, case.tank)
    assert isinstance(answer, Fits)
    check = recheck(part, case.tank, answer.advice.pose)
    assert check.holds, f"{check.gaps[0]} at {answer.advice.pose.angles}"


def test_a_mesh_tank_stored_in_24_bits() -> None:
    """Its faces are flat only to the last bit of the file; a close fit is still an answer, not a fault."""
    for seed in range(6):
        corners = box((1000.0, 700.0, 600.0)).vertices_mm
        about = turned([[0.1 * seed + 0.05, 0.0, 0.0]])[0]
        corners = np.float32(corners @ about.T).astype(float)
        corners = np.float32(corners - corners.min(axis=0)).astype(float)
        part = part_of(hulled(box((999.999, 650.0, 500.0)).vertices_mm @ turn(seed).T))
        answer = dip(part, tank_of(hulled(corners)), "most-room", with_cures=False)
        assert answer.verdict in {"fits", "measure again", "does not fit"}


STANDING = {
    "in a corner": box((300.0, 200.0, 250.0)),
    "along a wall": box((1000.0, 150.0, 300.0)),
    "in the middle": box((100.0, 100.0, 600.0), (450.0, 250.0, 0.0)),
}


@pytest.mark.parametrize("thing", STANDING)
@pytest.mark.parametrize(
    "size", [(400.0, 200.0, 100.0), (900.0, 300.0, 100.0), (980.0, 560.0, 300.0), (1150.0, 90.0, 50.0)]
)
def test_things_in_the_tank(thing: str, size: tuple[float, float, float]) -> None:
    """ "Fits" only with a gap by exact distance, "does not fit" only with a proof that holds."""
    inside, rules = box((1000.0, 600.0, 600.0)), Rules(5.0, 10.0, 0.0, 20.0)
    part = part_of(box(size))
    full, empty = tank_of(inside, rules, thing=STANDING[thing]), tank_of(inside, rules)
    answer, without = dip(part, full, with_cures=False), dip(part, empty, with_cures=False)
    assert answer.spare.at_most_mm <= without.spare.at_most_mm + FORGIVEN_MM
    if isinstance(answer, Fits):
        assert recheck(part, full, answer.advice.pose).spare_mm >= -FORGIVEN_MM
        assert recheck(part, full, answer.roomiest).spare_mm >= -FORGIVEN_MM
        assert answer.spare.mm <= without.spare.at_most_mm + FORGIVEN_MM
    elif isinstance(answer, DoesNotFit):
        # Looking at the longest of these again takes a quarter of a minute: left to the nightly run.
        few = answer.effort.cells < 50_000
        assert (
            isinstance(without, DoesNotFit) or not few or recheck_infeasible(part, full, answer.proof).holds
        )
    else:
        assert isinstance(answer, NotFound)
        assert "thing" in answer.next_try
        assert isinstance(without, Fits)


def test_a_tank_full_of_a_thing() -> None:
    """Nothing goes in: that is proven, and nothing is at fault."""
    full = tank_of(
        box((1000.0, 500.0, 400.0)), Rules(10.0, 10.0), thing=box((990.0, 490.0, 390.0), (5.0, 5.0, 0.0))
    )
    small, large = part_of(box((100.0, 50.0, 20.0))), part_of(box((1500.0, 50.0, 20.0)))
    assert isinstance(dip(small, full, with_cures=False), DoesNotFit)
    assert isinstance(dip(large, full, with_cures=False), DoesNotFit)


def test_poses_are_hung_low_in_the_middle() -> None:
    case = drawn(3)
    part = part_of(hulled(case.part.solid.vertices_mm * 0.8))
    answer = dip(part, case.tank)
    assert isinstance(answer, Fits)
    placed = answer.advice.pose.apply(part.solid.vertices_mm)
    assert placed[:, 2].min() == pytest.approx(case.tank.rules.bottom_clearance_mm, abs=FORGIVEN_MM)
    assert clear_by(replace(case, part=part), answer.advice.pose) >= -FORGIVEN_MM


def test_what_is_advised_has_no_more_room_than_the_roomiest() -> None:
    """Of a frame that lies across corners the search ends, within its gap, at a pose that is not the best."""
    part = replace(part_of(box((1721.0, 358.0, 6.0))), attitude=Attitude(9.0 * RAD_PER_DEGREE, 0.0))
    tank = tank_of(box((1722.0, 494.0, 375.0)), Rules(9.0, 7.0, 11.0, 59.0))
    answer = dip(part, tank, with_cures=False)
    assert isinstance(answer, Fits)
    assert answer.advice.spare_mm <= answer.spare.mm + FIT_MM
