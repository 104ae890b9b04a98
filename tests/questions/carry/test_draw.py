"""The plan of a way: the same marks in a file and as SVG, a way or none."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from strategies.corridors import corner
from strategies.solids import box, part_of

from fitcheck.questions.carry.ask import carry
from fitcheck.questions.carry.draw import svg


@pytest.mark.parametrize(("length", "verdict"), [(400.0, "fits"), (1500.0, "does not fit")])
def test_a_way_and_none_are_drawn(length: float, verdict: str, tmp_path: Path) -> None:
    answer = carry(part_of(box((length, 200.0, 10.0))), corner(500.0, 500.0, length))
    assert answer.asked is not None
    words = " ".join(re.findall(r">([^<>]+)</text>", svg(answer, answer.asked)))
    assert verdict.upper() in words.upper()
    assert ("pinch" in words) == bool(answer.path)
    assert "Walk it first with a light dummy" in words
    assert answer.draw(tmp_path / "way.svg") == ()
    assert (tmp_path / "way.svg").stat().st_size > 1000
    assert (answer._repr_html_() or "").startswith("<svg")
