"""A part among what stands in its tank: placed round things, or proven not to go."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from manifold3d import Manifold
from strategies.obstacles import frame, l_shaped, stepped_tank
from strategies.solids import box, hulled, part_of, tank_of, turn

from fitcheck.geometry.convex.convex_merge import merged
from fitcheck.geometry.convex.convex_pieces import all_pieces, inner_pieces
from fitcheck.geometry.convex.offset_bodies import hull_of
from fitcheck.proving.exact_gaps import recheck
from fitcheck.proving.infeasible_rotations import recheck_infeasible
from fitcheck.proving.insertion import way_is_clear
from fitcheck.questions.dip.answer import DoesNotFit, Fits, MeasureAgain
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.dip.prove import prove_dip
from fitcheck.shapes.manifold import manifold_of, solid_of
from fitcheck.things.part import Attitude, Part
from fitcheck.things.pose import Pose
from fitcheck.things.proof import Proof
from fitcheck.things.tank import Rim, Rules, Tank
from fitcheck.things.way_in import WayIn
from fitcheck.words.units import MM_PER_INCH

FORGIVEN_MM = 2e-6


@pytest.fixture(scope="module")
def too_tall() -> DoesNotFit:
    answer = dip(l_shaped(12.3), stepped_tank(), with_cures=False)
    assert isinstance(answer, DoesNotFit)
    return answer


def test_an_l_too_tall_for_the_place_over_a_block_is_proven_not_to_go(too_tall: DoesNotFit) -> None:
    """In the pit beside the block, 30 x 24 in across the corner, 38.4 in is the longest."""
    assert too_tall.spare.high_mm < 0.0
    assert too_tall.proof.middle_mm is not None
    assert prove_dip(too_tall, l_shaped(12.3), stepped_tank()).holds


def test_blocks_in_a_row_are_one(too_tall: DoesNotFit) -> None:
    """The same block sawn in three, turned with the tank: one thing again, and the same proof."""
    inch = MM_PER_INCH
    cuts = [(0.0, 7.0), (7.0, 13.5), (13.5, 20.0)]
    sawn = {
        f"b{k}": box((30 * inch, (b - a) * inch, 12 * inch), (0, a * inch, 0))
        for k, (a, b) in enumerate(cuts)
    }
    tank = tank_of(box((60 * inch, 20 * inch, 24 * inch)), None, **sawn)
    answer = dip(l_shaped(12.3), tank, with_cures=False)
    assert isinstance(answer, DoesNotFit)
    assert answer.effort == too_tall.effort
    assert prove_dip(answer, l_shaped(12.3), tank).holds
    (whole,) = merged(tuple(each.moved(turn(3), np.array([10.0, 20.0, 30.0])) for each in sawn.values()))
    assert manifold_of(whole).volume() == pytest.approx(30 * 20 * 12 * inch**3, rel=1e-12)


@pytest.mark.parametrize(
    ("size", "at", "left"),
    [
        ((10.0, 20.0, 30.0), (10.0, 0.0, 0.0), 1),
        ((10.0, 20.0, 30.0), (10.001, 0.0, 0.0), 2),
        ((10.0, 20.0, 30.0), (10.0, 0.001, 0.0), 2),
        ((10.0, 20.0, 29.9), (10.0, 0.0, 0.0), 2),
    ],
)
def test_only_what_is_convex_together_is_one(
    size: tuple[float, float, float], at: tuple[float, float, float], left: int
) -> None:
    assert len(merged((box((10.0, 20.0, 30.0)), box(size, at)))) == left


def test_an_l_that_is_low_enough_goes_over_the_block() -> None:
    part, tank = l_shaped(11.7), stepped_tank()
    answer = dip(part, tank, with_cures=False)
    assert isinstance(answer, Fits)
    assert recheck(part, tank, answer.advice.pose).spare_mm >= -FORGIVEN_MM
    assert prove_dip(answer, part, tank).holds


def test_a_forged_proof_is_refused(too_tall: DoesNotFit) -> None:
    part, tank, proof = l_shaped(12.3), stepped_tank(), too_tall.proof
    assert proof.middle_mm is not None
    assert proof.half_mm is not None
    one_less = Proof(proof.middle_rad[1:], proof.half_rad[1:], proof.middle_mm[1:], proof.half_mm[1:])
    assert not recheck_infeasible(part, tank, one_less).covers
    narrower = Proof(proof.middle_rad, proof.half_rad, proof.middle_mm, proof.half_mm * 0.999)
    assert not recheck_infeasible(part, tank, narrower).covers
    # The same boxes for a part that goes.
    assert not recheck_infeasible(l_shaped(11.7), tank, proof).refused
    # A lower block, a wider tank.
    lower = tank_of(tank.inside, None, block=box(np.array([30.0, 20.0, 11.5]) * MM_PER_INCH))
    assert not recheck_infeasible(part, lower, proof).refused
    empty = replace(tank, blocks=())
    assert not recheck_infeasible(part, empty, proof).holds


@pytest.mark.parametrize(("size", "verdict"), [(690.0, "fits"), (710.0, "does not fit")])
def test_a_frame_goes_over_a_post_that_its_window_has_room_for(size: float, verdict: str) -> None:
    """A window of 700 x 700 mm; the frame nearly fills the tank, so it must go round the post."""
    tank = tank_of(
        box((1020.0, 1020.0, 500.0)), None, post=box((size, size, 500.0), ((1020 - size) / 2,) * 2 + (0.0,))
    )
    part = part_of(frame((1000.0, 1000.0, 300.0), 150.0))
    answer = dip(part, tank, with_cures=False)
    assert answer.verdict == verdict
    assert prove_dip(answer, part, tank).holds


def test_it_is_said_what_it_is_enough_to_take_out() -> None:
    answer = dip(l_shaped(12.3), stepped_tank())
    assert isinstance(answer, DoesNotFit)
    assert answer.reason.endswith("; with block taken out it goes under")
    assert prove_dip(answer, l_shaped(12.3), stepped_tank()).holds


def test_thin_walls_are_seen() -> None:
    """A square tube with round holes, 2 mm thick and closed by no end: its walls meet the post at every place."""
    tube = manifold_of(box((900.0, 150.0, 150.0))) - manifold_of(box((900.0, 146.0, 146.0), (0.0, 2.0, 2.0)))
    hole = Manifold.cylinder(200.0, 20.0, circular_segments=96)
    for x in np.arange(60.0, 900.0, 60.0):
        tube -= hole.translate((x, 75.0, -10.0))
    part = replace(part_of(solid_of(tube, "tube")), attitude=Attitude(0.0, 0.0, 0.0))
    assert all_pieces(part.solid) is None
    whole = manifold_of(part.solid)
    for piece in inner_pieces(part.solid):
        assert (manifold_of(hull_of(piece, "piece")) - whole).volume() < 1.0
    # 250 mm wide: beside a post of 60 mm, 95 mm from either wall, there is no room for 150.
    post = box((60.0, 60.0, 400.0), (470.0, 95.0, 0.0))
    tank = tank_of(box((1000.0, 250.0, 400.0)), None, post=post)
    answer = dip(part, tank, with_cures=False)
    assert isinstance(answer, DoesNotFit)
    assert prove_dip(answer, part, tank).holds
    aside = tank_of(box((1000.0, 250.0, 400.0)), None, post=box((60.0, 60.0, 400.0), (470.0, 180.0, 0.0)))
    assert dip(part, aside, with_cures=False).verdict == "fits"


def test_a_box_beside_a_block_of_full_height() -> None:
    """The rest is a box of 800 x 500 x 400 mm; a board as wide as that goes in leant, if it is short enough.

    400 mm deep, 60 mm thick: leant by t it needs L cos t + 60 sin t along and L sin t + 60 cos t up.
    """
    tank = tank_of(box((1100.0, 500.0, 400.0)), None, block=box((300.0, 500.0, 400.0), (800.0, 0.0, 0.0)))
    leant = np.linspace(0.0, 1.0, 100_001)
    most = np.minimum(
        (800.0 - 60.0 * np.sin(leant)) / np.cos(leant),
        (400.0 - 60.0 * np.cos(leant)) / np.maximum(np.sin(leant), 1e-9),
    ).max()
    long, short = part_of(box((most + 25.0, 499.0, 60.0))), part_of(box((most - 1.0, 499.0, 60.0)))
    answer = dip(long, tank, with_cures=False)
    assert isinstance(answer, DoesNotFit)
    assert prove_dip(answer, long, tank).holds
    assert not recheck_infeasible(short, tank, answer.proof, 50_000).holds
    assert dip(short, tank, with_cures=False).verdict == "fits"


def test_the_sides_of_a_bulkhead_that_leans_are_shown_again() -> None:
    """One side is 900 mm long at the floor and 1100 at the rim, 400 up: across it is 1170 mm at most."""
    leaning = hulled(
        [[x + z / 2.0, y, z] for x in (900.0, 980.0) for y in (0.0, 500.0) for z in (0.0, 400.0)]
    )
    tank = tank_of(box((2000.0, 500.0, 400.0)), None, bulkhead=leaning)
    short, long = (part_of(box((length, 480.0, 60.0))) for length in (1050.0, 1171.0))
    answer = dip(long, tank, with_cures=False)
    assert isinstance(answer, DoesNotFit)
    assert answer.proof.middle_mm is None
    assert prove_dip(answer, long, tank).holds
    assert not recheck_infeasible(short, tank, answer.proof, 50_000).holds
    assert dip(short, tank, with_cures=False).verdict == "fits"


def test_tapes_decide() -> None:
    """The frame's window is 2 mm larger than the post: a tape of 6 mm in all says neither yes nor no."""
    rules = Rules(tape_part_mm=3.0, tape_tank_mm=3.0)
    tank = tank_of(box((1020.0, 1020.0, 500.0)), rules, post=box((698.0, 698.0, 500.0), (161.0, 161.0, 0.0)))
    part = part_of(frame((1000.0, 1000.0, 300.0), 150.0))
    answer = dip(part, tank, with_cures=False)
    assert isinstance(answer, MeasureAgain)
    assert prove_dip(answer, part, tank).holds


