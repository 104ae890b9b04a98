"""Shop sheets: a page a lift that fits its paper, in print that can be read, true to size, never half written."""

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
from strategies.solids import box, part_of, tank_of

import fitcheck as fc
from fitcheck.draw.ink import Area, Box, Label, Stroke, box_of
from fitcheck.draw.names import Named, names_marks
from fitcheck.draw.paper_sizes import SIZES_PT
from fitcheck.draw.sheet_sections import Lead, Notes, Page, Picture, Values
from fitcheck.questions.block.page_standing import shop_blocks
from fitcheck.questions.chart.page import Cell, Row, cover_count, cover_pages
from fitcheck.questions.dip.draw_insertion import MOST_DRAWN, drawn_poses
from fitcheck.questions.dip.page import FOR_EVERY_LIFT, lift_page
from fitcheck.questions.ladder.answer import LadderAnswer, LadderStep
from fitcheck.questions.ladder.page_blocks import ladder_blocks
from fitcheck.questions.lot.answer import Lot
from fitcheck.sheet.files import NAMES, check_folder, write_set
from fitcheck.sheet.kit import Order, kit, may_do_in_two, part_sheet, rooms_of
from fitcheck.sheet.lifted import lifted
from fitcheck.sheet.paper import Laid, laid_out
from fitcheck.sheet.pdf import pdf_of
from fitcheck.sheet.rows import LEAST_PT, WORKED_BY_PT
from fitcheck.sheet.web import html_of
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.shop import Shop
from fitcheck.things.stock import Piece
from fitcheck.things.tank import Rules
from fitcheck.things.way_in import WayIn
from fitcheck.words.errors import InputFault, Refused

YARD = Path(__file__).resolve().parents[2] / "examples" / "yard" / "yard.toml"
# Fits rolled; longer than the tank; measure again; full of bath; on the bottom with a block's worth of air.
TELLING = ("P08", "P02", "P09", "P03", "P20")
# Sums of a few hundred points, each a few roundings in double precision.
ROUNDING_PT = 1e-6


@pytest.fixture(scope="module")
def shop() -> Shop:
    return fc.read_shop(YARD)


@pytest.fixture(scope="module")
def pages(shop: Shop) -> tuple[Laid, ...]:
    """Return the telling parts in every tank, with dip-sticks, on letter paper."""
    parts = [shop.parts[name] for name in TELLING]
    return kit(shop, parts, list(shop.tanks.values()), Order("letter", True, shop.show, shop.name))


def lift_of(pages: tuple[Laid, ...], part: str, tank: str) -> Laid:
    return next(p for p in pages if (p.page.part, p.page.tank, p.page.kind) == (part, tank, "lift"))


def labels(laid: Laid) -> list[Label]:
    return [mark for mark in laid.marks if isinstance(mark, Label)]


def words_of(laid: Laid) -> str:
    return " ".join(label.words.replace("\n", " ") for label in labels(laid))


def test_every_lift_has_its_page(pages: tuple[Laid, ...]) -> None:
    kinds = [laid.page.kind for laid in pages]
    assert kinds[:2] == ["cover", "cover"]
    told = {(p.page.part, p.page.tank) for p in pages if p.page.kind in ("lift", "pass")}
    # The mast goes through the etch in two passes, a page each.
    assert ("P02", "T1") in told
    assert sum(p.page.part == "P02" and p.page.kind == "pass" for p in pages) == 2
    # Etch, coat and water: each liquid once, in the tank that takes least of it.
    assert {tank for part, tank in told if part == "P08"} == {"T1", "T2", "T4"}


def test_nothing_leaves_the_paper(pages: tuple[Laid, ...]) -> None:
    for laid in pages:
        wide, high = laid.size_pt
        for mark in laid.marks:
            match mark:
                case Label():
                    box = box_of(mark)
                    points = box.ring
                case Area(rings=rings):
                    points = np.vstack(rings) if rings else np.zeros((0, 2))
                case Stroke(lines=lines):
                    points = np.vstack(lines) if lines else np.zeros((0, 2))
                case _:
                    raise AssertionError(mark)
            assert (points >= -ROUNDING_PT).all(), (laid.page.tag, laid.page.title, mark)
            assert (points <= np.array([wide, high]) + ROUNDING_PT).all(), (
                laid.page.tag,
                laid.page.title,
                mark,
            )


