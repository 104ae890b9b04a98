"""That there is no way, shown again by boxes: closed forms from both sides, the demo yard, and what is forged."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from oracles.round_a_corner import longest, longest_tipped
from strategies.corridors import corner, ell_in_a_hall
from strategies.solids import box, hulled, joined, part_of

from fitcheck.proving.disconnection_bodies import covered_tipped, fills_its_hull, less_all_round
from fitcheck.proving.disconnection_proof import Boxes, Grid, Held, judged, placed, search_for_disconnection
from fitcheck.proving.disconnection_rows import sides_shared
from fitcheck.proving.way_clearance import Shape
from fitcheck.questions.carry.answer import CarryAnswer
from fitcheck.questions.carry.ask import carry
from fitcheck.questions.carry.prove import prove
from fitcheck.questions.carry.prove_no_way import prove_no_way
from fitcheck.things.part import Part
from fitcheck.things.proved import Proved
from fitcheck.things.room import Ring
from fitcheck.things.route import Low, Route, Stand
from fitcheck.things.shop import Shop

# A hundredth of the length: what the answers of the search are looked at with, too.
OVER = 1.01


def told(part: Part, route: Route) -> CarryAnswer:
    return CarryAnswer(part.name, route.name, "does not fit", "told")


def proved(answer: CarryAnswer, part: Part, route: Route) -> Proved:
    return prove(answer, Shop("yard", parts={part.name: part}, routes={route.name: route}))


def shown(part: Part, route: Route, spare_mm: float = 0.0) -> str:
    return prove_no_way(Shape.of(part), route, spare_mm)[0]


def test_a_clearance_is_kept() -> None:
    """With a clearance c the corridors are narrower by it, and the corner is rounded: as if w were wider by 2 c."""
    length = OVER * longest(1000.0, 1200.0, 240.0)
    rod = part_of(box((length, 200.0, 10.0)))
    route = corner(1000.0, 1200.0, length)
    assert shown(rod, route) == "not so"
    assert shown(rod, replace(route, clearance_mm=20.0)) == "shown"
    assert shown(rod, route, spare_mm=20.0) == "shown"


def test_a_rod_tipped_up() -> None:
    """Length^2 = flat^2 + rise^2 (computed): 14 ft 6 in, 48 and 60 in corridors, not under 84 in."""
    assert shown(part_of(box((174.0, 1.25, 1.25))), corner(48.0, 60.0, 174.0, 84.0, 80.0)) == "shown"
    for share, how in ((0.99, "not shown"), (OVER, "shown")):
        length = share * longest_tipped(48.0, 60.0, 1.25, 96.0)
        rod = part_of(box((length, 1.25, 1.25)))
        assert shown(rod, corner(48.0, 60.0, length, 96.0, 80.0)) == how


def test_hollows_and_posts() -> None:
    """An L's bars of 100 mm pass a post where 400 mm are free, its hull does not."""
    ell, route = ell_in_a_hall(400.0, 900.0)
    assert shown(ell, route) == "not so"
    assert shown(part_of(hulled(ell.solid.vertices_mm)), route) == "shown"


def test_a_frame_about_a_post_that_stands_in_it_is_not_taken_for_a_plate() -> None:
    """A frame with a post inside goes as far as the post lets it, and not out over the post."""
    bars = [box((600.0, 150.0, 9.0), (0.0, y, 0.0)) for y in (0.0, 450.0)]
    bars += [box((150.0, 300.0, 9.0), (x, 150.0, 0.0)) for x in (0.0, 450.0)]
    frame = part_of(joined(*bars))
    floor: Ring = ((0.0, 0.0), (2200.0, 0.0), (2200.0, 800.0), (0.0, 800.0))
    post: Ring = ((500.0, 300.0), (600.0, 300.0), (600.0, 500.0), (500.0, 500.0))
    inside = Route("hall", floor, Stand((500.0, 400.0), 0.0), Stand((600.0, 400.0), 0.0), posts=(post,))
    assert shown(frame, inside) == "not shown"
    assert shown(frame, replace(inside, goal=Stand((1700.0, 400.0), 0.0))) == "shown"


def test_something_too_high_for_a_lintel() -> None:
    """A cabinet of 2100 mm does not pass under 2000 mm; one of 1990 mm does. Its low side may reach under."""
    floor: Ring = ((0.0, 0.0), (4000.0, 0.0), (4000.0, 560.0), (0.0, 560.0))
    lintel = Low("lintel", ((1900.0, 0.0), (2100.0, 0.0), (2100.0, 560.0), (1900.0, 560.0)), 2000.0)
    route = Route("hall", floor, Stand((600.0, 280.0), 0.0), Stand((3400.0, 280.0), 0.0), lows=(lintel,))
    assert shown(part_of(box((800.0, 400.0, 2100.0))), route) == "shown"
    assert shown(part_of(box((800.0, 400.0, 1990.0))), route) == "not so"
    step = part_of(joined(box((400.0, 400.0, 2100.0)), box((400.0, 400.0, 100.0), (400.0, 0.0, 0.0))))
    near = replace(route, goal=Stand((1700.0, 280.0), 0.0))
    assert shown(step, near) != "shown"


