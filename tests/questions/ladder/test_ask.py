"""The fill ladder: bounds by closed forms, loads that only ever take more liquid, forged ones refused."""

from __future__ import annotations

import itertools
import json
import math
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fitcheck.draw.ink import Label
from fitcheck.geometry.liquid.blocks_in_tank import with_pieces
from fitcheck.geometry.mesh.measure import weighed
from fitcheck.questions.ladder.again import again
from fitcheck.questions.ladder.answer import Built, LadderAnswer, sum_apart
from fitcheck.questions.ladder.ask import ladder
from fitcheck.questions.ladder.bath_bound import _open_mm2, least_in_all, part_at_least_l
from fitcheck.questions.ladder.draw import draw
from fitcheck.questions.ladder.few_blocks import Place, of_these
from fitcheck.questions.ladder.page import ladder_pages
from fitcheck.questions.ladder.prove import prove
from fitcheck.questions.lot.prove import lot_checks
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.shapes.block import block
from fitcheck.sheet.paper import laid_out
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Attitude, Part
from fitcheck.things.proved import Check
from fitcheck.things.shop import Shop
from fitcheck.things.step import Step
from fitcheck.things.stock import Stock
from fitcheck.things.tank import Rules, Standing, Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import show_volume

HELD = Attitude(0.0, 0.0, 0.0)
RULES = Rules(25.0, 50.0, 50.0, 100.0, part_gap_mm=25.0)


def box(name: str, size_mm: tuple[float, float, float], count: int = 1) -> Part:
    part = weighed(name, block(size_mm).solid, 2.7)
    return replace(part, count=count, size_mm=size_mm, attitude=HELD)


def tank_of(name: str, size_mm: tuple[float, float, float], rules: Rules = RULES) -> Tank:
    return Tank(name, block(size_mm).solid, size_mm, Liquid("bath"), rules)


LONG = tank_of("long", (4000.0, 500.0, 700.0))
PARTS = (
    box("rail", (3900.0, 60.0, 30.0), 4),
    box("case", (1200.0, 200.0, 400.0)),
    box("plate", (600.0, 20.0, 300.0), 3),
    box("never", (5000.0, 20.0, 20.0)),
)
# Blocks of any size: cut to be lifted by hand, each cut leaves a gap more.
STOCK = Stock(sheet_mm=(9000.0, 9000.0), lift_kg=900.0)
SHOP = Shop("shop", parts={part.name: part for part in PARTS}, tanks={"long": LONG}, stock=STOCK)


def checked(told: LadderAnswer, shop: Shop) -> tuple[Check, ...]:
    """Return every check of a ladder, those worked out again by the same code with them."""
    return (*prove(told, shop).checks, *again(told, shop))


@pytest.fixture(scope="module")
def answer() -> LadderAnswer:
    return ladder(SHOP, "long")


def test_liquid_is_only_ever_added_and_every_part_goes_in(answer: LadderAnswer) -> None:
    liquids = [step.liquid_l for step in answer.steps]
    assert liquids == sorted(liquids)
    assert all(step.add_l >= 0.0 for step in answer.steps)
    assert sum(step.add_l for step in answer.steps) == pytest.approx(answer.mix_at_most_l)
    assert max(liquids) == pytest.approx(answer.mix_at_most_l)
    pieces = sorted((each.part, each.number) for step in answer.steps for each in step.lot.parts)
    assert pieces == sorted((part.name, k + 1) for part in PARTS[:3] for k in range(part.count))
    assert [each.part for each in answer.left_out] == ["never"]
    assert answer.verdict == "does not fit"


def test_the_mix_is_near_its_bound_and_far_under_that_without_blocks(answer: LadderAnswer) -> None:
    # Without blocks the case needs the whole plan up to 50 + 400 + 50, less itself.
    bare = (4000.0 * 500.0 * 500.0 - 1200.0 * 200.0 * 400.0) / 1e6
    assert answer.without_blocks_l == pytest.approx(bare)
    assert answer.bound_l <= answer.mix_at_most_l <= 1.1 * answer.bound_l
    assert answer.mix_at_most_l < 0.5 * bare


