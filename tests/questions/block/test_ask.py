"""Blocks and dams: Archimedes and the areas of rectangles."""

from __future__ import annotations

import itertools
import json
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies.solids import box, hulled, part_of, tank_of

from fitcheck.cli import main
from fitcheck.files.shop_file import read_shop
from fitcheck.geometry.kernels.standing_boxes import standing
from fitcheck.geometry.liquid.block_pieces import box_mass_kg, liftable
from fitcheck.geometry.liquid.blocks_in_tank import with_pieces
from fitcheck.geometry.liquid.fill_level import fill_at
from fitcheck.geometry.plan.columns import Rectangle, area, at_most_free_mm3, boxes_left, empty, under
from fitcheck.geometry.statics.plate import plate_bent
from fitcheck.proving.exact_gaps import recheck
from fitcheck.questions.block.ask import block
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Attitude, Part
from fitcheck.things.stock import Stock
from fitcheck.things.tank import Rules, Standing, Tank
from fitcheck.words.errors import InputFault, Refused
from fitcheck.words.units import KG_PER_POUND, LITRES_PER_GALLON, MM_PER_INCH, STANDARD_GRAVITY_M_S2

YARD = Path(__file__).resolve().parents[3] / "examples" / "yard" / "yard.toml"
LEVEL = Attitude(tilt_rad=0.0, roll_rad=0.0, swing_rad=0.0)


def trough() -> Tank:
    """Return a tank of 12 ft x 12 in x 20 in."""
    rules = Rules(MM_PER_INCH, MM_PER_INCH / 2.0, MM_PER_INCH / 2.0, 2.0 * MM_PER_INCH)
    return tank_of(box(MM_PER_INCH * np.array([144.0, 12.0, 20.0])), rules)


@pytest.fixture(scope="module")
def section() -> Part:
    return replace(part_of(box(MM_PER_INCH * np.array([106.0, 9.0, 15.0]))), attitude=LEVEL)


def test_the_free_end_is_filled(section: Part) -> None:
    """36 in of 144 are free: a block there saves nearly 36 x 12 x 16 in3, and no more than all that is free."""
    answer = block(trough(), [section])
    cubic_inch_l = MM_PER_INCH**3 / 1e6
    assert answer.without_l == pytest.approx(
        (144.0 * 12.0 * 16.0 - 106.0 * 9.0 * 15.0) * cubic_inch_l, rel=1e-9
    )
    best = answer.designs[0]
    assert 0.93 * 36.0 * 12.0 * 16.0 * cubic_inch_l <= max(
        d.saves_l for d in answer.designs if d.kind == "block"
    )
    for design in answer.designs:
        assert design.saves_l == pytest.approx(answer.without_l - design.liquid_l, rel=1e-12)
        assert design.saves_l <= answer.bound_l + 1e-9
    assert answer.saves_share == pytest.approx(best.saves_l / answer.bound_l)


def test_uplift_is_what_is_displaced_less_the_weight(section: Part) -> None:
    tank = replace(trough(), liquid=Liquid("bath", 1.05))
    for design in block(tank, [section]).designs:
        if design.kind == "dam":
            continue
        sunk_l = (
            sum(p.size_mm[0] * p.size_mm[1] * min(p.size_mm[2], design.level_mm) for p in design.pieces) / 1e6
        )
        lift_kg = 1.05 * sunk_l - design.empty_mass_kg
        assert design.uplift_n == pytest.approx(lift_kg * STANDARD_GRAVITY_M_S2, rel=1e-9)
        assert design.hold_down_n == pytest.approx(1.5 * design.uplift_n, rel=1e-12)
        assert design.ballast_kg == pytest.approx(lift_kg, rel=1e-9)
        assert all(piece.mass_kg <= Stock().lift_kg for piece in design.pieces)


