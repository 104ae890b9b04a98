"""The picture of a rack: the same marks in a file and as SVG, with the caution that its builder comes first."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from strategies.solids import box, part_of

from fitcheck.questions.store.ask import store
from fitcheck.questions.store.draw import svg
from fitcheck.things.rack import Bay, BayRack, Rack, Rail, RailRack


@pytest.mark.parametrize(
    ("rack", "verdict"),
    [
        (RailRack("dry", (Rail(3000.0, 2500.0),), 20.0), "fits"),
        (RailRack("dry", (Rail(50.0, 50.0),), 20.0), "does not fit"),
        (BayRack("wall", (Bay("A", (2000.0, 500.0, 400.0)),), 20.0), "fits"),
    ],
)
def test_a_rack_is_drawn(rack: Rack, verdict: str, tmp_path: Path) -> None:
    answer = store(rack, [part_of(box((500.0, 100.0, 100.0)))])
    assert answer.verdict == verdict
    assert answer.asked is not None
    words = " ".join(re.findall(r">([^<>]+)</text>", svg(answer, answer.asked)))
    assert verdict.upper() in words.upper()
    assert "no rack is approved here" in words
    assert ("left out" in words) == (verdict == "does not fit")
    assert answer.draw(tmp_path / "rack.svg") == ()
    assert (tmp_path / "rack.svg").stat().st_size > 1000
    assert (answer._repr_html_() or "").startswith("<svg")