@pytest.fixture(scope="module")
def over() -> tuple[Part, Route]:
    """Return a rod a hundredth too long for a corner."""
    length = OVER * longest(900.0, 1100.0, 200.0)
    return part_of(box((length, 200.0, 10.0))), corner(900.0, 1100.0, length)


def test_an_answer_of_the_search_is_shown_again(over: tuple[Part, Route]) -> None:
    part, route = over
    answer = carry(part, route)
    assert answer.verdict == "does not fit"
    again = proved(answer, part, route)
    assert again.holds
    assert not again.not_checked
    assert any("shut off" in check.what for check in again.checks)


def test_what_no_way_has_more_of_is_shown_again(over: tuple[Part, Route]) -> None:
    part, route = part_of(box((700.0, 200.0, 10.0))), over[1]
    answer = carry(part, route)
    most = answer.width_spare_at_most_mm
    assert most is not None
    again = proved(answer, part, route)
    assert again.holds
    assert not again.not_checked
    less = replace(answer, width_spare_at_most_mm=0.9 * (answer.width_spare_mm or 0.0))
    assert not proved(less, part, route).holds


def test_another_part_or_room_is_refused(over: tuple[Part, Route]) -> None:
    """A shorter or thinner part, a wider room, the post that shut it gone, its goal on this side: a way is found."""
    part, route = over
    length = float(np.ptp(part.solid.vertices_mm[:, 0]))
    for other in (part_of(box((0.97 * length, 200.0, 10.0))), part_of(box((length, 160.0, 10.0)))):
        assert not proved(told(other, route), other, route).holds
    wider = corner(960.0, 1100.0, length)
    assert not proved(told(part, wider), part, wider).holds
    beside = replace(route, goal=Stand((450.0, route.start.at_mm[1] - 300.0), math.pi / 2.0))
    assert not proved(told(part, beside), part, beside).holds
    short = part_of(box((0.9 * length, 200.0, 10.0)))
    post: Ring = ((300.0, 250.0), (500.0, 250.0), (500.0, 450.0), (300.0, 450.0))
    shut = replace(route, posts=(post,))
    assert not proved(told(short, shut), short, shut).not_checked
    assert not proved(told(short, route), short, route).holds


def test_a_mirrored_part_is_another_part() -> None:
    """An L that turns the way of the corner goes round where its mirror image, not turned over, does not."""
    bars = box((1400.0, 60.0, 10.0)), box((60.0, 640.0, 10.0), (0.0, 60.0, 0.0))
    ell = part_of(joined(*bars))
    mirror = part_of(joined(box((1400.0, 60.0, 10.0), (0.0, 640.0, 0.0)), box((60.0, 640.0, 10.0))))
    floor: Ring = ((0.0, 0.0), (3600.0, 0.0), (3600.0, 720.0), (800.0, 720.0), (800.0, 3600.0), (0.0, 3600.0))
    route = Route("corner", floor, Stand((400.0, 2600.0), math.pi / 2.0), Stand((2600.0, 360.0)))
    shut = mirror if carry(ell, route).verdict == "fits" else ell
    for each in (ell, mirror):
        how, _ = prove_no_way(Shape.of(each), route, most_boxes=6000)
        assert (how == "shown") is (each is shut)


def test_an_effort_that_is_too_small_is_said(over: tuple[Part, Route]) -> None:
    part, route = over
    how, evaluated = prove_no_way(Shape.of(part), route, most_boxes=2000)
    assert how == "not shown"
    assert evaluated > 2000


def test_refused_boxes_hold_no_place_that_is_free() -> None:
    """Places drawn at random: none that is clear by exact distance lies in a box that is refused."""
    rng = np.random.default_rng(3)
    floor = shapely.Polygon([(0, 0), (900, 0), (900, 260), (300, 260), (300, 900), (0, 900)])
    floor = shapely.difference(floor, shapely.box(180.0, 100.0, 190.0, 110.0))
    body = shapely.MultiPolygon([shapely.box(-150, -40, 150, -20), shapely.box(-150, -20, -120, 90)])
    held = [Held(body, less_all_round(floor, 5.0))]
    grid = Grid.of(held)
    boxes = grid.first()
    for level in range(4):
        off, clear = judged(held, grid, boxes)
        assert off.any()
        some = np.flatnonzero(off)[rng.integers(0, off.sum(), 4000)]
        at = grid.middles(boxes)[some]
        at += rng.uniform(-0.5, 0.5, at.shape) * boxes.size[some, None] * grid.step
        bodies = placed(body, at)
        free = shapely.covers(floor, bodies) & (shapely.distance(bodies, shapely.boundary(floor)) >= 5.0)
        assert not free.any(), level
        boxes = boxes.some(~off & ~clear).cut()