def test_a_dam_takes_the_thrust_of_its_depth(section: Part) -> None:
    """Thrust g h^2 / 2 a unit of width: 16 in of plain water on 12 in (hydrostatics; 62.4 lb/ft3)."""
    dam = next(design for design in block(trough(), [section]).designs if design.kind == "dam")
    by_hand_lb = 62.4 / 1728.0 * 16.0**2 / 2.0 * 12.0
    assert dam.thrust_n == pytest.approx(by_hand_lb * KG_PER_POUND * STANDARD_GRAVITY_M_S2, rel=2e-3)
    assert dam.uplift_n == 0.0
    # One strip an inch high at the foot: w = 62.4 / 1728 x 16 lb/in, M = w 12^2 / 8, over 0.75^2 / 6.
    by_hand_psi = 62.4 / 1728.0 * 16.0 * 144.0 / 8.0 / (0.75**2 / 6.0)
    assert dam.bending is not None
    psi = KG_PER_POUND * STANDARD_GRAVITY_M_S2 / MM_PER_INCH**2
    assert dam.bending.stress_mpa == pytest.approx(by_hand_psi * psi, rel=2e-3)


def test_what_the_tank_carries() -> None:
    """44 in of a bath of 64.3 lb/ft3 push with 432 lb on a foot of wall and 236 lb on a foot2 of floor.

    Computed by hand, g h^2 / 2 and g h.
    """
    tank = tank_of(box((1828.8, 762.0, 1219.2)), Rules(25.0, 50.0, 50.0, 50.0))
    tank = replace(tank, liquid=Liquid("bath", 1.03))
    deep = replace(part_of(box((900.0, 300.0, 44.0 * MM_PER_INCH - 100.0))), attitude=LEVEL)
    load = block(tank, [deep]).load
    pound = KG_PER_POUND * STANDARD_GRAVITY_M_S2
    assert load.thrust_n_per_m * 12.0 * MM_PER_INCH / 1e3 / pound == pytest.approx(432.0, rel=2e-3)
    assert load.floor_pa * (12.0 * MM_PER_INCH / 1e3) ** 2 / pound == pytest.approx(236.0, rel=2e-3)


def test_parts_stay_free_of_what_is_built(section: Part) -> None:
    short = replace(part_of(box(MM_PER_INCH * np.array([60.0, 4.0, 6.0]))), attitude=LEVEL, name="short")
    tank = trough()
    answer = block(tank, [section, short])
    assert answer.designs
    for design in answer.designs:
        if design.kind == "block":
            full = with_pieces(tank, design.pieces)
            fills = []
            for part, pose in zip((section, short), design.poses, strict=True):
                assert recheck(part, full, pose).holds
                fills.append(fill_at(part, pose, full, design.level_mm).liquid_l)
            # The smaller part displaces less and so needs more to the same level.
            assert design.liquid_l == pytest.approx(max(fills))


def test_a_shallow_long_part_gets_a_floor_under_it() -> None:
    """By hand: 10 x 20 x 25 in deep in 4 ft of trough, 9 ft x 4 x 4 in hung high: room for 16 in under it."""
    rules = Rules(MM_PER_INCH, MM_PER_INCH, MM_PER_INCH, MM_PER_INCH)
    tank = tank_of(box(MM_PER_INCH * np.array([120.0, 12.0, 30.0])), rules)
    deep = replace(part_of(box(MM_PER_INCH * np.array([20.0, 10.0, 20.0]))), attitude=LEVEL)
    long = replace(part_of(box(MM_PER_INCH * np.array([108.0, 10.0, 4.0]))), attitude=LEVEL, name="long")
    answer = block(tank, [deep, long])
    best = max((d for d in answer.designs if d.kind == "block"), key=lambda d: d.saves_l)
    # Level 1 + 20 + 1 in; the long part hangs with its foot at 17 in, a floor 16 in high fits under it from
    # 22 in on. With 1/4 in to the walls that is about 97.5 x 11.5 x 16 in, less what its cells are cut by.
    whole_l = 97.5 * 11.5 * 16.0 * MM_PER_INCH**3 / 1e6
    assert 0.9 * whole_l <= best.saves_l <= answer.bound_l
    full = with_pieces(tank, best.pieces)
    assert all(recheck(p, full, pose).holds for p, pose in zip((deep, long), best.poses, strict=True))


