"""Carrying through: closed forms from both sides, paths looked at again, and what is wrong in a route."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import shapely
from oracles.round_a_corner import longest, longest_tipped
from strategies.corridors import corner, ell_in_a_hall
from strategies.solids import box, hulled, joined, part_of

from fitcheck.files.shop_file import read_shop
from fitcheck.geometry.carry.check import Body, is_clear, least_gap_mm, walls_of
from fitcheck.geometry.carry.outlines import covered_always, hull_of, turn
from fitcheck.geometry.carry.search import Found, tipping_room
from fitcheck.geometry.carry.slices import Ground, free_places
from fitcheck.geometry.carry.tilts import Tilts
from fitcheck.geometry.carry.ways import ways
from fitcheck.questions.carry.ask import carry
from fitcheck.questions.carry.draw import draw
from fitcheck.questions.carry.draw_animation import write_animation
from fitcheck.questions.carry.record import to_dict
from fitcheck.things.route import Low, Route, Stand
from fitcheck.things.solid import Floats
from fitcheck.words.errors import InputFault, Refused

# Sixteen corners of a circle.
ROUND = 20.0 * np.exp(2j * math.pi * np.arange(16) / 16)[:, None].view(np.float64)


@pytest.mark.parametrize("seed", range(2))
def test_random_rectangles_agree_with_the_closed_form(seed: int) -> None:
    rng = np.random.default_rng(seed)
    a, b = rng.uniform(800.0, 2000.0, 2)
    w = float(rng.uniform(50.0, 0.6 * min(a, b)))
    for share, verdict in ((0.97, "fits"), (1.01, "does not fit")):
        length = share * longest(a, b, w)
        if length <= w or min(a, b) < w:
            continue
        answer = carry(part_of(box((length, w, 10.0))), corner(a, b, length))
        assert answer.verdict == verdict, (a, b, w, share, answer.reason)


def test_a_rod_tipped_up() -> None:
    """Length^2 = flat^2 + rise^2 (computed): 14 ft 6 in passes under 96 in, not under 84 in; 48/60 in corner."""
    rod = part_of(box((174.0, 1.25, 1.25)))
    assert carry(rod, corner(48.0, 60.0, 174.0, 84.0, 80.0)).verdict == "does not fit"
    answer = carry(rod, corner(48.0, 60.0, 174.0, 96.0, 80.0))
    assert answer.verdict == "fits"
    tilt = max(step.tilt_rad for step in answer.path)
    assert 174.0 * math.sin(tilt) + 1.25 * math.cos(tilt) <= 96.0
    assert carry(rod, corner(48.0, 60.0, 174.0, 96.0, 0.0)).verdict == "does not fit"
    for head, share, verdict in ((84.0, 0.995, "fits"), (96.0, 1.005, "does not fit")):
        length = share * longest_tipped(48.0, 60.0, 1.25, head)
        answer = carry(part_of(box((length, 1.25, 1.25))), corner(48.0, 60.0, length, head, 80.0))
        assert answer.verdict == verdict, answer.reason


def test_the_path_is_one_by_a_dense_look() -> None:
    part, route = part_of(box((1500.0, 300.0, 10.0))), corner(900.0, 900.0, 1500.0)
    answer = carry(part, route)
    floor, outline = shapely.Polygon(route.floor).buffer(0.05), np.array(answer.outline_at(0.0)[0])
    assert answer.path[0].at_mm == pytest.approx(route.start.at_mm)
    assert answer.path[-1].at_mm == pytest.approx(route.goal.at_mm)
    swings = np.unwrap([step.swing_rad for step in answer.path])
    assert math.remainder(answer.path[-1].swing_rad - math.pi, 2.0 * math.pi) == pytest.approx(0.0, abs=1e-9)
    for k in range(len(answer.path) - 1):
        for share in np.linspace(0.0, 1.0, 40):
            at = (1.0 - share) * np.array(answer.path[k].at_mm) + share * np.array(answer.path[k + 1].at_mm)
            swing = (1.0 - share) * swings[k] + share * swings[k + 1]
            cosine, sine = math.cos(swing), math.sin(swing)
            ring = outline @ np.array([[cosine, sine], [-sine, cosine]]) + at
            assert shapely.covers(floor, shapely.Polygon(ring))


def test_the_second_look_refuses_a_path_through_a_wall() -> None:
    floor = shapely.Polygon(
        [(0, 0), (1000, 0), (1000, 1000), (0, 1000)], [[(400, 0.1), (600, 0.1), (600, 899), (400, 899)]]
    )
    outline = np.array([[-50.0, -50.0], [50.0, -50.0], [50.0, 50.0], [-50.0, 50.0]])
    through = np.array([[100.0, 500.0, 0.0], [900.0, 500.0, 0.0]])
    over = np.array([[100.0, 500.0, 0.0], [100.0, 949.5, 0.0], [900.0, 949.5, 0.0], [900.0, 500.0, 0.0]])
    walls, body = walls_of(floor), Body.of((outline,))
    assert not is_clear(walls, body, through, 0.0)
    assert is_clear(walls, body, over, 0.4)
    gap, _ = least_gap_mm(walls, body, over)
    assert gap == pytest.approx(0.5, abs=0.06)


def test_a_post_in_the_way_and_more_room() -> None:
    part = part_of(box((800.0, 200.0, 10.0)))
    floor = ((0.0, 0.0), (4000.0, 0.0), (4000.0, 600.0), (0.0, 600.0))
    ends = Stand((600.0, 300.0), 0.0), Stand((3400.0, 300.0), 0.0)
    free = carry(part, Route("hall", floor, *ends))
    assert free.verdict == "fits"
    assert free.width_spare_mm == pytest.approx(200.0, abs=20.0)
    post = ((1900.0, 250.0), (2100.0, 250.0), (2100.0, 350.0), (1900.0, 350.0))
    beside = carry(part, Route("hall", floor, *ends, posts=(post,)))
    assert beside.verdict == "fits"
    wide = ((1900.0, 190.0), (2100.0, 190.0), (2100.0, 410.0), (1900.0, 410.0))
    assert carry(part, Route("hall", floor, *ends, posts=(wide,))).verdict == "does not fit"
    assert (
        carry(part, Route("hall", floor, *ends, posts=(post,), clearance_mm=30.0)).verdict == "does not fit"
    )


def test_an_l_goes_round_a_post_that_its_hull_does_not_pass() -> None:
    """Its two bars pass a post one after the other, where 400 mm are free; its hull is 424 mm at least."""
    ell, route = ell_in_a_hall(400.0, 900.0)
    hull = part_of(hulled(ell.solid.vertices_mm))
    assert carry(hull, route).verdict == "does not fit"
    answer = carry(ell, route)
    assert answer.verdict == "fits"
    assert len(answer.outlines[0].pieces_mm) == 2


def test_an_l_is_refused_where_no_bar_of_it_passes() -> None:
    ell, route = ell_in_a_hall(95.0, 810.0)
    assert carry(ell, route).verdict == "does not fit"


@pytest.mark.parametrize("half", [0.01, 0.1, 0.5])
def test_what_is_covered_always(half: float) -> None:
    outline = hull_of(np.random.default_rng(1).normal(size=(12, 2)) * [300.0, 40.0])
    always = covered_always(outline, half)
    for angle in np.linspace(-half, half, 41):
        cosine, sine = math.cos(angle), math.sin(angle)
        turned = shapely.Polygon(outline @ np.array([[cosine, sine], [-sine, cosine]]))
        assert not len(always) or shapely.covers(turned.buffer(1e-9), shapely.Polygon(always))


def test_free_places_at_one_swing_are_exact() -> None:
    """A box of 30 x 20 in a room of 100 x 80: its middle has 70 x 60."""
    outline: Floats = np.array([[-15.0, -10.0], [15.0, -10.0], [15.0, 10.0], [-15.0, 10.0]])
    areas, owner = free_places(
        Ground.of(shapely.box(0.0, 0.0, 100.0, 80.0)), (outline,), np.array([0.0, math.pi / 2.0])
    )
    assert owner.tolist() == [0, 1]
    assert [area.area for area in areas] == pytest.approx([70.0 * 60.0, 80.0 * 50.0])


def test_free_places_are_the_floor_less_what_is_swept() -> None:
    """Windings against shapely's unions, for two pieces off the middle, at swings all round, past a post."""
    floor = shapely.Polygon([(0, 0), (900, 0), (900, 300), (400, 300), (400, 900), (0, 900)])
    floor = shapely.difference(floor, shapely.box(180.0, 100.0, 210.0, 140.0))
    pieces = (np.array([[-90.0, -60.0], [90.0, -60.0], [90.0, -40.0]]), hull_of(ROUND + [30.0, 50.0]))
    swings = np.linspace(0.0, 6.2, 17)
    areas, owner = free_places(Ground.of(floor), pieces, swings)
    for k, swing in enumerate(swings):
        turned = [piece @ turn(float(swing)).T for piece in pieces]
        left = shapely.intersection_all([shapely.affinity.translate(floor, *-piece[0]) for piece in turned])
        for wall in walls_of(floor):
            swept = [
                shapely.MultiPoint((wall[:, None] - piece).reshape(-1, 2)).convex_hull for piece in turned
            ]
            left = shapely.difference(left, shapely.union_all(swept))
        found = shapely.union_all(areas[owner == k])
        assert shapely.symmetric_difference(left, found).area == pytest.approx(0.0, abs=1e-3)