def test_the_bound_of_a_held_box_is_a_closed_form() -> None:
    stock = Stock()
    gap = stock.gap_mm
    # Over the outline and 25 mm round it, and the blocks' gap along the walls, less what the two may share: at
    # a corner two chords of what is so grown, no longer than its length / sqrt 2.
    strip = 4000.0 * 500.0 - (4000.0 - 2.0 * gap) * (500.0 - 2.0 * gap)
    shared = gap * (2.0 * 1400.0 + 2.0 * math.pi * 25.0) * math.sqrt(0.5)
    round_ = 1200.0 * 200.0 + 25.0 * 2.0 * 1400.0 + math.pi * 25.0**2 - shared
    want = (500.0 * (strip + round_) - 1200.0 * 200.0 * 400.0) / 1e6
    assert part_at_least_l(PARTS[1], LONG, stock, 0.0, 0.0) == pytest.approx(want)


def test_slots_too_narrow_for_a_block_are_in_the_bound_and_a_higher_one_is_refused() -> None:
    tray = replace(box("tray", (914.4, 495.3, 38.1)), attitude=Attitude(0.2, 0.2, math.pi))
    short = tank_of("short", (1200.0, 600.0, 500.0), replace(RULES, part_gap_mm=25.4))
    shop = Shop("s", parts={"tray": tray}, tanks={"short": short})
    found = ladder(shop, "short")
    assert found.bound_l <= found.mix_at_most_l <= 1.08 * found.bound_l
    # Boards as thin as one likes would go in beside it.
    thin = replace(shop.stock, thinnest_mm=1.0)
    assert part_at_least_l(tray, short, thin, tray.air_at_most_l, 0.0) < 0.95 * found.bound_l
    (bath,) = found.baths
    for share, holds in ((1.0, True), (1.01, False)):
        bound = share * found.bound_l
        told = LadderAnswer.of(found.steps, (replace(bath, bound_l=bound),), ())
        assert told.bound_l == bound
        assert all(check.holds for check in checked(told, shop)) is holds


def test_blocks_stand_clear_of_the_parts_by_exact_distance(answer: LadderAnswer) -> None:
    parts = {part.name: part for part in PARTS}
    assert any(step.blocks for step in answer.steps)
    for step in answer.steps:
        posed = [(parts[each.part], each.pose) for each in step.lot.parts]
        tank = with_pieces(LONG, step.blocks)
        assert all(check.holds for check in lot_checks(step.lot, posed, tank))
        # A block moved onto a part, or an inch of liquid less, is seen.
        assert not all(
            check.holds for check in lot_checks(replace(step.lot, level_mm=step.level_mm - 25.0), posed, tank)
        )
        if step.blocks:
            low = posed[0][1].shift_mm
            onto = replace(step.blocks[0], at_mm=(float(low[0]), float(low[1]), 0.0))
            assert not all(check.holds for check in lot_checks(step.lot, posed, with_pieces(LONG, [onto])))


def test_what_is_mixed_decides_what_can_be_done() -> None:
    mixed = ladder(SHOP, "long", 60.0)
    assert [step.can_do for step in mixed.steps] == [step.liquid_l <= 60.0 for step in mixed.steps]
    assert {True, False} == {step.can_do for step in mixed.steps}
    assert mixed.verdict == "does not fit"


def test_a_tank_that_two_pieces_of_work_share_is_filled_once() -> None:
    steps = (Step("etch", ("long",), None, 60.0), Step("rinse", ("long", "other"), None, 60.0))
    tanks = {"long": LONG, "other": tank_of("other", (900.0, 500.0, 700.0))}
    parts = {"rail": PARTS[0], "plate": PARTS[2]}
    shared = ladder(Shop("shop", parts=parts, tanks=tanks, stock=STOCK, steps=steps))
    assert {step.work for step in shared.steps if step.tank == "long"} == {"etch", "rinse"}
    assert all(step.add_l >= 0.0 for step in shared.steps)
    assert sum(step.add_l for step in shared.steps) == pytest.approx(shared.mix_at_most_l)
    assert shared.bound_l <= shared.mix_at_most_l < sum(bath.mix_at_most_l for bath in shared.baths)
    assert sum_apart([(["a", "b"], 3.0), (["c"], 4.0), (["b"], 5.0), (["d", "e"], 1.0)]) == 5.0 + 4.0 + 1.0
    assert sum_apart([(["a"], 1.0), (["b"], 2.0), (["a", "b"], 2.5)]) == 2.5


