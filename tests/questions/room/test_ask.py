"""Layouts of a room: overlaps against closed forms, aisles against a flooded grid, cures, and laws."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import LineString, Polygon
from strategies.rooms import FT, IN, build_room, fixture, moved, rectangle, south_door

import fitcheck as fc
from fitcheck.geometry.plan.convex_outlines import Sector, overlap_mm
from fitcheck.questions.room.answer import Conflict, RoomAnswer
from fitcheck.questions.room.ask import after, aisles_of, stands
from fitcheck.questions.room.rules import floor_of, overlaps
from fitcheck.questions.room.say import text
from fitcheck.things.room import KeepClear, Place, Room, Work
from fitcheck.things.shop import Shop
from fitcheck.words.errors import Refused

# Offsets are exact but for rounding of metres; widths are told to 0.01 mm.
WIDTH_MM = 0.011


@pytest.fixture(scope="module")
def good() -> RoomAnswer:
    return fc.room(build_room())


def only(answer: RoomAnswer, kind: str) -> Conflict:
    (found,) = (each for each in answer.conflicts if each.kind == kind)
    return found


def test_a_layout_worked_out_by_hand_stands(good: RoomAnswer) -> None:
    assert (good.verdict, good.conflicts) == ("fits", ())
    widths = {aisle.to: aisle.width_mm for aisle in good.best.aisles}
    # Stand and jig face each other 3 ft apart; from the stand's corner (2, 5.5) to the cradle's (4, 3) is
    # the way in, sqrt(2^2 + 2.5^2) ft.
    assert widths["jig left"] == pytest.approx(3 * FT, abs=WIDTH_MM)
    for side in ("front", "back", "right"):
        assert widths[f"jig {side}"] == pytest.approx(math.hypot(2, 2.5) * FT, abs=WIDTH_MM)
    left = next(aisle for aisle in good.best.aisles if aisle.to == "jig left")
    assert set(left.pinch) == {"stand", "jig"}
    (x0, y0), (x1, y1) = left.pinch_mm
    assert sorted((x0, x1)) == pytest.approx([2 * FT, 5 * FT])
    assert y0 == pytest.approx(y1)
    assert 8 * FT <= y0 <= 14 * FT
    assert good.best.on_walls == 4


def test_six_inches_west_spoils_it_and_six_inches_east_mends_it() -> None:
    answer = fc.room(build_room((4.5, 8)))
    assert answer.verdict == "does not fit"
    zone, aisle = only(answer, "in a work zone"), only(answer, "aisle too narrow")
    for conflict in (zone, aisle):
        assert set(conflict.between) == {"stand", "jig"}
        assert conflict.short_by_mm == pytest.approx(6 * IN, abs=WIDTH_MM)
        assert conflict.cure.name == "jig"
        assert conflict.cure.by_mm == pytest.approx((6 * IN, 0.0), abs=1e-5)
    assert fc.room(after(answer.room, zone.cure)).verdict == "fits"
    assert "move jig 6 in east" in text(answer, Shop("", show="ft-in"))


def test_touching_is_no_conflict_and_a_hair_more_is() -> None:
    # The cradle touches the door's sector in a point, and the panel along a side.
    spoilt = build_room()
    assert overlaps(spoilt) == ()
    west = replace(spoilt.fixtures[4], place=Place((4 * FT - 0.5, 0.0)))
    (conflict,) = overlaps(replace(spoilt, fixtures=(*spoilt.fixtures[:4], west)))
    assert (conflict.kind, conflict.between) == ("in the door swing", ("cradle", "door"))
    assert conflict.short_by_mm == pytest.approx(0.5, abs=1e-6)


@pytest.mark.parametrize(("u", "v"), [(1.0, 1.0), (2.0, 1.0), (0.3, 2.5)])
def test_a_corner_in_a_door_swing_is_short_by_the_radius_less_its_distance(u: float, v: float) -> None:
    # The swing is a true sector, radius 3 ft about (1, 0): a box with its low corner at (u, v) from the hinge
    # leaves it by the shortest way along the spoke, 3 - sqrt(u^2 + v^2), where no side is nearer.
    deep = 3.0 - math.hypot(u, v)
    room = Room("r", rectangle(14, 20), doors=(south_door(),), fixtures=(fixture("box", (6, 6), (1 + u, v)),))
    assert only(fc.room(room), "in the door swing").short_by_mm == pytest.approx(deep * FT, abs=1e-6)


def test_a_box_outside_the_arc_but_inside_its_square_is_free() -> None:
    corner = 3.0 * math.sqrt(0.5) + 1e-3
    room = Room(
        "r", rectangle(14, 20), doors=(south_door(),), fixtures=(fixture("b", (2, 2), (1 + corner, corner)),)
    )
    assert overlaps(room) == ()


def left(ring: np.ndarray, shift: np.ndarray, truth: Polygon) -> float:
    return Polygon(ring + shift).intersection(truth).area


def test_overlap_is_the_least_move_that_frees(seed: int = 4) -> None:
    """Against shapely: moved so far along the way told it is free, and no way frees it in less."""
    import shapely

    draw = np.random.default_rng(seed)
    along, inward = np.array([1.0, 0.0]), np.array([0.0, 1.0])
    turns = np.linspace(0.0, 2.0 * np.pi, 181)
    ways = np.column_stack([np.cos(turns), np.sin(turns)])
    arc = np.linspace(0.0, np.pi / 2.0, 2000)
    seen = 0
    for _ in range(30):
        angle, size, at = draw.uniform(0, np.pi), draw.uniform(200, 900, 2), draw.uniform(-700, 900, 2)
        turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
        ring = np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) * size @ turn.T + at
        sector = Sector(np.zeros(2), 900.0, along, inward)
        truth = shapely.Polygon([(0, 0), *(900.0 * np.column_stack([np.cos(arc), np.sin(arc)]))])
        deep, way = overlap_mm(ring, sector)
        body = shapely.Polygon(ring)
        assert (deep > 0.1) == (body.intersection(truth).area > 0.1 * 0.01) or abs(deep) < 0.2
        if deep <= 1.0:
            continue
        seen += 1

        # 2000 chords cut off 0.00007 mm of the arc.
        assert left(ring, way * (deep + 1e-3), truth) == pytest.approx(0.0, abs=1e-3)
        assert min(left(ring, each * (0.995 * deep), truth) for each in ways) > 0.0
    assert seen > 8


def test_each_kind_of_conflict_is_told() -> None:
    room = replace(
        build_room(),
        fixtures=(
            fixture("one", (2, 2), (6, 10)),
            fixture("other", (2, 2), (7.5, 11)),
            fixture("out", (2, 2), (13, 15)),
            fixture("box", (1, 1), (2, 1)),
            fixture("cabinet", (1, 1), (10, 1)),
            fixture("desk", (3, 2), (5, 1), Work(front_mm=2 * FT)),
        ),
    )
    answer = fc.room(room)
    short = {(each.kind, each.between): each.short_by_mm for each in answer.conflicts}
    assert short["bodies overlap", ("one", "other")] == pytest.approx(0.5 * FT)
    assert short["outside the room", ("out", "east wall")] == pytest.approx(1 * FT)
    assert ("in the door swing", ("box", "door")) in short
    assert short["in a keep-clear zone", ("cabinet", "panel")] == pytest.approx(1.5 * FT)
    assert short["work zone outside the room", ("desk", "south wall")] == pytest.approx(1 * FT)
    for conflict in answer.conflicts:
        if conflict.kind == "aisle too narrow":
            continue
        assert conflict.cure is not None
        left = {(each.kind, each.between) for each in overlaps(after(room, conflict.cure))}
        assert (conflict.kind, conflict.between) not in left
        assert left < {(each.kind, each.between) for each in overlaps(room)}


def test_where_nothing_can_move_the_door_is_hung_outward() -> None:
    # A box as wide as the room but for nothing: it cannot leave the swing.
    room = Room(
        "r", rectangle(4, 4), doors=(south_door(0.5),), fixtures=(fixture("box", (4, 3.5), (0, 0.5)),)
    )
    conflict = only(fc.room(room), "in the door swing")
    assert (conflict.cure.name, conflict.cure.by_mm) == ("door", None)
    assert fc.room(after(room, conflict.cure)).verdict == "fits"


def test_a_room_too_narrow_for_a_body_says_how_far_it_reaches_out() -> None:
    room = Room("r", rectangle(4, 20), fixtures=(fixture("long", (5, 2), (0, 3)),))
    conflict = only(fc.room(room), "outside the room")
    assert conflict.short_by_mm == pytest.approx(1 * FT)
    assert conflict.cure is None


def test_what_hangs_over_heads_blocks_nothing() -> None:
    heater = replace(fixture("heater", (4, 2), (5, 5)), over_mm=7 * FT, size_mm=(4 * FT, 2 * FT, 1 * FT))
    room = build_room()
    assert stands(replace(room, fixtures=(*room.fixtures, heater)))
    low = replace(heater, over_mm=5 * FT)
    (conflict,) = overlaps(replace(room, fixtures=(*room.fixtures, low)))
    assert (conflict.kind, conflict.between) == ("in a work zone", ("heater", "jig"))


@pytest.mark.parametrize("turn_deg", [77.0])
def test_turning_and_moving_everything_changes_nothing(good: RoomAnswer, turn_deg: float) -> None:
    answer = fc.room(moved(build_room(), math.radians(turn_deg), (1234.5, -987.6)))
    assert answer.verdict == "fits"
    for one, other in zip(answer.best.aisles, good.best.aisles, strict=True):
        assert one.width_mm == pytest.approx(other.width_mm, abs=2 * WIDTH_MM)
    assert answer.best.free_mm2 == pytest.approx(good.best.free_mm2, rel=1e-4)


def test_more_room_never_spoils_a_layout() -> None:
    for wider in (14.5, 20.0):
        assert stands(replace(build_room(), outline_mm=rectangle(wider, 20)))


def aisle_to(bodies: tuple[tuple[float, float, float, float], ...], outline: object) -> float:
    """Return the way from a door at the south west to the front of a target at the north east."""
    things = [fixture(f"b{k}", (w, d), (x, y)) for k, (x, y, w, d) in enumerate(bodies)]
    target = fixture("target", (1, 1), (8.5, 18.5), Work(front_mm=1.0 * FT))
    room = Room("r", outline, 3000.0, 1.0, (south_door(0.5, 2.5),), (*things, target))  # type: ignore[arg-type]
    return fc.room(room).best.least_aisle_mm / FT


def test_widths_of_passages_are_exact() -> None:
    # A gap in a wall between two bodies; the corner of one against the corner of the other (3-4-5); an L of
    # two corridors lets a disc through that is as wide as the narrower.
    plain = rectangle(10, 20)
    assert aisle_to(((0, 8, 4, 1), (6.25, 8, 3.75, 1)), plain) == pytest.approx(2.25, abs=1e-4)
    assert aisle_to(((0, 8, 4, 1), (5.2, 10.6, 4.8, 1)), plain) == pytest.approx(2.0, abs=1e-4)
    corridor = tuple((x * FT, y * FT) for x, y in ((0, 0), (3, 0), (3, 15), (10, 15), (10, 20), (0, 20)))
    assert aisle_to((), corridor) == pytest.approx(3.0, abs=1e-4)
    assert aisle_to(((0, 8, 10, 1),), plain) == 0.0


STEP_MM = 25.0


def flooded_width_mm(room: Room) -> float:
    """Return the widest way from the door to the target's front on a grid: by distances, another way."""
    import shapely
    from scipy import ndimage

    xs, ys = np.arange(STEP_MM / 2, 10 * FT, STEP_MM), np.arange(STEP_MM / 2, 20 * FT, STEP_MM)
    places = shapely.points(*np.meshgrid(xs, ys))
    floor = floor_of(room)
    shapes = [Polygon(thing.ring_mm) for thing in floor.bodies]
    shapes += [LineString(thing.ring_mm) for thing in floor.walls]
    away = np.min([shapely.distance(places, shape) for shape in shapes], axis=0)
    side, door = (
        LineString([(4 * FT, 18.5 * FT), (6 * FT, 18.5 * FT)]),
        LineString([(1 * FT, 0), (4 * FT, 0)]),
    )
    before = (ys[:, None] < 18.5 * FT) & (xs[None, :] > 4 * FT) & (xs[None, :] < 6 * FT)
    inside = (xs[None, :] > 1 * FT) & (xs[None, :] < 4 * FT)
    to_side = np.where(before, shapely.distance(places, side), np.inf)
    to_door = np.where(inside, shapely.distance(places, door), np.inf)
    seen = 0.0
    for width in np.arange(STEP_MM, 8 * FT, STEP_MM):
        labels, _ = ndimage.label(away >= width / 2)
        near = width / 2 + 2.0 * STEP_MM
        at_side, at_door = (set(labels[(to <= near) & (labels > 0)].tolist()) for to in (to_side, to_door))
        if at_side & at_door:
            seen = width
    return seen


