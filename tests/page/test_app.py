"""The live sheet in a real browser, by the steps a person takes; and what it does with a shop file."""

from __future__ import annotations

import math
import os
import urllib.error
import urllib.request
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from strategies.served_page import SHOP, browsing, chromium, found_a_pose, opened, serving, stepped

from fitcheck.draw.paper_sizes import PaperName
from fitcheck.files.shop_file import read_shop
from fitcheck.page.guard import Guard
from fitcheck.page.live import Asked, Desk, Live, Shown, printed, whole
from fitcheck.questions.chart.page import read_first
from fitcheck.sheet.kit import Order, kit
from fitcheck.sheet.web import html_of, page_html
from fitcheck.things.pose import Angles
from fitcheck.words.errors import InputFault, Refused

if TYPE_CHECKING:
    from playwright.sync_api import Page

# What print in a picture comes to on the screen; on paper it is 9 points or more, which are 12 dots of a screen.
PRINT_PX = "each => each.getAttribute('font-size') * each.getScreenCTM().a"
LEAST_PRINT_PX = 12.0


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "quay.toml"
    path.write_text(SHOP)
    return path


def test_a_change_keeps_the_rest_of_the_file(file: Path) -> None:
    live = Live.of(file)
    assert not live.is_changed
    changed = live.changed(("tanks", "T1", "side_clearance"), "1/2 in").changed(
        ("tanks", "T1", "blocks", 0, "size", 0), "70 in"
    )
    assert changed.is_changed
    assert changed.shop.tanks["T1"].rules.side_clearance_mm == pytest.approx(12.7)
    assert changed.shop.tanks["T2"].rules.side_clearance_mm == pytest.approx(25.4)
    assert changed.value(("tanks", "T1", "blocks", 0, "size", 0)) == "70 in"
    kept = [
        line for line in changed.text.splitlines() if "side_clearance" not in line and "70 in" not in line
    ]
    assert kept == [
        line
        for line in SHOP.splitlines()
        if line not in ('side_clearance = "1 in"', 'size = ["60 in", "8 in", "20 in"]')
    ]


def test_what_the_reader_refuses_changes_nothing(file: Path) -> None:
    live = Live.of(file)
    for words, named in (
        ("30", "30"),
        ("2 cubits", "cubits"),
        ("9 in", "T1"),
        ("../x", "x"),
        ("", "side_clearance"),
    ):
        with pytest.raises(InputFault, match=named):
            live.changed(("tanks", "T1", "side_clearance"), words)
    assert live.text == SHOP
    assert file.read_text() == SHOP


def test_saving_keeps_a_copy_each_time(file: Path) -> None:
    live = Live.of(file).changed(("tanks", "T1", "cover"), "1 in")
    live, first = live.saved()
    assert not live.is_changed
    _, second = live.changed(("tanks", "T1", "cover"), "3 in").saved()
    assert first != second
    assert first.read_text() == SHOP
    assert "1 in" in second.read_text()
    assert read_shop(file).tanks["T1"].rules.cover_mm == pytest.approx(76.2)
    assert sorted(path.name for path in file.parent.iterdir()) == sorted([file.name, first.name, second.name])


def test_a_file_changed_meanwhile_is_not_written_over(file: Path) -> None:
    live = Live.of(file).changed(("tanks", "T1", "cover"), "1 in")
    file.write_text(SHOP + "# another hand\n")
    with pytest.raises(Refused, match="changed on disk"):
        live.saved()
    assert file.read_text().endswith("# another hand\n")
    assert len(list(file.parent.iterdir())) == 1


def test_the_answer_is_that_of_dip(file: Path) -> None:
    live, desk = Live.of(file), Desk()
    roll = desk.best(live.shop, "hatch", "T1", "level")
    shown = desk.shown(live.shop, Asked("hatch", "T1", roll))
    assert shown.line.startswith("hatch in T1: fits")
    flat = desk.shown(live.shop, Asked("hatch", "T1", Angles()))
    assert flat.line.startswith("hatch in T1: does not fit")
    page = printed(flat.page, "letter")
    assert "hung like this" in page
    assert ">does not fit<" in page
    assert "Fill line" not in page


def test_the_live_page_is_the_printed_page(file: Path) -> None:
    """At the pose advised the page is to the letter that of the shop's printed sheet, but for its number."""
    live, desk = Live.of(file), Desk()
    shop = live.shop
    cases: tuple[tuple[str, str, PaperName], ...] = (("hatch", "T1", "letter"), ("pan", "T2", "a4"))
    for part, tank, paper in cases:
        order = Order(paper, sticks=False, show=shop.show, shop_name=shop.name)
        laid = kit(shop, [shop.parts[part]], [shop.tanks[tank]], order)
        (lift,) = [each for each in laid if each.page.kind == "lift"]
        asked = Asked(part, tank, desk.best(shop, part, tank, "level"))
        page = printed(whole(desk.shown(shop, asked), shop).page, paper)
        assert page == page_html(replace(lift, number=""))
        assert f"\n{page}" in html_of([replace(lift, number="")], "kit")
        assert read_first(shop, [shop.tanks[tank]]) == laid[1].page