def test_an_h_of_three_bars_is_carried_about_a_corner() -> None:
    """It goes where its hull does, and where only a bar at a time is in the way; never where no bar does."""
    bars = (box((30.0, 1500.0, 50.0)), box((620.0, 30.0, 50.0), (30.0, 735.0, 0.0)))
    frame = part_of(joined(*bars, box((30.0, 1500.0, 50.0), (650.0, 0.0, 0.0))))
    for wide, verdict in ((1120.0, "fits"), (700.0, "does not fit")):
        route = corner(wide, wide, 2000.0)
        ends = Stand((wide / 2.0, 1850.0)), Stand((1850.0, wide / 2.0))
        assert carry(frame, Route("corner", route.floor, *ends)).verdict == verdict


def test_tipping_in_too_little_room_is_seen() -> None:
    """A rod of 1000 mm is 500 mm long at 60 deg; in a hall 800 mm wide it can lie along it, not across it."""
    floor = ((0.0, 0.0), (4000.0, 0.0), (4000.0, 800.0), (0.0, 800.0))
    ends = Stand((700.0, 400.0), 0.0), Stand((3300.0, 400.0), 0.0)
    route = Route("hall", floor, *ends, headroom_mm=900.0, tilt_rad=math.radians(60.0))
    found = ways(route, Tilts.of(part_of(box((1000.0, 20.0, 20.0))), route.tilt_rad), True)
    assert found is not None
    tilts = np.array([0, 0, len(found.tilts_rad) - 1])
    for swing, clear in ((0.0, True), (math.pi / 2.0, False)):
        places = np.array([[2000.0, 400.0, swing]] * 3)
        assert (tipping_room(found, Found(places, tilts, np.zeros((0, 2)))) is not None) is clear
    moved = np.array([[2000.0, 400.0, 0.0], [2000.0, 400.0, 0.0], [2100.0, 400.0, 0.0]])
    assert tipping_room(found, Found(moved, tilts, np.zeros((0, 2)))) is None