def plank(size: tuple[float, float, float]) -> Part:
    """Return a plank that may lean 30 degrees either way, and not roll or swing."""
    return replace(part_of(box(size)), attitude=Attitude(math.radians(30.0), 0.0, 0.0))


def test_a_part_under_a_strap_is_tilted_in() -> None:
    """The openings at either end of the strap are 350 mm long: leant by 30 degrees the plank needs 433 mm."""
    strap = box((300.0, 300.0, 20.0), (350.0, 0.0, 580.0))
    tank = tank_of(box((1000.0, 300.0, 600.0)), Rules(5.0, 5.0, 0.0, 40.0), strap=strap)
    part = plank((500.0, 100.0, 40.0))
    answer = dip(part, tank, with_cures=False)
    assert isinstance(answer, Fits)
    assert answer.way_in is not None
    assert answer.way_in.kind == "tilted in"
    assert prove_dip(answer, part, tank).holds
    # Straight to where it hangs from over the rim it would meet the strap.
    first, *_, last = answer.way_in.poses
    assert not way_is_clear(part, tank, replace(answer.way_in, poses=(first, last)), last)
    above = Pose(last.to_frame, last.from_frame, last.rotation, last.shift_mm + [0.0, 0.0, 700.0])
    assert not way_is_clear(part, tank, WayIn("straight down", 1.0, (above, last)), last)