def test_what_stands_there_is_kept_clear_of(section: Part) -> None:
    drain = Standing("drain", box((150.0, 100.0, 80.0), (3400.0, 0.0, 0.0)))
    answer = block(replace(trough(), fittings=(drain,)), [section])
    for design in answer.designs:
        assert design.kind == "block"
        for piece in design.pieces:
            x, y = piece.at_mm[:2]
            apart = x >= 3550.0 or x + piece.size_mm[0] <= 3400.0 or y >= 100.0
            assert apart


def test_a_box_of_sheet_weighs_its_boards() -> None:
    """A cube of 500 mm outside, 20 mm boards, no lining: 500^3 - 460^3 of wood."""
    stock = Stock(sheet_thickness_mm=20.0, sheet_kg_l=0.5, lining_mm=0.0)
    assert box_mass_kg((500.0,) * 3, stock) == pytest.approx((500.0**3 - 460.0**3) * 0.5e-6)


def test_a_block_of_250_in_is_a_bad_idea() -> None:
    """Hand-check: 250 in of a trough of 16 in to 19.64 in would save 340 gal, but pull up with 2,923 lb.

    64.3 lb/ft3 of what it displaces, 250 x 15.5 x 19.64 in, less the block's own weight; a board does as well.
    """
    rules = Rules(*(MM_PER_INCH * v for v in (1.0, 2.0, 2.0, 4.0)))
    tank = replace(
        tank_of(box(MM_PER_INCH * np.array([288.0, 16.0, 24.0])), rules), liquid=Liquid("bath", 1.03)
    )
    hatch = part_of(box(MM_PER_INCH * np.array([36.0, 19.5, 1.5])))
    answer = block(tank, [hatch])
    assert answer.designs[0].kind == "dam"
    assert answer.designs[0].saves_l == pytest.approx(340.0 * LITRES_PER_GALLON, rel=0.02)
    blocks = next(design for design in answer.designs if design.kind == "block")
    gross_lb = (blocks.uplift_n / STANDARD_GRAVITY_M_S2 + blocks.empty_mass_kg) / KG_PER_POUND
    assert gross_lb == pytest.approx(64.3 / 1728.0 * 248.6 * 15.5 * 19.8, rel=0.02)


def test_no_room_is_said_and_a_misfit_refused(section: Part) -> None:
    tight = tank_of(box(MM_PER_INCH * np.array([108.5, 11.5, 20.0])), trough().rules)
    answer = block(tight, [section])
    assert answer.designs == ()
    with pytest.raises(Refused, match="does not fit"):
        block(tank_of(box(MM_PER_INCH * np.array([100.0, 12.0, 20.0])), trough().rules), [section])
    with pytest.raises(Refused, match="no part"):
        block(trough(), [])


rectangles = st.tuples(*[st.integers(0, 9)] * 4).map(
    lambda r: (
        float(min(r[0], r[2])),
        float(min(r[1], r[3])),
        float(max(r[0], r[2]) + 1),
        float(max(r[1], r[3]) + 1),
    )
)


@settings(max_examples=60, deadline=None)
@given(st.lists(rectangles, max_size=3))
def test_the_largest_rectangle_left_is_found(taken: list[Rectangle]) -> None:
    """Against every rectangle of whole numbers."""
    plan = (0.0, 0.0, 10.0, 10.0)
    best = 0.0
    for x0, x1 in itertools.combinations(range(11), 2):
        for y0, y1 in itertools.combinations(range(11), 2):
            clear = all(x1 <= r[0] or r[2] <= x0 or y1 <= r[1] or r[3] <= y0 for r in taken)
            best = max(best, float((x1 - x0) * (y1 - y0)) if clear else 0.0)
    left = empty(plan, 2.0)
    for rectangle in taken:
        left = left.without(rectangle)
    found = boxes_left(left, 1.0, 0.0, 0.5, 1)
    assert sum(area(each) for each, _ in found) == best
    two = [each for each, _ in boxes_left(left, 1.0, 0.0, 0.5, 2)]
    for one, other in itertools.combinations(two, 2):
        assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 5), st.integers(1, 4), st.integers(0, 10**6))