def test_boxes_are_all_places_and_share_their_sides() -> None:
    """Cut at random: the volume stays, and whoever steps over a side is in a box that is told to share it."""
    held = [Held(shapely.box(-100, -20, 100, 20), shapely.box(0, 0, 1000, 700))]
    grid, rng = Grid.of(held), np.random.default_rng(5)
    boxes = grid.first()
    for _ in range(3):
        cut = rng.random(len(boxes.level)) < 0.3
        boxes = Boxes.all_of([boxes.some(~cut), boxes.some(cut).cut()])
    assert (boxes.size.astype(float) ** 3).sum() == float(np.prod(grid.count.astype(float)))
    pairs = {frozenset(pair) for pair in sides_shared(boxes.corner, boxes.size, grid.count).tolist()}
    for k in rng.integers(0, len(boxes.level), 300).tolist():
        axis = int(rng.integers(3))
        at = boxes.corner[k] + rng.integers(0, boxes.size[k], 3)
        at[axis] = boxes.corner[k, axis] + (boxes.size[k] if rng.random() < 0.5 else -1)
        at[2] %= grid.count[2]
        holds = ((boxes.corner <= at) & (at < boxes.corner + boxes.size[:, None])).all(axis=1)
        assert holds.sum() == ((at >= 0) & (at < grid.count)).all()
        assert all(frozenset((k, other)) in pairs for other in np.flatnonzero(holds).tolist())


def test_the_swing_goes_all_round() -> None:
    """In an open floor a pole turns from 170 to 190 deg across where the boxes begin and end."""
    pole, ground = shapely.box(-300, -10, 300, 10), shapely.box(0, 0, 700, 700)
    start, goal = (Stand((350.0, 350.0), math.radians(angle)) for angle in (170.0, 190.0))
    half = shapely.box(0, 0, 700, 300)
    found = search_for_disconnection([Held(pole, ground)], start, goal, 50_000)
    assert found.way is not None
    assert np.ptp(np.mod(found.way[:, 2], 2.0 * math.pi)) < 1.0
    assert search_for_disconnection([Held(pole, half)], start, goal, 50_000).no_way


def test_what_is_covered_at_every_tilt() -> None:
    """It lies in what is covered at any one of them; a rod of length L at up to 60 deg keeps its half length."""
    rod = part_of(box((1000.0, 40.0, 30.0)))
    route = Route("hall", ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0)), Stand((0.0, 0.0)), Stand((1.0, 1.0)))
    core = covered_tipped(Shape.of(rod), replace(route, tilt_rad=math.radians(60.0)))
    assert core is not None
    for tilt in np.linspace(0.0, math.radians(60.0), 61):
        assert shapely.covers(Shape.of(rod).hull(float(tilt)), core)
    assert np.ptp(shapely.get_coordinates(core)[:, 0]) == pytest.approx(
        500.0 + 30.0 * math.sin(math.radians(60.0)), abs=2.0
    )


def test_what_fills_its_hull() -> None:
    """A pan open at the top does, by its rim; an L does not, nor a table with its legs up."""
    floor, rim = box((400.0, 300.0, 5.0)), []
    rim += [box((400.0, 5.0, 95.0), (0.0, y, 5.0)) for y in (0.0, 295.0)]
    rim += [box((5.0, 290.0, 95.0), (x, 5.0, 5.0)) for x in (0.0, 395.0)]
    assert fills_its_hull(Shape.of(part_of(joined(floor, *rim))))
    assert not fills_its_hull(Shape.of(ell_in_a_hall(400.0, 900.0)[0]))
    legs = [box((5.0, 5.0, 95.0), (x, y, 5.0)) for x in (0.0, 395.0) for y in (0.0, 295.0)]
    assert not fills_its_hull(Shape.of(part_of(joined(floor, *legs))))


def test_a_floor_less_what_is_near_its_sides_is_never_too_small() -> None:
    floor = shapely.Polygon([(0, 0), (900, 0), (900, 300), (300, 300), (300, 900), (0, 900)])
    less = less_all_round(floor, 100.0)
    points = np.random.default_rng(1).uniform(0.0, 900.0, (4000, 2))
    clear = shapely.distance(shapely.points(points), shapely.boundary(floor)) >= 100.0
    clear &= shapely.contains_xy(floor, *points.T)
    assert shapely.contains_xy(shapely.buffer(less, 1e-9), *points[clear].T).all()
    assert less.area == pytest.approx(shapely.buffer(floor, -100.0, quad_segs=200).area, rel=1e-3)
