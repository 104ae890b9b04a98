"""Ways in by one end or one edge first: under lips, heating pipes, straps and braces, as a shop puts parts in."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from strategies.solids import box, part_of

from fitcheck.draw.ink import Label
from fitcheck.files.shop_file import read_shop
from fitcheck.proving.insertion import way_is_clear
from fitcheck.questions.dip.answer import Fits
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.dip.draw_insertion import WaySketch
from fitcheck.questions.dip.prove import prove_dip
from fitcheck.questions.dip.say import dip_text
from fitcheck.questions.dip.say_insertion import how_in, moves_in
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.way_in import WayIn

SHOP = read_shop(Path(__file__).parents[2] / "strategies" / "data" / "ways_in.toml")
# What goes first, worked out by hand: across the tank where a lip or a pipe runs along it, else along it.
EDGE_FIRST = ("lip_tube", "lip_pan", "lip_channel", "pipe_block", "pipe_channel")
END_FIRST = ("pipe_end_tube", "straps_tube", "strap_angle", "straps_pan", "brace_frame", "brace_spar")


def put_in(name: str) -> Fits:
    answer = dip(SHOP.parts[name], SHOP.tanks[name], with_cures=False)
    assert isinstance(answer, Fits)
    return answer


def way_of(name: str) -> WayIn:
    way = put_in(name).way_in
    assert way is not None
    return way


@pytest.mark.parametrize(
    ("name", "first"),
    [*((name, "one edge first") for name in EDGE_FIRST), *((name, "one end first") for name in END_FIRST)],
)
def test_a_part_goes_in_one_end_or_one_edge_first(name: str, first: str) -> None:
    """As it is to hang its upright shadow is larger than what is open over it, so not straight down."""
    part, tank, answer = SHOP.parts[name], SHOP.tanks[name], put_in(name)
    assert answer.way_in is not None
    assert answer.way_in.kind == "tilted in"
    assert prove_dip(answer, part, tank).holds
    assert first in dip_text(answer, part, "mm")


def test_straight_down_at_another_roll_comes_before_tilted_in() -> None:
    """Level it is under the pipe, and goes in edge first only; rolled, its upright shadow clears the pipe."""
    part, tank, answer = SHOP.parts["pipe_pan"], SHOP.tanks["pipe_pan"], put_in("pipe_pan")
    assert answer.way_in is not None
    assert answer.way_in.kind == "straight down"
    (pipe,) = tank.fittings
    shadow = answer.advice.pose.apply(part.solid.vertices_mm)[:, 1]
    low, high = pipe.solid.vertices_mm[:, 1].min(), pipe.solid.vertices_mm[:, 1].max()
    gap = max(low - shadow.max(), shadow.min() - high)
    assert gap == pytest.approx(answer.way_in.gap_mm, abs=1e-6)
    assert part.size_mm[1] + tank.rules.side_clearance_mm > tank.size_mm[1] - (high - low)


@pytest.mark.parametrize("name", ["slot_block", "shelf_block"])
def test_what_is_thicker_than_the_opening_has_no_way_in(name: str) -> None:
    """The least width of a block is its least side: between two parallel edges nearer than that it never goes."""
    least = min(SHOP.parts[name].size_mm)
    length, width, _ = SHOP.tanks[name].size_mm
    reach = sum(np.ptp(each.solid.vertices_mm[:, 1]) for each in SHOP.tanks[name].fittings)
    assert least > width - reach
    assert all(np.ptp(each.solid.vertices_mm[:, 0]) == length for each in SHOP.tanks[name].fittings)
    answer = dip(SHOP.parts[name], SHOP.tanks[name], with_cures=False)
    assert answer.verdict == "not found"
    assert "no way was found" in answer.reason


def moved(pose: Pose, by_mm: tuple[float, float, float]) -> Pose:
    return Pose(pose.to_frame, pose.from_frame, pose.rotation, pose.shift_mm + by_mm)


@pytest.mark.parametrize(
    ("name", "which", "by_mm"),
    [
        ("straps_pan", (2,), (0.0, 0.0, 750.0)),
        ("strap_angle", (2,), (400.0, 0.0, 0.0)),
        ("pipe_channel", (1,), (0.0, 0.0, -400.0)),
        # Over the tank and straight under that, towards the lip.
        ("lip_tube", (0, 1), (0.0, -60.0, 0.0)),
    ],
)
def test_a_way_with_one_step_moved_is_refused(
    name: str, which: tuple[int, ...], by_mm: tuple[float, float, float]
) -> None:
    part, tank, way = SHOP.parts[name], SHOP.tanks[name], way_of(name)
    last = way.poses[-1]
    assert max(which) < len(way.poses) - 1
    assert way_is_clear(part, tank, way, last)
    poses = (moved(pose, by_mm) if k in which else pose for k, pose in enumerate(way.poses))
    assert not way_is_clear(part, tank, replace(way, poses=tuple(poses)), last)


def test_the_same_way_is_found_again() -> None:
    one, other = way_of("lip_pan"), way_of("lip_pan")
    assert [pose.matrix.tolist() for pose in one.poses] == [pose.matrix.tolist() for pose in other.poses]


def test_a_way_is_told_as_a_shop_would_do_it() -> None:
    part = part_of(box((500.0, 100.0, 40.0)))
    turn = rotation_from(Angles(np.radians(20.0)))
    middle = np.array([250.0, 50.0, 20.0])

    def at(rotation: np.ndarray, place: tuple[float, float, float]) -> Pose:
        return Pose("tank", "part", rotation, np.array(place) - rotation @ middle)

    poses = (
        at(turn, (400.0, 100.0, 900.0)),
        at(turn, (400.0, 100.0, 300.0)),
        at(turn, (300.0, 150.0, 300.0)),
        at(np.eye(3), (500.0, 150.0, 70.0)),
    )
    way = WayIn("tilted in", 2.25, poses)
    assert how_in(way, "mm") == (
        "one end first, its -x end, tilted by up to 20 deg, in 3 moves; it comes no nearer than 2.2 mm"
    )
    lines = moves_in(way, part, "mm")
    assert "its middle 400 mm from the tank's -x end and 100 mm from its -y side" in lines[0]
    assert lines[1].startswith("let straight down by 600 mm, hung as it is; ")
    assert lines[2].startswith(
        "slid by 100 mm towards the tank's -x end and 50 mm towards the tank's +y side, hung as it is; "
    )
    assert lines[3] == (
        "let down by 230 mm and slid by 200 mm towards the tank's +x end, turned until it is level, as drawn; "
        "its lowest point 50 mm over the tank floor"
    )


@pytest.mark.parametrize(
    ("angles", "words"),
    [
        (Angles(np.radians(-9.0)), "one end first, its +x end, tilted by up to 9 deg"),
        (Angles(0.0, np.radians(9.0)), "one edge first, its -y edge, rolled by up to 9 deg"),
        (Angles(0.0, np.radians(-9.0)), "one edge first, its +y edge, rolled by up to 9 deg"),
        (Angles(), "slid in, hung as it is to hang"),
        (Angles(np.radians(9.0), np.radians(9.0)), "tilted and turned in"),
        (Angles(0.0, 0.0, np.radians(9.0)), "tilted and turned in"),
    ],
)
@pytest.mark.parametrize("swing", [0.0, 90.0, 180.0])
def test_what_goes_first_is_what_hangs_lower(angles: Angles, words: str, swing: float) -> None:
    """By the heights of the part's own ends and edges; swung round, they are the same ends."""
    hangs = rotation_from(Angles(swing_rad=np.radians(swing)))
    over = rotation_from(angles._replace(swing_rad=angles.swing_rad + np.radians(swing)))
    poses = tuple(Pose("tank", "part", turn, np.zeros(3)) for turn in (over, over, hangs))
    assert how_in(WayIn("tilted in", 5.0, poses), "mm").startswith(f"{words}, in 2 moves")
    for name, column in (("x end", 0), ("y edge", 1)):
        if f"its -{name}" in words or f"its +{name}" in words:
            assert (over[2, column] > 0.0) == (f"its -{name}" in words)


def test_the_way_is_drawn() -> None:
    name = "straps_pan"
    answer, part, tank = put_in(name), SHOP.parts[name], SHOP.tanks[name]
    assert answer.way_in is not None
    poses = answer.way_in.poses
    marks = WaySketch(part, tank, answer.advice.fill, poses).marks(400.0, 160.0)
    numbers = [mark.words for mark in marks if isinstance(mark, Label) and mark.words.isdigit()]
    assert numbers == [str(k + 1) for k in range(len(poses))]