def test_every_box_on_a_plan_is_found(n: int, m: int, seed: int) -> None:
    """The compiled loops against each box of cells looked at by itself."""
    random = np.random.default_rng(seed)
    heights = random.integers(0, 5, (n, m)).astype(float)
    xs, ys = np.cumsum(random.integers(1, 4, n + 1)) * 1.0, np.cumsum(random.integers(1, 4, m + 1)) * 1.0
    by_hand = []
    for (i, k), (j, l) in itertools.product(  # noqa: E741
        itertools.combinations(range(n + 1), 2), itertools.combinations(range(m + 1), 2)
    ):
        height = float(heights[i:k, j:l].min())
        wide, across = xs[k] - xs[i], ys[l] - ys[j]
        if min(height, wide, across) >= 2.0:
            by_hand.append((xs[i], ys[j], xs[k], ys[l], height, wide * across * min(height, 3.0)))
    found = standing(heights, xs, ys, 3.0, 2.0)
    assert sorted(map(tuple, found.tolist())) == sorted(by_hand)


def test_a_column_ends_under_what_hangs_over_it() -> None:
    """A plank that rises 1 in 2 over a plan: under each cell the height at its low end, a clearance less."""
    ends = np.array([[0.0, -50.0, 0.0], [0.0, 50.0, 0.0], [400.0, -50.0, 200.0], [400.0, 50.0, 200.0]])
    plank = hulled(np.concatenate([ends, ends + [0.0, 0.0, 10.0]]))
    plan = (0.0, -20.0, 400.0, 20.0)
    cells = empty(plan, 1000.0).cut((100.0, 200.0, 300.0), ())
    heights = under(cells, plank, 10.0, 30.0).heights_mm[:, 0]
    # Ten mm to the low side of the cell at 1 in 2 is 5 mm; under 0 nothing stands.
    assert heights == pytest.approx([0.0, 50.0 - 5.0 - 30.0, 100.0 - 5.0 - 30.0, 150.0 - 5.0 - 30.0])


@settings(max_examples=25, deadline=None)
@given(st.floats(20.0, 200.0), st.floats(20.0, 120.0), st.floats(30.0, 150.0), st.floats(5.0, 28.0))
def test_the_bound_is_what_is_left_round_a_box(
    length: float, width: float, foot: float, clear: float
) -> None:
    """A box that hangs with its foot so high, its top over the level: what is left is a sum of known solids.

    Under it foot - clear; within clear of an edge foot less a quarter round; at corners less a sphere's part.
    """
    plan, level = (0.0, 0.0, 400.0, 300.0), 160.0
    body = box((length, width, 300.0), (100.0, 90.0, foot))
    taken = length * width * (level - max(foot - clear, 0.0))
    if foot >= clear:
        edge = level * clear - (foot * clear - math.pi * clear**2 / 4.0)
        corners = level * math.pi * clear**2 - (foot * math.pi * clear**2 - 2.0 * math.pi * clear**3 / 3.0)
        taken += 2.0 * (length + width) * edge + corners
        exact = 400.0 * 300.0 * level - taken
        most = at_most_free_mm3(plan, level, [body], clear, clear)
        assert exact - 1e-6 <= most <= exact + 0.35 * taken


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6))
def test_no_boxes_beat_the_bound(seed: int) -> None:
    """Whatever stands clear under and round a random body by its own mesh takes up no more than the bound."""
    random = np.random.default_rng(seed)
    body = hulled(random.uniform((0, 0, 60), (400, 300, 200), (8, 3)))
    plan, level = (0.0, 0.0, 400.0, 300.0), 220.0
    cells = empty(plan, level).cut(np.linspace(0, 400, 17).tolist(), np.linspace(0, 300, 13).tolist())
    stood = under(cells, body, 25.0, 30.0)
    volume = float((np.diff(stood.xs)[:, None] * np.diff(stood.ys) * stood.heights_mm).sum())
    assert 0.0 < volume <= at_most_free_mm3(plan, level, [body], 25.0, 30.0) < 400.0 * 300.0 * level