def test_holes_follow_the_rest(file: Path) -> None:
    """A pan open side down keeps air: where to bleed it is looked for once its level and gaps are shown."""
    live, desk = Live.of(file), Desk()
    first = desk.shown(live.shop, Asked("pan", "T2", Angles(0.0, math.pi, 0.0)))
    assert "being looked for" in words_of(first)
    assert not first.is_whole
    then = whole(first, live.shop)
    assert "Best bleed hole" in words_of(then)
    assert "being looked for" not in words_of(then)
    assert then.is_whole
    assert whole(then, live.shop).lift is then.lift


def words_of(shown: Shown) -> str:
    return printed(shown.page, "letter")


@pytest.mark.parametrize(
    ("headers", "allowed"),
    [
        ({"host": "127.0.0.1:8460"}, True),
        ({"host": "localhost:8460", "origin": "http://localhost:8460"}, True),
        ({"host": "127.0.0.1:8460", "origin": "http://evil.example"}, False),
        ({"host": "127.0.0.1:8460", "origin": "null"}, False),
        ({"host": "evil.example:8460"}, False),
        ({"host": "127.0.0.1:8461"}, False),
        ({}, False),
    ],
)
def test_only_this_machines_own_page_is_let_in(headers: dict[str, str], allowed: bool) -> None:
    async def app(*_: object) -> None:
        raise AssertionError

    assert Guard(app, 8460).allows(headers) is allowed


# In a browser.


def browser() -> str:
    """Return the browser; without one the tests in it are left out, unless they are asked for."""
    found = chromium()
    if found is None and "FITCHECK_BROWSER_TESTS" not in os.environ:
        pytest.skip("there is no chromium here to test the live sheet in: apt-get install chromium")
    assert found, "apt-get install chromium"
    return found


@pytest.fixture
def served(file: Path) -> Iterator[str]:
    browser()
    with serving(file) as address:
        yield address


def test_the_steps_that_a_person_takes(served: str, file: Path, tmp_path: Path) -> None:
    asked: list[str] = []
    with browsing(tmp_path, browser()) as page:
        page.on("request", lambda request: asked.append(request.url))
        opened(page, served)
        found_a_pose(page)
        assert len(stepped(page, 50)) == 50
        _change_and_save(page, file)
        _on_a_phone(page)
    assert {url.split("/")[2] for url in asked if url.startswith(("http", "ws"))} == {
        served.removeprefix("http://")
    }
    for headers in ({"Host": "evil.example"}, {"Origin": "http://evil.example"}):
        with pytest.raises(urllib.error.HTTPError, match="403"):
            urllib.request.urlopen(urllib.request.Request(served, headers=headers))  # noqa: S310  (our own address)


def _change_and_save(page: Page, file: Path) -> None:
    page.get_by_text("Clearances, blocks").click()
    field = page.get_by_label("side clearance")
    field.fill("2 cubits")
    field.press("Enter")
    page.get_by_role("alert").filter(has_text="cubits").wait_for()
    assert file.read_text() == SHOP
    field.fill("1/4 in")
    field.press("Enter")
    page.get_by_role("alert").filter(has_not_text="cubits").wait_for()
    page.get_by_role("button", name="Save the shop file").click()
    page.get_by_role("alert").filter(has_text="saved").wait_for()
    assert read_shop(file).tanks["T1"].rules.side_clearance_mm == pytest.approx(6.35)
    (copy,) = file.parent.glob("quay.before-*.toml")
    assert copy.read_text() == SHOP


# A picture slid, and the page told of it: by the browser's next frame, which a busy machine may be late with, and
# of the picture that is shown then, for the one that was there may have been drawn anew meanwhile.
HEAR = """() => addEventListener("scroll", event => { window.slid = event.target; }, {capture: true})"""
SLIDE = """() => {
    const each = document.querySelector(".sheet figure");
    if (each.scrollLeft !== 120) {
        window.slid = null;
        each.scrollLeft = 120;
    }
    return window.slid === each;
}"""


def _on_a_phone(page: Page) -> None:
    page.set_viewport_size({"width": 375, "height": 800})
    page.wait_for_function("document.documentElement.scrollWidth <= innerWidth")
    # Print in a picture is as large as on paper: it slides in its frame, and stays where it is at the next step.
    page.evaluate(HEAR)
    page.wait_for_function(SLIDE)
    old = page.locator(".sheet figure").first.element_handle()
    page.locator("[aria-label=swing] [tabindex]").focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_function("old => !old.isConnected", arg=old)
    page.wait_for_function("document.querySelector('.sheet figure').scrollLeft === 120")
    least = page.evaluate(f"Math.min(...[...document.querySelectorAll('.sheet svg text')].map({PRINT_PX}))")
    assert least >= LEAST_PRINT_PX
    page.emulate_media(media="print")
    page.wait_for_function(
        "[...document.querySelectorAll('.paper figure svg')].every("
        "each => each.clientWidth <= each.parentElement.clientWidth)"
    )
    page.emulate_media(media="screen")
    height = page.get_by_role("button", name="Find a pose").bounding_box()
    assert height
    assert height["height"] >= 44.0