def test_an_overlap_at_the_start_is_an_error() -> None:
    route = corner(500.0, 500.0, 800.0)
    with pytest.raises(Refused, match="at its start"):
        carry(part_of(box((800.0, 600.0, 10.0))), route)


def test_too_tall_for_the_headroom() -> None:
    assert (
        carry(part_of(box((500.0, 100.0, 300.0))), corner(900.0, 900.0, 500.0, 250.0)).verdict
        == "does not fit"
    )


def test_what_is_too_tall_for_a_lintel_and_what_only_reaches_under_it() -> None:
    """A cabinet does not pass. A tall thing whose low foot goes under is on this side of it all the while."""
    floor = ((0.0, 0.0), (4000.0, 0.0), (4000.0, 560.0), (0.0, 560.0))
    lintel = Low("lintel", ((1900.0, 0.0), (2100.0, 0.0), (2100.0, 560.0), (1900.0, 560.0)), 2000.0)
    ends = Stand((900.0, 280.0), 0.0), Stand((3100.0, 280.0), 0.0)
    hall = Route("hall", floor, *ends, lows=(lintel,))
    cabinet = part_of(box((400.0, 400.0, 2100.0)))
    for tilt in (0.0, 0.05):
        answer = carry(cabinet, replace(hall, tilt_rad=tilt))
        assert "too tall for lintel" in answer.reason
    foot = part_of(joined(box((400.0, 400.0, 2100.0)), box((1200.0, 400.0, 100.0), (400.0, 0.0, 0.0))))
    under = replace(hall, start=Stand((1200.0, 280.0), 0.0), goal=Stand((2110.0, 280.0), 0.0))
    assert carry(foot, under).verdict == "not found"
    assert "too tall for lintel" in carry(foot, hall).reason