def test_a_head_of_liquid_bends_half_as_much() -> None:
    """In the middle a load from nothing to q bends a plate half as far as q all over, by symmetry."""
    even = plate_bent((1.0, 1.0), (80.0, 100.0), 1.0, 1.0)
    to_foot, to_top = (plate_bent(q, (80.0, 100.0), 1.0, 1.0) for q in ((1.0, 0.0), (0.0, 1.0)))
    assert to_foot.sag_mm == pytest.approx(to_top.sag_mm, rel=1e-9)
    assert 0.5 * even.sag_mm <= to_foot.sag_mm <= 0.53 * even.sag_mm


def test_the_bottom_sags_between_its_joists() -> None:
    """By hand: 3/4 in sheet under 236 lb/ft2, E 1.5e6 psi: 0.008, 0.027, 0.13 in on 12, 16, 24 in joists.

    5 w L^4 / (384 E I), each span by itself.
    """
    tank = tank_of(box((1828.8, 762.0, 1219.2)), Rules(25.0, 50.0, 50.0, 50.0))
    tank = replace(tank, liquid=Liquid("bath", 1.03))
    deep = replace(part_of(box((900.0, 300.0, 44.0 * MM_PER_INCH - 100.0))), attitude=LEVEL)
    sags = [sag.sag_mm / MM_PER_INCH for sag in block(tank, [deep]).load.floor_sags]
    assert sags == pytest.approx([0.0084, 0.0265, 0.134], rel=0.02)


def test_pieces_are_light_enough_or_not_built() -> None:
    whole = liftable((0.0, 0.0, 3000.0, 800.0), 500.0, Stock())
    assert len(whole) > 1
    for piece in whole:
        assert piece.mass_kg <= 23.0
        assert min(piece.size_mm) >= 76.2
    for one, other in itertools.combinations(whole, 2):
        apart = [
            max(one.at_mm[k], other.at_mm[k])
            - min(one.at_mm[k] + one.size_mm[k], other.at_mm[k] + other.size_mm[k])
            for k in (0, 1)
        ]
        assert max(apart) >= 6.35 - 1e-9
    with pytest.raises(Refused, match="heavier than one person"):
        liftable((0.0, 0.0, 3000.0, 800.0), 500.0, replace(Stock(), lift_kg=1.0))
    with pytest.raises(Refused, match="smaller than a board"):
        liftable((0.0, 0.0, 3000.0, 800.0), 500.0, replace(Stock(), sheet_mm=(70.0, 70.0)))


def test_too_low_a_lift_limit_is_said(section: Part) -> None:
    answer = block(trough(), [section], replace(Stock(), lift_kg=0.5))
    assert [design.kind for design in answer.designs] == ["dam"]
    assert "heavier than one person" in answer.unbuilt[0]


def test_ballast_and_filling(section: Part) -> None:
    """Archimedes at each quarter of the level; ballast as much as the whole pull; water inside takes its weight."""
    tank = replace(trough(), liquid=Liquid("bath", 1.05))
    design = next(d for d in block(tank, [section]).designs if d.kind == "block")
    held = design.ballast
    assert held is not None
    assert held.kg == pytest.approx(design.uplift_n / STANDARD_GRAVITY_M_S2)
    assert held.sand_l * 1.6 == pytest.approx(held.kg)
    assert held.water_uplift_n == pytest.approx(design.uplift_n - held.inside_l * STANDARD_GRAVITY_M_S2)
    assert design.filling[-1].uplift_n == pytest.approx(design.uplift_n)
    for step in design.filling:
        by_hand = sum(
            max(1.05e-6 * p.size_mm[0] * p.size_mm[1] * min(step.level_mm, p.size_mm[2]) - p.mass_kg, 0.0)
            for p in design.pieces
        )
        assert step.uplift_n == pytest.approx(by_hand * STANDARD_GRAVITY_M_S2)
    # Neutral in the bath, it presses on the lining as the bath does: 1.05 x level.
    assert held.bearing_pa == pytest.approx(1.05 * design.level_mm * STANDARD_GRAVITY_M_S2)