def test_aisles_agree_with_a_flooded_grid() -> None:
    draw = np.random.default_rng(11)
    for _ in range(3):
        bodies = [
            fixture(
                f"b{k}",
                tuple(draw.uniform(1, 3, 2)),
                tuple(draw.uniform((0.5, 4), (9, 15))),
                None,
                draw.uniform(0, 3),
            )
            for k in range(5)
        ]
        target = fixture("target", (2, 1), (4, 18.5), Work(front_mm=1 * FT))
        room = Room("r", rectangle(10, 20), 3000.0, 1.0, (south_door(),), (*bodies, target))
        beyond = {each.between[0] for each in overlaps(room) if each.kind == "outside the room"}
        room = replace(room, fixtures=tuple(each for each in room.fixtures if each.name not in beyond))
        (found,) = aisles_of(room)
        assert found.at_most_mm - found.at_least_mm < 1e-3 * found.width_mm + 0.05
        # The grid is out by its step on each side, and its discs stop a step or two short of what they touch.
        assert found.width_mm == pytest.approx(flooded_width_mm(room), abs=5.0 * STEP_MM)


def test_a_fixture_without_a_place_is_sent_to_arrange() -> None:
    with pytest.raises(Refused, match="--arrange"):
        fc.room(build_room(placed=False))


def test_no_door_and_no_working_side_leave_no_aisles() -> None:
    room = replace(build_room(), doors=())
    assert fc.room(room).best.least_aisle_mm is None
    assert fc.room(Room("r", rectangle(5, 5))).verdict == "fits"


def test_a_keep_clear_that_is_low_lets_a_shelf_hang_over_it() -> None:
    zone = KeepClear("pit", rectangle(3, 3), 2 * FT)
    shelf = replace(fixture("shelf", (2, 2), (0, 0)), over_mm=4 * FT)
    room = Room("r", rectangle(10, 10), keep_clear=(zone,), fixtures=(shelf,))
    assert overlaps(room) == ()
    assert overlaps(replace(room, fixtures=(replace(shelf, over_mm=0.0),)))[0].kind == "in a keep-clear zone"