def test_a_tank_that_is_no_box_gets_no_blocks() -> None:
    inside = block((900.0, 400.0, 500.0)).solid
    # Its ends slope outwards by 100 mm.
    slope = np.where(inside.vertices_mm[:, 2] > 0.0, np.sign(inside.vertices_mm[:, 0] - 450.0) * 100.0, 0.0)
    sloped = inside.vertices_mm + np.column_stack([slope + 100.0, 0.0 * slope, 0.0 * slope])
    size = (1100.0, 400.0, 500.0)
    trough = replace(
        LONG, name="trough", inside=replace(inside, vertices_mm=sloped), size_mm=size, is_box=False
    )
    found = ladder(Shop("s", parts={"p": box("p", (300.0, 100.0, 100.0))}, tanks={"trough": trough}))
    (step,) = found.steps
    assert step.blocks == ()
    assert found.bound_l <= found.mix_at_most_l * (1.0 + 1e-9) == pytest.approx(found.without_blocks_l)


# --- A few blocks for all loads ---

CASE, RAIL = PARTS[1], box("rail", (3900.0, 60.0, 30.0), 2)
FEW = Shop("few", parts={part.name: part for part in (CASE, RAIL)}, tanks={"long": LONG}, stock=STOCK)


@pytest.fixture(scope="module")
def few() -> LadderAnswer:
    return ladder(FEW, "long", few=3)


def test_the_first_block_of_one_part_is_a_closed_form() -> None:
    found = ladder(replace(FEW, parts={"case": CASE}), "long", few=1)
    # Beyond the case in its corner, 25 mm of clearance before and behind it, a gap from the walls, cut to a mm.
    length = math.floor(4000.0 - STOCK.gap_mm - (25.0 + 1200.0 + 25.0))
    width = math.floor(500.0 - 2.0 * STOCK.gap_mm)
    (build,) = found.builds
    assert [each.size_mm for each in build.blocks] == [(length, width, 525.0)]
    assert build.mix_l[0] == pytest.approx(found.without_blocks_l)
    # 50 mm of liquid over the case, and 50 mm under it.
    assert build.mix_l[1] == pytest.approx(found.without_blocks_l - length * width * 500.0 / 1e6)
    assert found.mix_at_most_l == pytest.approx(build.mix_l[1])


def test_each_further_block_saves_and_none_takes_more_than_without(few: LadderAnswer) -> None:
    (build,) = few.builds
    assert len(build.mix_l) == len(build.blocks) + 1 <= 4
    assert all(later < earlier for earlier, later in itertools.pairwise(build.mix_l))
    assert build.mix_l[0] == pytest.approx(few.without_blocks_l)
    assert few.bound_l <= few.mix_at_most_l <= build.mix_l[-1] * (1.0 + 1e-9)
    assert {each.part for step in few.steps for each in step.lot.parts} == {"case", "rail"}
    # No load has a block that is not built, or one twice.
    sizes = [tuple(sorted(each.size_mm)) for each in build.blocks]
    for step in few.steps:
        stood = [tuple(sorted(piece.size_mm)) for piece in step.blocks]
        assert all(stood.count(size) <= sizes.count(size) for size in stood)


def test_the_pages_of_few_blocks_build_no_more_than_those(few: LadderAnswer) -> None:
    (build,) = few.builds
    pages = ladder_pages(few, FEW)
    words = [
        [mark.words for mark in laid_out(page, "letter").marks if isinstance(mark, Label)] for page in pages
    ]
    (built,) = (each for page, each in zip(pages, words, strict=True) if page.title == "blocks to build")
    letters = [each for each in built if re.fullmatch(r"[A-Z]+: \d+", each)]
    stood = {tuple(sorted(piece.size_mm)) for step in few.steps for piece in step.blocks}
    assert len(letters) == len(stood)
    assert 0 < sum(int(each.split()[1]) for each in letters) <= len(build.blocks)
    assert any("few blocks to build" in each for page in words for each in page)


def test_fewer_blocks_are_the_first_of_more(few: LadderAnswer) -> None:
    fewer = ladder(FEW, "long", few=1)
    assert fewer.builds[0].blocks == few.builds[0].blocks[:1]
    assert fewer.builds[0].mix_l == few.builds[0].mix_l[:2]
    none = ladder(FEW, "long", few=0)
    assert none.builds[0].blocks == () and all(step.blocks == () for step in none.steps)
    with pytest.raises(Refused, match="25 blocks"):
        ladder(FEW, "long", few=25)