def test_print_can_be_read_at_arms_length(pages: tuple[Laid, ...]) -> None:
    for laid in pages:
        assert min(label.size_pt for label in labels(laid)) >= LEAST_PT - ROUNDING_PT
    lift = lift_of(pages, "P08", "T1")
    (values,) = [section for section in lift.page.sections if isinstance(section, Values)]
    for value in values.values:
        assert any(value.words == label.words and label.size_pt >= WORKED_BY_PT for label in labels(lift))


def test_no_words_lie_on_others(pages: tuple[Laid, ...]) -> None:
    for laid in pages:
        # Capitals are three quarters of the print high: what overlaps less than the rest does not touch.
        boxes = [(label.words, box_of(replace(label, size_pt=0.8 * label.size_pt))) for label in labels(laid)]
        for (one, a), (two, b) in itertools.combinations(boxes, 2):
            assert not a.overlaps(b), f"{laid.page.tag} {laid.page.title}: {one!r} on {two!r}"


def test_the_page_says_what_the_answer_says(shop: Shop, pages: tuple[Laid, ...]) -> None:
    lift = lift_of(pages, "P08", "T1")
    answer = fc.dip(shop.parts["P08"], shop.tanks["T1"])
    assert isinstance(answer, fc.Fits)
    words = words_of(lift)
    for told in ("rolled 49.5 deg about its length", "393.7 gal", "4 3/16 in", "Leg 1", "Water tested"):
        assert told in words
    assert lift.page.verdict == "fits"
    again = lift_of(pages, "P09", "T1")
    assert again.page.verdict == "measure again"
    assert "of the part as hung and of the tank inside" in words_of(again)


def test_no_caution_is_lost(pages: tuple[Laid, ...]) -> None:
    first = next(laid for laid in pages if laid.page.tag == "Read first")
    (notes,) = [section for section in first.page.sections if isinstance(section, Notes)]
    assert set(FOR_EVERY_LIFT) <= set(notes.lines)
    assert any("Title 8 section 3480" in line for line in notes.lines)
    heavy = words_of(lift_of(pages, "P03", "T2"))
    assert "It comes out with 115 gal in it" in heavy
    assert "weighs 1021.9 lb at lift-out" in heavy
    assert all("plain water" in laid.page.foot for laid in pages)


def test_the_dip_stick_is_true_to_size(pages: tuple[Laid, ...]) -> None:
    """An inch of the strip is 72 points of PDF (ISO 32000-1) and 1 in of a printed browser page (CSS)."""
    stick = next(
        p for p in pages if p.page.kind == "dip-stick" and p.page.part == "P08" and p.page.tank == "T1"
    )
    (strip,) = [section for section in stick.page.sections if isinstance(section, Picture)]
    assert strip.exact
    numbers = [m for m in strip.marks if isinstance(m, Label) and re.fullmatch(r"\d+ in", m.words) and m.bold]
    heights = [label.at[1] for label in numbers]
    assert np.allclose(np.diff(heights), -72.0)
    lines = [m.lines[0] for m in strip.marks if isinstance(m, Stroke) and m.width_pt == 2.2]
    downs = [(heights[0] - line[0, 1]) / 72.0 + int(numbers[0].words.split()[0]) for line in lines]
    # Fill lines 4 3/16 in and 4 1/4 in down from the rim, as told; these are rounded to a mark.
    assert sorted(downs) == pytest.approx([4 + 3 / 16, 4 + 1 / 4], abs=1 / 32)
    on_page = [m for m in stick.marks if isinstance(m, Label) and m.words == "2 in" and m.bold]
    under = [m for m in stick.marks if isinstance(m, Label) and m.words == "3 in" and m.bold]
    assert on_page[0].at[1] - under[0].at[1] == pytest.approx(72.0)
    page = html_of([stick], "stick")
    assert f'<figure class="exact" style="--width: {strip.size_pt[0]}pt">' in page
    assert ".sheet figure.exact { width: var(--width); }" in page


def test_pdf_has_the_pages_and_the_words(pages: tuple[Laid, ...]) -> None:
    content = pdf_of(pages, "kit")
    assert content.startswith(b"%PDF-")
    assert len(re.findall(rb"/Type /Page\b", content)) == len(pages)
    boxes = set(re.findall(rb"/MediaBox \[ ([^\]]*) \]", content))
    assert boxes == {b"0 0 612 792"}
    assert content == pdf_of(pages, "kit"), "the same pages give the same file"


