"""Loads: against every way to share out boxes on a grid, closed forms for bounds, and forged loads."""

from __future__ import annotations

import functools
import itertools
import json
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import fitcheck as fc
from fitcheck.geometry.liquid.fill_level import fill_at, fill_with
from fitcheck.geometry.mesh.measure import weighed
from fitcheck.geometry.plan.least_plan_area import Shadow, least
from fitcheck.questions.lot.answer import Lot
from fitcheck.questions.lot.ask import lot
from fitcheck.questions.lot.cautions import lift_cautions
from fitcheck.questions.lot.load_bound import bins_at_least
from fitcheck.questions.lot.prove import lot_checks
from fitcheck.shapes.basin import basin
from fitcheck.shapes.block import block
from fitcheck.shapes.catalogue import build
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Attitude, Part
from fitcheck.things.pose import Pose
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Rim, Rules, Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import show_length

HELD = Attitude(0.0, 0.0, 0.0)
WATER = Liquid("water")


def box(name: str, size_mm: tuple[float, float, float], count: int = 1, **more: object) -> Part:
    part = weighed(name, block(size_mm).solid, 2.7)
    return replace(part, count=count, size_mm=size_mm, **({"attitude": HELD} | more))  # type: ignore[arg-type]


def tank_of(size_mm: tuple[float, float, float], rules: Rules | None = None, rim: Rim | None = None) -> Tank:
    return Tank("T", block(size_mm).solid, size_mm, WATER, rules or Rules(), rim or Rim())


def shop_of(tank: Tank, *parts: Part) -> Shop:
    return Shop("shop", parts={part.name: part for part in parts}, tanks={tank.name: tank})


# --- Against every way there is ---


def goes_in(sizes: tuple[tuple[int, int], ...], room: tuple[int, int]) -> bool:
    """Tell whether rectangles, none turned, go into a room on a grid: every place of every one is tried."""
    wide, high = room
    places = [
        [
            sum(((1 << w) - 1) << (x + wide * (y + row)) for row in range(h))
            for y in range(high - h + 1)
            for x in range(wide - w + 1)
        ]
        for w, h in sizes
    ]

    @functools.cache
    def rest(k: int, taken: int) -> bool:
        return k == len(places) or any(not taken & mask and rest(k + 1, taken | mask) for mask in places[k])

    return rest(0, 0)


def fewest_by_trying(sizes: list[tuple[int, int]], room: tuple[int, int]) -> int:
    """Return the fewest rooms, over every way to share rectangles out."""
    fits = functools.cache(goes_in)
    everything = (1 << len(sizes)) - 1

    @functools.cache
    def loads(left: int) -> int:
        if not left:
            return 0
        first = left & -left
        rest, best, chosen = left ^ first, len(sizes), left ^ first
        while True:
            inside = chosen | first
            mine = tuple(sorted((sizes[k] for k in range(len(sizes)) if inside >> k & 1), reverse=True))
            if sum(w * h for w, h in mine) <= room[0] * room[1] and fits(mine, room):
                best = min(best, 1 + loads(left ^ inside))
            if not chosen:
                return best
            chosen = (chosen - 1) & rest

    return loads(everything)


@pytest.mark.parametrize("seed", range(10))
def test_loads_are_as_few_as_by_trying_everything(seed: int) -> None:
    drawn = np.random.default_rng(seed)
    room = (int(drawn.integers(4, 7)), int(drawn.integers(3, 5)))
    count = 8 if seed % 2 else int(drawn.integers(3, 8))
    sizes = [(int(drawn.integers(1, room[0])), int(drawn.integers(1, room[1]))) for _ in range(count)]
    tank = tank_of((100.0 * room[0], 100.0 * room[1], 200.0))
    parts = [box(f"b{k}", (100.0 * w, 100.0 * h, 100.0)) for k, (w, h) in enumerate(sizes)]
    answer = lot(shop_of(tank, *parts), "T")
    assert len(answer.lots) == fewest_by_trying(sizes, room)
    assert answer.at_least_lots <= len(answer.lots)
    assert sorted(each.part for load in answer.lots for each in load.parts) == sorted(p.name for p in parts)