SHOP = """
[parts.p]
shape = "block"
size = ["{length}", "6 in", "2 in"]
metal = "aluminium"
[routes.r]
floor = {floor}
headroom = "90 in"
from = {{ at = ["18 in", "60 in"], swing = "90 deg" }}
to = {{ at = ["100 in", "18 in"] }}
posts = [{{ at = ["150 in", "30 in"], size = ["2 in", "2 in"] }}]
"""
FLOOR = '[["0 in","0 in"],["200 in","0 in"],["200 in","36 in"],["36 in","36 in"],["36 in","200 in"],["0 in","200 in"]]'


def test_a_route_is_read_and_drawn(tmp_path: Path) -> None:
    path = tmp_path / "s.toml"
    path.write_text(SHOP.format(length="60 in", floor=FLOOR))
    shop = read_shop(path)
    route = shop.routes["r"]
    assert route.goal.swing_rad is None
    answer = carry(shop.parts["p"], route)
    assert answer.verdict == "fits"
    data = to_dict(answer)
    assert data["path"]
    assert len(answer.path) < 40
    write_animation(answer, route, tmp_path / "c.svg")
    drawn = ElementTree.parse(tmp_path / "c.svg").getroot()  # noqa: S314 - our own file
    assert not [each for each in drawn.iter() if each.tag.endswith("script")]
    moves = [each for each in drawn.iter() if "animate" in each.tag]
    assert [each.get("type") for each in moves] == ["translate", "rotate", None]
    for each in moves:
        times = [float(time) for time in (each.get("keyTimes") or "").split(";")]
        assert times == sorted(times)
        assert (times[0], times[-1]) == (0.0, 1.0)
        assert len((each.get("values") or "").split(";")) == len(times) == len(answer.path) + 2
    assert {each.get("dur") for each in moves} == {moves[0].get("dur")}
    assert draw(answer, shop, tmp_path / "c.png") == ()
    assert (tmp_path / "c.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            FLOOR,
            '[["0 in","0 in"],["200 in","200 in"],["200 in","0 in"],["0 in","200 in"]]',
            "crosses itself",
        ),
        ('"18 in", "60 in"', '"18 in"', "from"),
        ("headroom", "headrom", "headroom"),
        ('"90 in"', '"90"', "90"),
    ],
)
def test_what_is_wrong_in_a_route_is_named(old: str, new: str, said: str, tmp_path: Path) -> None:
    path = tmp_path / "s.toml"
    path.write_text(SHOP.format(length="60 in", floor=FLOOR).replace(old, new, 1))
    with pytest.raises(InputFault, match=said):
        read_shop(path)