def test_html_is_one_file_and_fetches_nothing(pages: tuple[Laid, ...]) -> None:
    text = html_of(pages, "A & B")
    assert "<title>A &amp; B</title>" in text
    assert text.count('<section class="sheet"') == len(pages)
    assert not re.search(r"""(src|href)=["'](?!data:)""", text)
    assert not re.search(r"url\((?!data:)", text)
    assert "<script" not in text


def test_names_from_a_shop_file_cannot_break_the_page() -> None:
    page = Page("lift", "<b>&", 'x" onload="', "", (Lead("<i>", "</section><script>"),), foot="&")
    text = html_of([laid_out(page, "a4")], "<t>")
    assert "<script>" not in text
    assert "<b>&<" not in text


def test_a4_holds_what_letter_holds(shop: Shop) -> None:
    sheet = part_sheet(shop.parts["P03"], (shop.tanks["T2"],), Order("a4", False, shop.show, shop.name))
    (laid,) = sheet.laid
    assert laid.size_pt == SIZES_PT["a4"]
    assert max(box_of(label).right for label in labels(laid)) <= SIZES_PT["a4"][0]


def test_too_much_for_a_page_is_refused_and_not_cut() -> None:
    many = Notes(
        "", tuple("a caution that takes a line or two of the page, and then more" for _ in range(90))
    )
    with pytest.raises(Refused, match="does not find room"):
        laid_out(Page("lift", "P", "in T", "", (many,)), "letter")


def test_a_part_that_fits_nowhere_is_on_the_cover(shop: Shop) -> None:
    tanks = (shop.tanks["T4"],)
    sheet = part_sheet(shop.parts["P14"], tanks, Order("letter", False, shop.show, shop.name))
    assert not sheet.laid
    assert "does not fit any tank asked about" in sheet.nowhere
    row = Row("P14", sheet.cells, range(0), sheet.nowhere)
    cover = cover_pages(shop, tanks, [row])[0]
    assert sheet.nowhere in words_of(laid_out(cover, "letter")).replace("\n", " ")


def test_a_long_chart_takes_more_pages(shop: Shop) -> None:
    tanks = list(shop.tanks.values())
    cells = tuple(Cell(tank.name, "does not fit", -1234.5, -1234.5, None) for tank in tanks)
    rows = [Row(f"part {k}", cells, (), "") for k in range(60)]
    covers = cover_pages(shop, tanks, rows)
    assert len(covers) == cover_count(60)
    for page in covers:
        laid_out(page, "letter")


def test_a_cover_takes_more_sections(shop: Shop) -> None:
    cover = cover_pages(shop, list(shop.tanks.values()), [])[0]
    bought = replace(cover, sections=(*cover.sections, Notes("To buy", ("two drums",))))
    assert "two drums" in words_of(laid_out(bought, "letter"))


def test_two_passes_are_not_asked_for_where_none_could_do(shop: Shop) -> None:
    """A pass wets no more of a straight line than lies in the tank: two of them make up the part's length."""
    assert may_do_in_two(shop.parts["P02"], shop.tanks["T1"])
    assert not may_do_in_two(shop.parts["P02"], shop.tanks["T4"])
    # 72 x 30 x 48 in less clearances: the longest line is under 87 in, and the boom is 186 in.
    assert not may_do_in_two(shop.parts["P01"], shop.tanks["T2"])


def test_a_set_is_written_whole_and_over_its_own_only(tmp_path: Path, pages: tuple[Laid, ...]) -> None:
    folder = tmp_path / "sheets"
    written = write_set(folder, pages[:3], "kit")
    assert [path.name for path in written] == list(NAMES)
    before = written[0].read_bytes()
    write_set(folder, pages[:2], "kit")
    assert written[0].read_bytes() != before
    assert {path.name for path in folder.iterdir()} == set(NAMES), "no draft is left"
    written[1].write_text("somebody's own notes")
    kept = written[0].read_bytes()
    with pytest.raises(InputFault, match="no sheet of fitcheck's"):
        write_set(folder, pages[:3], "kit")
    assert written[0].read_bytes() == kept
    assert written[1].read_text() == "somebody's own notes"