@pytest.mark.parametrize(("count", "loads"), [(5, 1), (6, 2), (10, 2), (11, 3)])
def test_rails_side_by_side(count: int, loads: int) -> None:
    # 5 rails of 50 mm 25 mm apart take 350 mm, all that is free between the walls.
    tank = tank_of((3000.0, 400.0, 500.0), Rules(25.0, 50.0, 50.0, 100.0, part_gap_mm=25.0))
    answer = lot(shop_of(tank, box("rail", (2900.0, 50.0, 30.0), count)), "T")
    assert (len(answer.lots), answer.at_least_lots) == (loads, loads)
    assert all(load.gap_mm is None or load.gap_mm >= 25.0 - 1e-5 for load in answer.lots)


def test_outlines_save_a_load_that_boxes_would_take() -> None:
    # Two right-angled plates fill the tank as a rectangle cut along its diagonal; their boxes do not.
    def plate(name: str, points: list[tuple[float, float]]) -> Part:
        # Extruded along x and stood on end, so that the cross-section is the outline from above.
        made = build("profile", {"points": points, "length": 50.0})
        turn = np.array([[0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]])
        solid = made.solid.moved(turn, np.zeros(3))
        return replace(weighed(name, solid, 2.7), size_mm=(900.0, 300.0, 50.0), attitude=HELD)

    low, high = [(0.0, 0.0), (900.0, 0.0), (0.0, 300.0)], [(900.0, 0.0), (900.0, 300.0), (0.0, 300.0)]
    tank = tank_of((1000.0, 320.0, 200.0), Rules(part_gap_mm=10.0))
    answer = lot(shop_of(tank, plate("one", low), plate("other", high)), "T")
    assert len(answer.lots) == 1
    assert answer.lots[0].gap_mm == pytest.approx(10.0, abs=1e-3)


# --- The bounds ---


@given(
    st.tuples(*[st.floats(5.0, 500.0)] * 3),
    st.floats(0.0, 40.0),
    st.floats(0.0, 1.0),
    st.floats(-1.0, 1.0),
    st.floats(-1.0, 1.0),
)
@settings(max_examples=60)
def test_no_way_up_takes_less_of_the_plan_than_the_bound(
    size: tuple[float, float, float], reach: float, low: float, a: float, b: float
) -> None:
    shadow = Shadow.of(block(size).solid.vertices_mm)
    up = np.array([a, b, 0.3])
    up /= np.linalg.norm(up)
    height = float(np.abs(up) @ np.array(size))
    most = height + low * 100.0

    def measure(_: np.ndarray, area: np.ndarray, round_: np.ndarray) -> np.ndarray:
        return area + reach * round_ + math.pi * reach**2

    bound = least(shadow, Attitude(), most, measure)
    # A box's outline along u: its faces seen askew; the sides of the outline are its edges, seen askew, twice.
    area = abs(up) @ np.array([size[1] * size[2], size[0] * size[2], size[0] * size[1]])
    edges = 2.0 * sum(side * math.sqrt(1.0 - float(u) ** 2) for side, u in zip(size, up, strict=True))
    assert bound <= area + reach * edges + math.pi * reach**2 + 1e-6


def test_the_bound_is_the_closed_form_where_there_is_one() -> None:
    shadow = Shadow.of(block((500.0, 300.0, 20.0)).solid.vertices_mm)
    # On edge where it may be 300 high: 500 x 20. At 100 high, tilted about its length until it is: a closed form.
    assert least(shadow, Attitude(), 320.0, lambda _, area, __: area) == pytest.approx(500 * 20, rel=0.011)
    assert math.isinf(least(shadow, Attitude(), 19.0, lambda _, area, __: area))
    roll = math.asin(100.0 / math.hypot(300.0, 20.0)) - math.atan2(20.0, 300.0)
    wide = 500.0 * (300.0 * math.cos(roll) + 20.0 * math.sin(roll))
    bound = least(shadow, Attitude(), 100.0, lambda _, area, __: area)
    assert 0.9 * wide < bound <= wide
    assert least(shadow, HELD, 100.0, lambda _, area, __: area) == pytest.approx(500.0 * 300.0)


@given(st.lists(st.integers(1, 10), min_size=1, max_size=7))
@settings(max_examples=80)
def test_no_fewer_bins_do_than_the_bound(tenths: list[int]) -> None:
    def loads(left: tuple[int, ...], bins: tuple[int, ...]) -> int:
        if not left:
            return len(bins)
        into = [
            loads(left[1:], (*bins[:k], used + left[0], *bins[k + 1 :]))
            for k, used in enumerate(bins)
            if used + left[0] <= 10
        ]
        return min([*into, loads(left[1:], (*bins, left[0]))])

    assert bins_at_least([size / 10.0 for size in tenths]) <= loads(tuple(sorted(tenths, reverse=True)), ())