def test_in_our_yard_blocks_take_most_of_what_can_be_saved() -> None:
    shop = read_shop(YARD)
    answer = block(shop.tanks["T1"], [shop.parts["P01"]], shop.stock)
    assert answer.saves_share >= 0.85
    hatch = block(shop.tanks["T1"], [shop.parts["P08"]], shop.stock)
    assert hatch.designs[0].kind == "dam"
    assert "fewest pieces" in hatch.designs[0].reason


SHOP = """
[shop]
name = "bay"
show = "ft-in"
[liquids.w]
specific_gravity = 1.0
[tanks.trough]
inside = ["12 ft", "12 in", "20 in"]
liquid = "w"
[parts.section]
shape = "block"
size = ["106 in", "9 in", "15 in"]
metal = "aluminium"
[parts.beam]
shape = "block"
size = ["20 ft", "9 in", "15 in"]
metal = "aluminium"
"""


@pytest.mark.parametrize(
    ("parts", "code", "said"), [("section", 0, "saves"), ("beam", 2, "does not fit"), ("x", 2, "no part")]
)
def test_the_command(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], parts: str, code: int, said: str
) -> None:
    path = tmp_path / "shop.toml"
    path.write_text(SHOP)
    assert main.run(["block", str(path), "trough", "--for", parts]) == code
    out, err = capsys.readouterr()
    assert said in (err if code == 2 else out)
    if code == 0:
        for word in ("Uplift", "Straps", "Ballast", "Cut", "engineer", "floats up at"):
            assert word in " ".join(out.split())
        assert main.run(["block", str(path), "trough", "--for", parts, "--json"]) == 0
        data = json.loads(capsys.readouterr().out)
        assert {"without_l", "bound_l", "designs"} <= data.keys()


STOCK = """
[stock]
sheet = ["5 ft", "5 ft"]
sheet_thickness = "1/2 in"
lining = "2 mm"
lift = "40 lb"
thinnest = "4 in"
gap = "1/2 in"
[liquids.etch]
specific_gravity = 1.03
price = "16 per gal"
[tanks.T]
inside = ["12 ft", "12 in", "20 in"]
liquid = "etch"
[parts.p]
shape = "block"
size = ["4 ft", "6 in", "6 in"]
metal = "aluminium"
"""


def test_stock_and_price_come_from_the_shop_file(tmp_path: Path) -> None:
    path = tmp_path / "s.toml"
    path.write_text(STOCK)
    shop = read_shop(path)
    assert shop.stock.sheet_mm == pytest.approx((1524.0, 1524.0))
    assert (shop.stock.sheet_thickness_mm, shop.stock.gap_mm) == pytest.approx((12.7, 12.7))
    assert shop.stock.lift_kg == pytest.approx(18.1437, abs=1e-4)
    answer = block(shop.tanks["T"], [shop.parts["p"]], shop.stock)
    # 16 a US gallon of 3.785411784 l (NIST Handbook 44, Appendix C).
    assert answer.price_per_l == pytest.approx(16.0 / 3.785411784)
    assert answer.designs
    for design in answer.designs:
        for panel in design.panels:
            assert max(panel.size_mm) <= 1524.0 + 1e-6
        if design.kind == "block":
            assert all(piece.mass_kg <= shop.stock.lift_kg for piece in design.pieces)


def test_a_sheet_smaller_than_every_panel_leaves_no_design() -> None:
    tank = tank_of(box((3000.0, 400.0, 600.0)))
    part = part_of(box((500.0, 100.0, 300.0)))
    small = replace(Stock(), sheet_mm=(70.0, 70.0))
    assert block(tank, [part]).designs
    assert block(tank, [part], small).designs == ()


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('sheet = ["8 ft"]', "length and a width"),
        ('lift = "51"', "51"),
        ('shete = ["8 ft", "4 ft"]', "sheet"),
    ],
)
def test_what_is_wrong_in_stock_is_named(line: str, said: str, tmp_path: Path) -> None:
    path = tmp_path / "s.toml"
    path.write_text(f"[stock]\n{line}\n")
    with pytest.raises(InputFault, match=said):
        read_shop(path)
