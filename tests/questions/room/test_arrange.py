"""Rooms laid out by the solver: against every layout there is, by 2 in from both sides, and by laws."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from oracles.exhaustive import check_small_rooms
from strategies.rooms import ALL_ROUND, FT, IN, build_room, fixture, rectangle

import fitcheck as fc
from fitcheck.geometry.plan.grid_boxes import Box, apart, common_step_mm, covering, down, within
from fitcheck.questions.room.answer import RoomAnswer
from fitcheck.questions.room.ask import stands
from fitcheck.things.room import Room, Work


@pytest.fixture(scope="module")
def found() -> RoomAnswer:
    return fc.arrange(build_room(placed=False))


def test_the_yards_room_is_laid_out_from_nothing(found: RoomAnswer) -> None:
    assert found.verdict == "fits"
    assert len(found.layouts) > 1
    for layout in found.layouts:
        assert fc.room(replace(found.room, fixtures=layout.fixtures)).verdict == "fits"
        assert layout.least_aisle_mm >= 3 * FT - 0.02
    ranks = [(round(each.least_aisle_mm), each.free_mm2, each.on_walls) for each in found.layouts]
    assert ranks == sorted(ranks, reverse=True)


def test_layouts_differ(found: RoomAnswer) -> None:
    for k, one in enumerate(found.layouts):
        for other in found.layouts[k + 1 :]:
            assert any(
                place.turn_rad != other.places[name].turn_rad
                or max(abs(a - b) for a, b in zip(place.at_mm, other.places[name].at_mm, strict=True))
                > FT - 1.0
                for name, place in one.places.items()
            )


def test_it_is_the_same_each_time() -> None:
    room = replace(build_room(placed=False), aisle_mm=0.0)
    room = replace(room, fixtures=room.fixtures[:3])
    places = [[layout.places for layout in fc.arrange(room).layouts] for _ in range(2)]
    assert places[0] == places[1]


def test_what_has_a_place_stays() -> None:
    room = build_room()
    loose = replace(room.fixtures[4], place=None)
    answer = fc.arrange(replace(room, fixtures=(*room.fixtures[:4], loose)))
    assert answer.verdict == "fits"
    for layout in answer.layouts:
        assert layout.fixtures[:4] == room.fixtures[:4]
        assert stands(replace(room, fixtures=layout.fixtures))


def long_room(tall_ft: float) -> Room:
    """Return a room whose jig takes all of the width: two stands need 9 + 12 ft of length beside it."""
    fixtures = (
        fixture("jig", (4, 6), None, ALL_ROUND),
        fixture("one", (2, 12), None),
        fixture("other", (2, 12), None),
    )
    return Room("long", rectangle(10, tall_ft), fixtures=fixtures)


def test_two_inches_less_are_proven_to_be_too_few() -> None:
    assert fc.arrange(long_room(21)).verdict == "fits"
    answer = fc.arrange(long_room(21 - 2 / 12))
    assert answer.verdict == "does not fit"
    assert "anywhere" in answer.proof


def test_a_row_that_must_fill_a_wall_is_proven_too_long_by_a_sixteenth() -> None:
    # 5 ft 6 in + 2 ft 6 in + 6 ft in a corridor too narrow to turn them: 14 ft, no more and no less.
    def row(long_ft: float) -> Room:
        fixtures = tuple(fixture(name, (long, 4), None) for name, long in (("a", 5.5), ("b", 2.5), ("c", 6)))
        return Room("row", rectangle(long_ft, 4), fixtures=fixtures)

    assert fc.arrange(row(14)).verdict == "fits"
    assert fc.arrange(row(14 - 1 / 192)).verdict == "does not fit"


def test_fixed_things_in_each_others_way_leave_no_layout() -> None:
    room = build_room((4.5, 8))
    answer = fc.arrange(replace(room, fixtures=(*room.fixtures, fixture("stool", (1, 1), None))))
    assert answer.verdict == "does not fit"
    assert answer.conflicts


def test_slanting_and_l_shaped_floors() -> None:
    corner = tuple((x * FT, y * FT) for x, y in ((0, 0), (4, 0), (4, 6), (10, 6), (10, 10), (0, 10)))
    ell = Room("ell", corner, fixtures=(fixture("long", (9, 4), None), fixture("tall", (6, 4), None)))
    answer = fc.arrange(ell)
    assert answer.verdict == "fits"
    assert stands(replace(ell, fixtures=answer.layouts[0].fixtures))
    # The L has 10 x 4 and 4 x 10 ft: a square of 4.5 ft has no room in either arm, nor where they meet.
    assert (
        fc.arrange(Room("ell", corner, fixtures=(fixture("sq", (4.5, 4.5), None),))).verdict == "does not fit"
    )
    slant = tuple((x * FT, y * FT) for x, y in ((0, 0), (10, 0), (0, 10)))
    # A square in the right angle of a triangle is at most half its leg.
    assert fc.arrange(Room("s", slant, fixtures=(fixture("sq", (4.5, 4.5), None),))).verdict == "fits"
    # The true triangle proves it; rows of the grid alone may leave it open, but never say yes.
    assert fc.arrange(Room("s", slant, fixtures=(fixture("sq", (5.1, 5.1), None),))).verdict != "fits"


def test_an_aisle_that_every_layout_shuts_is_ruled_out_on_the_grid() -> None:
    # The desk looks south from the north wall. The chest, as long as the room is wide, goes nowhere but across
    # the way to it: upright it would stand in the door's swing or be too long.
    desk = fixture("desk", (5, 1), (0, 6.5), Work(front_mm=1 * FT))
    room = Room("narrow", rectangle(5, 7.5), None, 3 * FT, build_room().doors, (desk,))
    answer = fc.arrange(replace(room, fixtures=(desk, fixture("chest", (5, 1.25), None))))
    assert answer.verdict == "does not fit"
    assert "on this grid" in answer.proof
    # A chest a foot wide finds room beside the swing.
    answer = fc.arrange(replace(room, fixtures=(desk, fixture("chest", (5, 1), None))))
    assert answer.verdict == "fits"
    assert stands(replace(room, fixtures=answer.layouts[0].fixtures))


@pytest.mark.parametrize(("seed", "count", "aisle"), [(1, 8, False), (3, 4, True)])
def test_small_rooms_agree_with_every_layout_there_is(seed: int, count: int, aisle: bool) -> None:
    fits, does_not = check_small_rooms(seed, count, aisle=aisle)
    assert min(fits, does_not) >= 1


def test_boxes_cover_and_lie_within(seed: int = 5) -> None:
    """Random convex shapes and places: what a shape bars, its covering bars; what is within bars no more."""
    import shapely

    draw = np.random.default_rng(seed)
    for _ in range(40):
        ring = np.array(shapely.MultiPoint(draw.uniform(0, 900, (7, 2))).convex_hull.exterior.coords)[:-1]
        shape, step = shapely.Polygon(ring), 50.0
        assert (
            shapely.union_all([shapely.box(*(step * v for v in box)) for box in covering(ring, step)])
            .buffer(1e-3)
            .covers(shape)
        )
        boxes = within(ring, step)
        size = draw.uniform(10, 300, 2)
        for x, y in draw.uniform(-300, 900, (60, 2)):
            body = shapely.box(x, y, x + size[0], y + size[1])
            if body.intersection(shape).area > 1e-6:
                continue
            # A place that is free in truth is free on the grid.
            left, low = down(x, step), down(y, step)
            wide, tall = down(size[0], step), down(size[1], step)
            for box in boxes:
                assert (
                    left + wide <= box.left or box.right <= left or low + tall <= box.low or box.high <= low
                )


def test_boxes_are_put_apart() -> None:
    boxes = apart([Box(0, 0, 4, 4), Box(2, 2, 6, 6), Box(6, 2, 8, 4)])
    grid = np.zeros((8, 8), dtype=int)
    for box in boxes:
        grid[box.left : box.right, box.low : box.high] += 1
    truth = np.zeros((8, 8), dtype=int)
    truth[:4, :4] = truth[2:6, 2:6] = truth[6:8, 2:4] = 1
    assert (grid == truth).all()


def test_the_grid_is_the_largest_step_that_has_all_lengths() -> None:
    assert common_step_mm([14 * FT, 20 * FT, 18 * IN, 0.0], 1.0) == pytest.approx(6 * IN)
    assert common_step_mm([100.0, 33.3], 1.0) == 1.0