def test_forged_blocks_are_seen(few: LadderAnswer) -> None:
    (build,) = few.builds
    assert all(check.holds for check in checked(few, FEW))
    first = build.blocks[0]
    for forged in (
        replace(build, mix_l=(*build.mix_l[:-1], build.mix_l[-1] * 0.9)),
        replace(build, mix_l=(build.mix_l[0], build.mix_l[1] * 0.99, *build.mix_l[2:])),
        replace(build, mix_l=build.mix_l[:-1]),
        replace(build, blocks=(replace(first, size_mm=(99.0, 99.0, 525.0)), *build.blocks[1:])),
        replace(build, blocks=(replace(first, mass_kg=1.0), *build.blocks[1:])),
    ):
        wrong = [check for check in checked(replace(few, builds=(forged,)), FEW) if not check.holds]
        assert wrong and all(check.what.startswith("long, long: ") for check in wrong), forged
    read_back = from_dict(json.loads(json.dumps(to_dict(few))), FEW)
    assert isinstance(read_back, LadderAnswer)
    assert read_back.builds == few.builds


def test_blocks_stand_in_the_room_left_and_not_in_each_other() -> None:
    rng = np.random.default_rng(4)
    for _ in range(40):
        taken = tuple(
            (x, y, x + w, y + h)
            for x, y, w, h in zip(
                *(rng.uniform(0.0, most, 3) for most in (800.0, 300.0, 300.0, 200.0)), strict=True
            )
        )
        place = Place((5.0, 5.0, 995.0, 495.0), taken, 5.0, 200.0, 225.0)
        blocks = [Built((float(a), float(b), float(c)), 1.0) for a, b, c in rng.uniform(80.0, 400.0, (6, 3))]
        stood = of_these(place, blocks).pieces
        boxes = [
            (p.at_mm[0], p.at_mm[1], p.at_mm[0] + p.size_mm[0], p.at_mm[1] + p.size_mm[1]) for p in stood
        ]
        assert all(p.size_mm[2] >= 225.0 for p in stood)
        assert all(
            b[0] >= 5.0 - 1e-6 and b[1] >= 5.0 - 1e-6 and b[2] <= 995.0 + 1e-6 and b[3] <= 495.0 + 1e-6
            for b in boxes
        )
        for one, two, gap in [
            *((one, two, 5.0) for one, two in itertools.combinations(boxes, 2)),
            *((one, two, 0.0) for one in boxes for two in taken),
        ]:
            apart = max(two[0] - one[2], one[0] - two[2], two[1] - one[3], one[1] - two[3])
            assert apart >= gap - 1e-6


# --- Sharing out, and rectangles left ---


@given(
    st.lists(
        st.lists(st.one_of(st.none(), st.integers(1, 9)), min_size=2, max_size=2).filter(any),
        min_size=1,
        max_size=5,
    )
)
@settings(max_examples=60)
def test_sharing_out_is_as_good_as_every_way(needs: list[list[int | None]]) -> None:
    litres = {
        f"p{k}": {tank: float(need) for tank, need in zip("ab", row, strict=True) if need is not None}
        for k, row in enumerate(needs)
    }
    best = min(
        sum(
            max((litres[p][t] for p, t in zip(litres, ways, strict=True) if t == tank), default=0.0)
            for tank in "ab"
        )
        for ways in itertools.product(*litres.values())
    )
    total, held = least_in_all(litres, ["a", "b"])
    assert total == best == sum(held.values())


# --- Picture and command ---


def test_the_picture_is_drawn(answer: LadderAnswer, tmp_path: Path) -> None:
    assert draw(answer, replace(SHOP, show="ft-in"), tmp_path / "ladder.svg") == ()
    assert "</svg>" in (tmp_path / "ladder.svg").read_text(encoding="utf-8")
    shown = answer._repr_html_()
    assert shown is not None and f">{show_volume(answer.steps[-1].liquid_l, SHOP.show)}</text>" in shown


def test_of_no_load_nothing_is_drawn_and_that_is_said(tmp_path: Path) -> None:
    none = ladder(replace(SHOP, parts={"never": PARTS[3]}), "long")
    assert draw(none, SHOP, tmp_path / "ladder.svg") == ("no picture was drawn: nothing goes in",)
    assert not (tmp_path / "ladder.svg").exists()
    assert none._repr_html_() is None


