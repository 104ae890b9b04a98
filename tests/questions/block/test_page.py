"""The build sheet of a design: every piece, every board, and the cautions."""

from __future__ import annotations

import itertools
from collections import Counter
from pathlib import Path

import pytest

from fitcheck.cli import main
from fitcheck.draw import ink
from fitcheck.files.shop_file import read_shop
from fitcheck.questions.block.ask import block
from fitcheck.questions.block.draw_cutting import letter_of, panel_letter
from fitcheck.questions.block.page import Built, building_pages
from fitcheck.sheet.paper import laid_out

YARD = Path(__file__).resolve().parents[3] / "examples" / "yard" / "yard.toml"
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


def test_the_build_sheet_names_every_piece_and_board(tmp_path: Path) -> None:
    """Every board of every piece is laid on a sheet, clear of the others by the saw's cut, and has a letter."""
    shop = read_shop(YARD)
    tank, parts = shop.tanks["T1"], (shop.parts["P08"],)
    answer = block(tank, parts, shop.stock)
    design = next(each for each in answer.designs if each.kind == "block")
    pages = building_pages(Built(answer, design, parts, tank, shop.stock), shop.show, shop.name)
    words = [
        mark.words for page in pages for mark in laid_out(page, "a4").marks if isinstance(mark, ink.Label)
    ]
    together = " ".join(" ".join(words).split())
    assert "An empty block is a float" in together
    assert "approve no wall, board, strap or floor" in together
    assert {str(k + 1) for k in range(len(design.pieces))} <= set(words)
    laid = [cut for sheet in design.sheets for cut in sheet.cuts]
    assert len(laid) == sum(panel.count for panel in design.panels) == 6 * len(design.pieces)
    letters = {panel_letter(k): panel.count for k, panel in enumerate(design.panels)}
    assert Counter(letter_of(cut, design.panels) for cut in laid) == letters
    for sheet in design.sheets:
        for one, other in itertools.combinations(sheet.cuts, 2):
            gaps = [
                max(one.at_mm[k], other.at_mm[k])
                - min(one.at_mm[k] + one.size_mm[k], other.at_mm[k] + other.size_mm[k])
                for k in (0, 1)
            ]
            assert max(gaps) >= 3.175 - 1e-6
        for cut in sheet.cuts:
            assert all(
                at >= 0.0 and at + side <= stock + 1e-6
                for at, side, stock in zip(cut.at_mm, cut.size_mm, shop.stock.sheet_mm, strict=True)
            )
    assert len(design.sheets) >= design.sheets_at_least


def test_the_build_sheet_is_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "shop.toml"
    path.write_text(SHOP)
    folder = tmp_path / "build"
    assert main.run(["block", str(path), "trough", "--for", "section", "--to", str(folder)]) == 0
    assert (folder / "sheet.pdf").read_bytes().startswith(b"%PDF")
    assert "boards from" in (folder / "sheet.html").read_text()
    (tmp_path / "taken").write_text("")
    assert main.run(["block", str(path), "trough", "--for", "section", "--to", str(tmp_path / "taken")]) == 2
    assert "is a file" in capsys.readouterr().err