def test_a_lip_keeps_out_what_is_as_wide_as_the_tank() -> None:
    """A plate of 990 x 590 mm in 1000 x 600 mm, level only, under a lip of 20 mm: there is no way in."""
    tank = replace(tank_of(box((1000.0, 600.0, 400.0)), Rules(0.0, 10.0, 0.0, 50.0)), rim=Rim(lip_mm=20.0))
    flat = replace(part_of(box((990.0, 590.0, 20.0))), attitude=Attitude(0.0, 0.0, 0.0))
    answer = dip(flat, tank, with_cures=False)
    assert answer.verdict == "not found"
    assert "no way" in answer.reason
    small = replace(part_of(box((900.0, 500.0, 20.0))), attitude=Attitude(0.0, 0.0, 0.0))
    answer = dip(small, tank, with_cures=False)
    assert isinstance(answer, Fits)
    assert answer.way_in is not None
    assert answer.way_in.kind == "straight down"
    # In the middle, 30 mm from the lip's long sides and from its ends.
    assert answer.way_in.gap_mm == pytest.approx(30.0)


def beside(slot_mm: float) -> tuple[Part, Tank]:
    """Return a box of 300 x 200 x 150 mm, and a tank where a block leaves it only a slot, too short to span it.

    The block ends 20 mm from either end wall and 30 mm under the rim, which is no room for the box. So it goes
    in its least width across the slot, turned in the slot as one likes, on end too: its spare is half of what
    the slot has over 150 mm.
    """
    rules = Rules(tape_part_mm=2.0, tape_tank_mm=2.0)
    block = box((960.0, 400.0 - slot_mm, 470.0), (20.0, 0.0, 0.0))
    return part_of(box((300.0, 200.0, 150.0))), tank_of(box((1000.0, 400.0, 500.0)), rules, block=block)