def test_the_command_tells_what_can_be_done(tmp_path: Path, fitcheck_command: Callable[..., object]) -> None:
    path = tmp_path / "shop.toml"
    path.write_text(
        '[rules]\nside_clearance = "25 mm"\nbottom_clearance = "50 mm"\ncover = "50 mm"\nfreeboard = "100 mm"\n'
        'part_gap = "25 mm"\n[liquids.bath]\nspecific_gravity = 1.0\n[tanks.T]\nliquid = "bath"\n'
        'inside = ["2 m", "500 mm", "600 mm"]\n[parts.case]\nshape = "block"\nmetal = "steel"\n'
        'size = ["600 mm", "200 mm", "300 mm"]\n',
        encoding="utf-8",
    )
    done = fitcheck_command("ladder", path, "--tank", "T", "--mixed", "5 L", "--json")
    data = json.loads(done.stdout)  # type: ignore[attr-defined]
    assert done.returncode == 1  # type: ignore[attr-defined]
    assert [step["can_do"] for step in data["steps"]] == [False]
    assert data["bound_l"] <= data["mix_at_most_l"] < data["without_blocks_l"]


def test_the_pages_of_the_whole_kit_say_what_to_buy(answer: LadderAnswer) -> None:
    """Every load has its row, and what is bought is the most that each tank ever holds."""
    pages = ladder_pages(answer, SHOP)
    words = [
        mark.words for page in pages for mark in laid_out(page, "letter").marks if isinstance(mark, Label)
    ]
    assert {str(k + 1) for k in range(len(answer.steps))} <= set(words)
    most = max(step.liquid_l for step in answer.steps)
    assert any(show_volume(most, SHOP.show) in each for each in words)
    assert ladder_pages(LadderAnswer.of((), (), ()), SHOP) == ()


@pytest.mark.parametrize("seed", range(40))
def test_no_outline_leaves_blocks_more_than_the_bound_says(seed: int) -> None:
    """Convex outlines at random places, the grown outline and the strip along the walls joined by shapely."""
    from shapely import MultiPoint, affinity
    from shapely import box as rectangle

    rng = np.random.default_rng(seed)
    long, wide, gap = rng.uniform(800.0, 4000.0), rng.uniform(200.0, 800.0), rng.uniform(2.0, 20.0)
    clear = gap + rng.uniform(0.0, 40.0)
    size = rng.uniform(0.02, 0.98, 2) * [long - 2.0 * clear, wide - 2.0 * clear]
    if seed % 3 == 0:
        outline = MultiPoint(rng.uniform(0.0, 1.0, (8, 2)) * size).convex_hull
        outline = affinity.rotate(outline, float(rng.uniform(0.0, 180.0)))
    else:
        # From wall to wall, or thin along one, it shares most with the strips.
        outline = rectangle(0.0, 0.0, size[0], (wide - 2.0 * clear) * (1.0 if seed % 3 == 1 else 0.05))
    x0, y0, x1, y1 = outline.bounds
    free = np.array([long, wide]) - 2.0 * clear - [x1 - x0, y1 - y0]
    if (free < 0.0).any():
        outline = affinity.scale(outline, *[min(1.0, f) for f in 1.0 + free / [x1 - x0, y1 - y0]])
        x0, y0, x1, y1 = outline.bounds
        free = np.maximum(np.array([long, wide]) - 2.0 * clear - [x1 - x0, y1 - y0], 0.0)
    # Into a corner, where it shares most with the strip, or anywhere.
    at = free * rng.choice([0.0, 1.0, rng.uniform()], 2) + clear - [x0, y0]
    outline = affinity.translate(outline, *at)
    inside = rectangle(0.0, 0.0, long, wide)
    strip = inside.difference(inside.buffer(-gap, join_style="mitre"))
    # Chords of a quarter circle lie inside it: the sliver is far under a ten thousandth.
    grown = outline.buffer(clear, quad_segs=256)
    corners = np.array(outline.exterior.coords)
    longest = max(float(np.linalg.norm(a - b)) for a in corners for b in corners)
    tank = tank_of("t", (long, wide, 500.0))
    bound = _open_mm2(tank, gap, clear, longest)(np.array([outline.area]), np.array([outline.length]))
    assert float(bound[0]) <= grown.union(strip).area * (1.0 + 1e-4)


def test_a_part_over_something_in_the_tank_goes_in_alone() -> None:
    """What stands under a part takes of the liquid that would stand there: too much was asked for once."""
    sill = Standing(
        "sill", block((2400.0, 300.0, 300.0)).solid.moved(np.eye(3), np.array([800.0, 100.0, 0.0]))
    )
    tank = replace(LONG, fittings=(sill,))
    shop = Shop("yard", tanks={"long": tank}, parts={"lid": box("lid", (3900.0, 420.0, 60.0))}, stock=STOCK)
    answer = ladder(shop)
    assert [step.lot.parts[0].part for step in answer.steps] == ["lid"]
    assert answer.bound_l <= answer.mix_at_most_l <= answer.without_blocks_l