# --- What a load is ---


def test_level_and_rise_are_of_all_parts_together() -> None:
    tank = tank_of((1000.0, 400.0, 500.0), Rules(10.0, 20.0, 30.0, 50.0, part_gap_mm=5.0))
    answer = lot(shop_of(tank, box("low", (300.0, 300.0, 50.0)), box("high", (300.0, 300.0, 200.0))), "T")
    (load,) = answer.lots
    assert load.level_mm == pytest.approx(20.0 + 200.0 + 30.0)
    metal = 300.0 * 300.0 * 250.0
    assert load.liquid_l == pytest.approx((1000.0 * 400.0 * 250.0 - metal) / 1e6)
    assert load.rise_mm == pytest.approx(metal / (1000.0 * 400.0))


def test_the_hoist_lifts_what_it_is_said_to() -> None:
    part = box("lump", (100.0, 100.0, 100.0), 5)  # 2.7 kg each
    shop = shop_of(tank_of((1000.0, 400.0, 500.0), rim=Rim(hoist_kg=6.0)), part)
    answer = lot(shop, "T")
    assert (len(answer.lots), answer.at_least_lots) == (3, 3)
    assert max(load.wet_kg for load in answer.lots) <= 6.0
    weak = lot(shop_of(tank_of((1000.0, 400.0, 500.0), rim=Rim(hoist_kg=2.0)), part), "T")
    assert (weak.lots, weak.verdict) == ((), "does not fit")
    assert "hoist" in weak.left_out[0].why


def slung(length_mm: float, picks_mm: list[tuple[float, float, float]], **more: object) -> Part:
    return box("bar", (length_mm, 200.0, 130.0), picks_mm=np.array(picks_mm).reshape(-1, 3), **more)


# Picks 800 mm to both sides of the middle, on top: legs at 30 degrees from level rise 800 tan 30 deg over them
# (the sling triangle). Under the hook hang that, the bar, and 50 mm between bar and rim.
ENDS = [(100.0, 100.0, 130.0), (1700.0, 100.0, 130.0)]
BAR_HOOK_MM = 900.0 + 50.0 + 130.0 + 800.0 * math.tan(math.radians(30.0))


@pytest.mark.parametrize(
    ("over_mm", "tapes_mm", "verdict"),
    [
        (0.1, (0.0, 0.0), "fits"),
        (-0.1, (0.0, 0.0), "does not fit"),
        # Hook and rim are taped, and the part: 2 x 3 + 1.5.
        (7.6, (1.5, 3.0), "fits"),
        (7.4, (1.5, 3.0), "measure again"),
        (-7.4, (1.5, 3.0), "measure again"),
        (-7.6, (1.5, 3.0), "does not fit"),
    ],
)
def test_the_hook_goes_as_high_as_the_sling_triangle_says(
    over_mm: float, tapes_mm: tuple[float, float], verdict: str
) -> None:
    rules = Rules(tape_part_mm=tapes_mm[0], tape_tank_mm=tapes_mm[1])
    tank = tank_of((2000.0, 500.0, 500.0), rules, Rim(900.0, BAR_HOOK_MM + over_mm))
    answer = lot(shop_of(tank, slung(1800.0, ENDS), box("other", (100.0, 100.0, 100.0))), "T")
    assert answer.verdict == verdict
    went = {each.part: each.hook_mm for load in answer.lots for each in load.parts}
    # The rest goes on, and where its picks are not known nothing is guessed.
    assert went["other"] is None
    if verdict == "fits":
        assert went["bar"] == pytest.approx(BAR_HOOK_MM)
    else:
        assert f"a hook at {show_length(BAR_HOOK_MM, 'ft-in')}" in answer.left_out[0].why
        assert "ask fitcheck hang" in answer.left_out[0].why


