"""The plan of a room: the same marks in a file and as SVG, with the caution that codes come first."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from strategies.rooms import build_room

import fitcheck as fc
from fitcheck.draw.sheet_sections import Notes
from fitcheck.questions.room.draw import svg
from fitcheck.questions.room.page import room_pages


@pytest.mark.parametrize(("jig", "verdict"), [((5, 8), "fits"), ((4.5, 8), "does not fit")])
def test_a_room_is_drawn(jig: tuple[float, float], verdict: str, tmp_path: Path) -> None:
    answer = fc.room(build_room(jig))
    assert answer.verdict == verdict
    assert answer.asked is not None
    words = " ".join(re.findall(r">([^<>]+)</text>", svg(answer, answer.asked)))
    assert verdict.upper() in words.upper()
    assert "outrank these figures" in words
    assert ("too narrow" in words) == (verdict == "does not fit")
    assert answer.draw(tmp_path / "room.svg") == ()
    assert (tmp_path / "room.svg").stat().st_size > 1000
    assert (answer._repr_html_() or "").startswith("<svg")


def test_its_page_has_the_cautions_as_sentences() -> None:
    answer = fc.room(build_room())
    page = room_pages(answer, "ft-in", "A yard")[0]
    (notes,) = (section for section in page.sections if isinstance(section, Notes))
    assert notes.lines == tuple(answer.to_dict("ft-in")["cautions"])
    assert "outrank these figures" in notes.lines[-1]
