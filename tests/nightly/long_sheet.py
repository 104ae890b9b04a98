"""The whole yard's sheets, on both papers and in both units: nothing overlaps, and a browser prints them so too."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1]))

from sheet.test_kit import YARD
from sheet.test_kit import test_no_words_lie_on_others as words_stay_apart
from sheet.test_kit import test_nothing_leaves_the_paper as all_on_the_paper
from sheet.test_kit import test_print_can_be_read_at_arms_length as print_is_large

import fitcheck as fc
from fitcheck.draw.paper_sizes import PaperName
from fitcheck.sheet.files import write_set
from fitcheck.sheet.kit import Order, kit
from fitcheck.sheet.paper import Laid
from fitcheck.things.shop import Show


def whole(paper: PaperName, show: Show) -> tuple[Laid, ...]:
    shop = fc.read_shop(YARD)
    order = Order(paper, True, show, shop.name)
    return kit(shop, list(shop.parts.values()), list(shop.tanks.values()), order)


@pytest.mark.parametrize(
    ("paper", "show"), [("letter", "ft-in"), ("letter", "mm"), ("a4", "ft-in"), ("a4", "mm")]
)
def test_the_whole_yard(paper: PaperName, show: Show, tmp_path: Path) -> None:
    pages = whole(paper, show)
    all_on_the_paper(pages)
    words_stay_apart(pages)
    if show == "ft-in":
        print_is_large(pages)
    write_set(tmp_path, pages, "yard")
    assert printed(tmp_path) == len(pages)


def printed(folder: Path) -> int:
    """Return how many pages a browser prints of the sheet in a folder."""
    browser = shutil.which("chromium") or shutil.which("google-chrome")
    assert browser, "apt-get install chromium"
    paper = folder / "printed.pdf"
    words = [
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--no-pdf-header-footer",
        f"--print-to-pdf={paper}",
    ]
    subprocess.run(
        [browser, *words, f"--user-data-dir={folder / 'profile'}", (folder / "sheet.html").as_uri()],
        check=True, capture_output=True, timeout=600,
    )  # fmt: skip
    return len(re.findall(rb"/Type /Page\b", paper.read_bytes()))