def test_without_picks_or_heights_no_hook_is_held_to() -> None:
    low = Rim(900.0, 901.0)
    for picks, rim, hook_mm in (
        ([], low, None),
        (ENDS, Rim(hook_height_mm=901.0), None),
        (ENDS, Rim(900.0), pytest.approx(BAR_HOOK_MM)),
        # No sling gets hold of the air.
        ([(100.0, 100.0, 330.0), (1700.0, 100.0, 330.0)], low, None),
    ):
        shop = shop_of(tank_of((2000.0, 500.0, 500.0), rim=rim), slung(1800.0, picks))
        answer = lot(shop, "T")
        assert [each.hook_mm for load in answer.lots for each in load.parts] == [hook_mm]
        assert len(lift_cautions(answer.lots, shop)) == 1


def test_a_part_hangs_as_its_picks_hold_it() -> None:
    # By one pick in the middle of its end it hangs plumb under that: on end, 400 and 150 mm of shackle high.
    bar = slung(400.0, [(400.0, 100.0, 65.0)], attitude=Attitude())
    deep = tank_of((2000.0, 500.0, 600.0), rim=Rim(900.0, 1600.0))
    ((each,),) = (load.parts for load in lot(shop_of(deep, bar), "T").lots)
    assert each.pose.apply(np.array([[400.0, 100.0, 65.0]]))[0, 2] == pytest.approx(400.0)
    assert each.hook_mm == pytest.approx(900.0 + 50.0 + 400.0 + 150.0)
    # Where it does not go in on end it may hang any other way, but not from that pick.
    shallow = lot(shop_of(tank_of((2000.0, 500.0, 300.0), rim=Rim(900.0, 1600.0)), bar), "T")
    assert (shallow.lots, shallow.verdict) == ((), "not found")
    assert "its picks hold it at none" in shallow.left_out[0].why


def test_a_load_under_a_hook_too_low_is_refused() -> None:
    shop = shop_of(tank_of((2000.0, 500.0, 500.0), rim=Rim(900.0, 1600.0)), slung(1800.0, ENDS))
    (load,) = lot(shop, "T").lots
    posed = [(shop.parts[each.part], each.pose) for each in load.parts]
    assert not_so(load, posed, shop.tanks["T"]) == []
    (what,) = not_so(load, posed, replace(shop.tanks["T"], rim=Rim(900.0, 1500.0)))
    assert "lifted out" in what
    forged = replace(load, parts=(replace(load.parts[0], hook_mm=1200.0),))
    assert not_so(forged, posed, shop.tanks["T"]) == [what]


def test_what_fits_nowhere_is_listed_and_stops_nothing() -> None:
    answer = lot(
        shop_of(
            tank_of((500.0, 300.0, 300.0)),
            box("small", (100.0, 100.0, 100.0), 2),
            box("long", (700.0, 50.0, 50.0), 3),
        )
    )
    assert answer.verdict == "does not fit"
    assert [(each.part, each.count) for each in answer.left_out] == [("long", 3)]
    assert len(answer.lots[0].parts) == 2
    with pytest.raises(Refused, match=r"^there is no part in this shop"):
        lot(shop_of(tank_of((500.0, 300.0, 300.0))))
    with pytest.raises(Refused, match="401 pieces"):
        lot(shop_of(tank_of((500.0, 300.0, 300.0)), box("small", (10.0, 10.0, 10.0), 401)))


def test_a_rounded_tank_with_tapes_takes_a_load() -> None:
    # Its walls lean in towards the floor: a plate on edge hangs so low only that they still have their tapes.
    size, fillet = (2293.9, 642.9, 747.7), 54.0
    shape = basin(size, fillet)
    tank = replace(
        tank_of(size, Rules(1.6, 9.5, 58.7, part_gap_mm=44.4, tape_part_mm=1.6)),
        inside=shape.solid,
        chord_mm=shape.chord_mm,
        fillet_mm=fillet,
        is_box=False,
    )
    plate = box("plate", (2344.7, 503.2, 28.6), attitude=Attitude(0.0, math.pi, math.pi))
    answer = lot(shop_of(tank, plate), "T")
    assert (answer.verdict, len(answer.lots)) == ("fits", 1)


def test_more_room_takes_no_more_loads() -> None:
    parts = [box(f"b{k}", (100.0 + 37.0 * k, 60.0 + 11.0 * k, 50.0), 2) for k in range(3)]
    rules = Rules(part_gap_mm=10.0)
    counts = [
        len(lot(shop_of(tank_of((length, 300.0, 200.0), rules), *parts)).lots)
        for length in (400.0, 600.0, 900.0, 1400.0)
    ]
    assert counts == sorted(counts, reverse=True)