TOO_NARROW_MM = 150.0 - 0.3 * MM_PER_INCH


@pytest.fixture(scope="module")
def too_narrow() -> DoesNotFit:
    answer = dip(*beside(TOO_NARROW_MM), with_cures=False)
    assert isinstance(answer, DoesNotFit)
    return answer


def test_a_box_that_may_stand_on_end_is_proven_too_thick_for_a_slot(too_narrow: DoesNotFit) -> None:
    part, tank = beside(TOO_NARROW_MM)
    assert too_narrow.proof.on_end is not None
    assert prove_dip(too_narrow, part, tank).holds


@pytest.mark.parametrize(
    ("slot_mm", "verdict"), [(149.0, "measure again"), (152.0, "measure again"), (154.5, "fits")]
)
def test_the_spare_in_a_slot_is_half_of_what_it_has_over(slot_mm: float, verdict: str) -> None:
    """The tapes may be out by 2 mm: from 146 mm to 154 mm they decide. Below that it is proven, see above."""
    part, tank = beside(slot_mm)
    answer = dip(part, tank, with_cures=False)
    assert answer.verdict == verdict
    assert answer.spare.mm == pytest.approx((slot_mm - 150.0) / 2.0, abs=1e-3)
    assert answer.spare.at_most_mm >= answer.spare.mm
    assert prove_dip(answer, part, tank).holds


def test_a_proof_without_some_poses_on_end_is_refused(too_narrow: DoesNotFit) -> None:
    part, tank = beside(TOO_NARROW_MM)
    proof, on_end = too_narrow.proof, too_narrow.proof.on_end
    assert on_end is not None
    assert on_end.middle_mm is not None
    assert on_end.half_mm is not None
    turned = Proof(on_end.middle_rad, on_end.half_rad, on_end.middle_mm, on_end.half_mm * 0.999)
    cells_only = Proof(on_end.middle_rad, on_end.half_rad)
    for forged in (
        replace(proof, on_end=None),
        replace(proof, on_end=turned),
        replace(proof, on_end=cells_only),
        replace(on_end, on_end=on_end),
    ):
        assert not recheck_infeasible(part, tank, forged).covers


def test_boxes_on_end_are_looked_at_again() -> None:
    """A bar 300 mm long goes into a slot 142 mm wide, in a tank of 250 x 350 mm, steeper than 45 degrees only.

    There, 100 mm square, it is 300 cos 45 + 100 sin 45 = 283 mm long. 150 mm square it is too thick.
    """
    tank = tank_of(box((250.0, 400.0, 350.0)), None, block=box((210.0, 258.0, 320.0), (20.0, 0.0, 0.0)))
    thick, thin = part_of(box((300.0, 150.0, 150.0))), part_of(box((300.0, 100.0, 100.0)))
    answer = dip(thick, tank, with_cures=False)
    assert isinstance(answer, DoesNotFit)
    found = recheck_infeasible(thin, tank, answer.proof)
    assert found.covers
    assert not found.refused
    stood = dip(thin, tank, with_cures=False)
    assert isinstance(stood, Fits)
    assert abs(stood.advice.pose.angles.tilt_rad) > math.pi / 4.0