def test_a_folder_that_cannot_take_it_is_refused_first(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(InputFault, match="is a file"):
        check_folder(tmp_path / "file")
    with pytest.raises(InputFault, match="there is no folder"):
        check_folder(tmp_path / "no" / "where")
    (tmp_path / "astray").symlink_to(tmp_path / "gone")
    for name in ("astray", "x" * 300):
        with pytest.raises(InputFault, match="cannot be written to"):
            check_folder(tmp_path / name)
    # Not even root writes there, nor takes files in what only looks like a folder.
    with pytest.raises(InputFault, match="cannot be written to"):
        check_folder(Path("/proc"))
    check_folder(tmp_path / "new")
    check_folder(tmp_path)
    assert {path.name for path in tmp_path.iterdir()} == {"file", "astray"}, "nothing is left of the trial"


def test_the_command_writes_and_tells(fitcheck_command: Callable[..., object], tmp_path: Path) -> None:
    done = fitcheck_command(
        "sheet", YARD, "--part", "P08", "--tank", "T1", "--paper", "a4", "--to", tmp_path / "s", "--json"
    )
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert [Path(name).name for name in told["files"]] == list(NAMES)
    assert [page["kind"] for page in told["pages"]] == ["cover", "cover", "lift"]
    assert told["pages"][2] == {
        "kind": "lift",
        "number": "3 of 3",
        "part": "P08",
        "tank": "T1",
        "verdict": "fits",
    }


def test_the_picture_is_drawn_to_the_room_it_gets(shop: Shop, pages: tuple[Laid, ...]) -> None:
    lift = lift_of(pages, "P20", "T1")
    (picture,) = [section for section in lift.page.sections if isinstance(section, Picture)]
    assert picture.size_pt[1] >= 250.0
    for mark in picture.marks:
        if isinstance(mark, Label):
            assert box_of(mark).low >= -2.0


def test_the_plan_of_a_room_is_a_page_and_its_tape_another(shop: Shop) -> None:
    """Corners of what stands in the room are on the tape's page, the plan's scale on the other."""
    pages = rooms_of(shop)
    assert [page.kind for page in pages] == ["room", "room"]
    laid = [laid_out(page, paper) for page in pages for paper in SIZES_PT]
    words = {mark.words for each in laid for mark in each.marks if isinstance(mark, Label)}
    for corner in ("5 ft, 8 ft", "9 ft, 14 ft", "12 ft 6 in, 15 ft"):
        assert corner in words
    assert any(each.startswith("1 : ") for each in words)


def test_blocks_of_the_shop_file_have_build_sheets(shop: Shop) -> None:
    """By hand: B3 is 400 x 600 x 450 mm, in water to 400 mm: 96 l; three B1 of 7 ft 10 in x 8 in x 22 in.

    B1 weighs 88.5 lb; under 20 in of etch at 1.03 it pushes 94 x 8 x 20 in3 aside, 65.1 gal: 246.4 kg at 1.03
    kg/l is 253.8 kg, less 40.1 kg leaves 213.7 kg; 1.5 times that is 706.6 lbf.
    """
    stood = fc.read_shop(YARD.with_name("blocks.toml"))
    laid = [laid_out(page, "a4") for page in shop_blocks(stood)]
    assert [page.page.title for page in laid] == ["blocks to build", "blocks for every lift: where"] * 2
    assert "A: 3" in words_of(laid[0])
    where = words_of(laid[1])
    for told in ("8 ft 1 in", "15 ft 11 in", "65.1 gal", "706.7 lbf", "2120.2 lbf", "B1 middle"):
        assert told in where
    assert "25.4 gal" in words_of(laid[3])  # 96 l


def test_a_ladders_blocks_have_build_sheets(shop: Shop) -> None:
    """Blocks are told as the ladder answers them: loads with the same ones share a page, sizes are built once."""
    small, large = (
        Piece((500.0, 200.0, 300.0), (10.0, 20.0, 0.0), 9.0),
        Piece((800.0, 200.0, 300.0), (900.0, 20.0, 0.0), 14.0),
    )
    twin = replace(small, at_mm=(2000.0, 20.0, 0.0))
    steps = tuple(
        LadderStep(
            "etch",
            "T1",
            Lot("etch", "T1", (), 250.0, 0.0, 90.0, 0.0, 0.0),
            blocks,
            250.0,
            90.0,
            9.0,
            99.0,
            9.0,
        )
        for blocks in ((), (small, large), (small, twin), (small, large))
    )
    pages = ladder_blocks(LadderAnswer.of(steps, (), ()), shop)
    assert [page.title for page in pages] == [
        "blocks to build",
        "blocks for loads 2, 4: where",
        "blocks for load 3: where",
    ]
    words = [words_of(laid_out(page, "letter")) for page in pages]
    assert "3 blocks of 2 sizes" in words[0]
    assert "A: 2" in words[0]
    assert "B: 1" in words[0]
    # 500 x 200 x 250 mm of 1.03 kg/l less 9 kg: 16.75 kg, 1.5 times that is 246.4 N, 55.4 lbf; of B 27.2 kg, 89.9.
    assert "55.4 lbf" in words[2]
    assert "110.8 lbf" in words[2]
    assert "145.3 lbf" in words[1]
    assert "6.6 gal" in words[1]
    assert not ladder_blocks(LadderAnswer.of(steps[:1], (), ()), shop)
    # Stood across the tank it is the same block, built once.
    across = replace(small, size_mm=(200.0, 500.0, 300.0))
    turned = tuple(replace(steps[0], blocks=(piece,)) for piece in (across, small))
    words = [
        words_of(laid_out(page, "letter")) for page in ladder_blocks(LadderAnswer.of(turned, (), ()), shop)
    ]
    assert "1 block of 1 size" in words[0]
    assert "A, across" in words[1]
    assert "across" not in words[2]


def test_few_blocks_are_asked_for_with_the_ladder_only(
    fitcheck_command: Callable[..., object], tmp_path: Path
) -> None:
    done = fitcheck_command("sheet", YARD, "--blocks", "2", "--to", tmp_path)
    assert done.returncode == 2  # type: ignore[attr-defined]
    assert "give --ladder too" in done.stderr  # type: ignore[attr-defined]


def test_a_way_in_that_is_not_straight_is_drawn_place_by_place() -> None:
    tank = tank_of(box((1000.0, 300.0, 600.0)), Rules(5.0, 5.0, 0.0, 40.0))
    part = part_of(box((500.0, 100.0, 40.0)))
    answer = fc.dip(part, tank, with_cures=False)
    assert isinstance(answer, fc.Fits)
    last = answer.advice.pose
    leant = rotation_from(Angles(math.radians(20.0)))
    first = Pose(last.to_frame, last.from_frame, leant, np.array([400.0, 100.0, 600.0]))
    page_of: dict[str, Laid] = {}
    for kind in ("tilted in", "straight down"):
        way = WayIn(kind, 2.2, (first, first, last))
        page = lift_page(lifted(part, tank, replace(answer, way_in=way)), "mm", "bay")
        page_of[kind] = laid_out(page, "a4")
    laid = page_of["tilted in"]
    for told in ("Way in", "in 2 moves", "no nearer than 2.2 mm", "+x end up 20 deg"):
        assert told in words_of(laid)
    views = [section for section in laid.page.sections if isinstance(section, Picture)]
    assert [m.words for m in views[1].marks if isinstance(m, Label) and m.words.isdigit()] == ["1", "2", "3"]
    assert "Way in" not in words_of(page_of["straight down"])
    many = drawn_poses((first,) * 20 + (last,))
    assert len(many) == MOST_DRAWN
    assert (many[0], many[-1]) == (first, last)


def test_a_narrow_thing_has_its_name_beside_it() -> None:
    """A post 8 points wide between a table and a wall: its name is printed in full, clear of both, on a leader."""

    def thing(name: str, left: float, low: float, right: float, high: float) -> Named:
        return Named(Box(left, low, right, high).ring, name)

    things = [
        thing("post", 100.0, 100.0, 108.0, 108.0),
        thing("table", 20.0, 80.0, 90.0, 160.0),
        thing("long shelf by the wall", 190.0, 0.0, 200.0, 200.0),
    ]
    within = Box(0.0, 0.0, 200.0, 200.0)
    size = Box(112.0, 90.0, 150.0, 118.0)
    marks = names_marks(things, [size], within)
    found = {mark.words.replace("\n", " "): box_of(mark) for mark in marks if isinstance(mark, Label)}
    assert set(found) == {each.name for each in things}
    assert all(mark.size_pt >= LEAST_PT for mark in marks if isinstance(mark, Label))
    assert sum(isinstance(mark, Stroke) for mark in marks) == 2
    for one, two in itertools.combinations([*found.values(), size], 2):
        assert not one.overlaps(two)
    for name, own in found.items():
        assert own.left >= 0.0
        assert own.right <= 200.0
        for each in things:
            (left, low), (right, high) = each.ring.min(axis=0), each.ring.max(axis=0)
            assert own.overlaps(Box(left, low, right, high)) == (name == each.name == "table")