def test_fill_of_one_is_fill_of_a_list_of_one() -> None:
    tank, part = tank_of((500.0, 300.0, 300.0)), box("b", (100.0, 90.0, 80.0))
    pose = Pose("tank T", "part b", np.eye(3), np.array([10.0, 10.0, 10.0]))
    assert fill_at(part, pose, tank, 150.0) == fill_with([(part, pose)], tank, 150.0)


# --- Forgeries ---


@pytest.fixture(scope="module")
def sound() -> tuple[Lot, list[tuple[Part, Pose]], Tank]:
    tank = tank_of(
        (1000.0, 400.0, 500.0), Rules(10.0, 20.0, 30.0, 50.0, part_gap_mm=15.0), Rim(hoist_kg=100.0)
    )
    parts = [box(f"b{k}", (200.0, 150.0, 50.0 + 30.0 * k)) for k in range(3)]
    (load,) = lot(shop_of(tank, *parts)).lots
    by_name = {part.name: part for part in parts}
    return load, [(by_name[each.part], each.pose) for each in load.parts], tank


def moved(posed: list[tuple[Part, Pose]], k: int, by: tuple[float, float, float]) -> list[tuple[Part, Pose]]:
    part, pose = posed[k]
    there = Pose(pose.to_frame, pose.from_frame, pose.rotation, pose.shift_mm + np.array(by))
    return [*posed[:k], (part, there), *posed[k + 1 :]]


def not_so(load: Lot, posed: list[tuple[Part, Pose]], tank: Tank) -> list[str]:
    return [check.what for check in lot_checks(load, posed, tank) if not check.holds]


def test_a_sound_load_holds_and_forged_ones_do_not(sound: tuple[Lot, list[tuple[Part, Pose]], Tank]) -> None:
    load, posed, tank = sound
    assert not_so(load, posed, tank) == []
    onto = posed[0][1].shift_mm - posed[1][1].shift_mm
    assert "no two parts are nearer than part_gap" in not_so(load, moved(posed, 1, (*onto[:2], 0.0)), tank)
    over = not_so(load, moved(posed, 1, (*onto[:2], 100.0)), tank)
    assert "no part hangs over another, or nearer in plan" in over
    for k, by in itertools.product(range(3), [(-50.0, 0, 0), (0, -50.0, 0), (0, 0, -50.0), (0, 0, 400.0)]):
        assert not_so(load, moved(posed, k, by), tank)
    for change in (
        {"level_mm": load.level_mm - 1.0},
        {"liquid_l": load.liquid_l + 0.1},
        {"rise_mm": load.rise_mm * 1.01},
        {"wet_kg": 101.0},
        {"wet_kg": 1.0},
        {"air_l": load.air_l + 0.1},
    ):
        assert not_so(replace(load, **change), posed, tank), change  # type: ignore[arg-type]


# --- The yard, and the command ---


def test_the_yard_takes_one_load_more_than_is_proven_at_most(repository: Path) -> None:
    shop = fc.read_shop(repository / "examples/yard/yard.toml")
    answer = lot(shop, "T2")
    (work,) = answer.works
    assert work.lots <= work.at_least + 1
    pieces = sum(len(load.parts) for load in answer.lots) + sum(each.count for each in answer.left_out)
    assert pieces == sum(part.count for part in shop.parts.values())


SHOP = """
[rules]
part_gap = "10 mm"
[liquids.water]
specific_gravity = 1.0
[tanks.T]
inside = ["500 mm", "300 mm", "300 mm"]
liquid = "water"
hoist = "50 kg"
[parts.plate]
shape = "block"
size = ["100 mm", "80 mm", "20 mm"]
metal = "aluminium"
count = 3
[parts.long]
shape = "block"
size = ["700 mm", "80 mm", "20 mm"]
metal = "aluminium"
"""


def test_the_command_tells_loads_as_json(tmp_path: Path, fitcheck_command: Callable[..., object]) -> None:
    path = tmp_path / "shop.toml"
    path.write_text(SHOP, encoding="utf-8")
    done = fitcheck_command("lot", path, "--json")
    data = json.loads(done.stdout)  # type: ignore[attr-defined]
    assert done.returncode == 1  # type: ignore[attr-defined]
    assert len(data["lots"]) == data["at_least_lots"] == 1
    assert [each["part"] for each in data["lots"][0]["parts"]] == ["plate"] * 3
    assert data["left_out"][0]["part"] == "long"
