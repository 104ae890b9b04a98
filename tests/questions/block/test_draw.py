"""The picture of a design: drawn as a file and as SVG; none where there is none to be drawn."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from strategies.solids import box, part_of, tank_of

from fitcheck.questions.block.answer import BlockAnswer
from fitcheck.questions.block.ask import block
from fitcheck.questions.block.draw import draw
from fitcheck.things.shop import Shop
from fitcheck.things.stock import Stock
from fitcheck.words.errors import Refused


@pytest.mark.parametrize("kind", ["block", "dam"])
def test_the_picture_is_drawn(kind: str, tmp_path: Path) -> None:
    tank = tank_of(box((3000.0, 400.0, 600.0)))
    part = part_of(box((500.0, 100.0, 300.0)))
    answer = block(tank, [part])
    chosen = next(design for design in answer.designs if design.kind == kind)
    path = tmp_path / "b.png"
    draw(replace(answer, designs=(chosen,)), Shop.of(part, tank), path)
    assert path.read_bytes().startswith(b"\x89PNG")


@pytest.fixture(scope="module")
def answer() -> BlockAnswer:
    return block(tank_of(box((3000.0, 400.0, 600.0))), [part_of(box((500.0, 100.0, 300.0)))])


@pytest.mark.parametrize("kind", ["block", "dam"])
def test_the_svg_numbers_every_piece_and_keeps_its_warnings(answer: BlockAnswer, kind: str) -> None:
    chosen = next(design for design in answer.designs if design.kind == kind)
    picture = replace(answer, designs=(chosen,))._repr_html_()
    assert picture is not None
    words = re.findall(r"<text[^>]*>([^<]*)</text>", picture)
    assert {str(k + 1) for k in range(len(chosen.pieces))} <= set(words)
    together = " ".join(words)
    assert "An empty block floats: strap it before any liquid goes in." in together
    assert "they approve no wall, board, strap or floor." in together


def test_there_is_no_picture_of_no_design(tmp_path: Path) -> None:
    small = replace(Stock(), sheet_mm=(70.0, 70.0))
    answer = block(tank_of(box((3000.0, 400.0, 600.0))), [part_of(box((500.0, 100.0, 300.0)))], small)
    assert answer._repr_html_() is None
    with pytest.raises(Refused, match="no block or dam"):
        answer.draw(tmp_path / "none.png")
    assert not (tmp_path / "none.png").exists()
