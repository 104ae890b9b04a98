"""The page of one part in one tank: complete in itself, small, and what it holds is the answer's."""

from __future__ import annotations

import base64
import json
import re

import numpy as np
import pytest
from strategies.solids import box, bumpy, hollow, part_of, tank_of

from fitcheck.page.view_html import MOST_TRIANGLES, view_html
from fitcheck.questions.dip.answer import Fits
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.hang.ask import hang
from fitcheck.things.tank import Rules
from fitcheck.words.errors import Refused

TANK = tank_of(box((2000.0, 800.0, 900.0)), Rules(20.0, 50.0, 50.0, 100.0), post=box((200.0, 200.0, 900.0)))
PART = part_of(box((900.0, 300.0, 200.0)))


def content_of(page: str) -> dict[str, object]:
    found = re.search(r'<script type="application/json" id="content">(.*?)</script>', page, re.DOTALL)
    assert found
    read: dict[str, object] = json.loads(found[1])
    return read


def test_the_page_shows_what_the_answer_says() -> None:
    answer = dip(PART, TANK)
    assert isinstance(answer, Fits)
    content = content_of(view_html(answer, PART, TANK, "mm", hang(PART, TANK)))
    steps = content["steps"]
    assert steps[-1]["raised"] == 0.0
    assert steps[-1]["level"] == pytest.approx(answer.advice.fill.level_mm, abs=1e-3)
    assert steps[0]["level"] == pytest.approx(answer.advice.fill.level_before_mm, abs=1e-3)
    meshes = {mesh["name"]: mesh for mesh in content["meshes"]}
    assert {name for name, mesh in meshes.items() if mesh["moves"]} == {"part"}
    points = np.frombuffer(base64.b64decode(meshes["part"]["points"]), "<f4").reshape(-1, 3)
    placed = answer.advice.pose.apply(PART.solid.vertices_mm)
    assert points.min(axis=0) == pytest.approx(placed.min(axis=0), abs=1e-3)
    assert points.max(axis=0) == pytest.approx(placed.max(axis=0), abs=1e-3)
    for leg in content["slings"]:
        assert placed.min(axis=0)[0] - 1.0 <= leg[0] <= placed.max(axis=0)[0] + 1.0
        assert leg[5] > leg[2]


def test_a_part_that_does_not_fit_is_shown_where_it_comes_nearest() -> None:
    part = part_of(box((2100.0, 300.0, 300.0)))
    content = content_of(view_html(dip(part, TANK), part, TANK, "ft-in"))
    assert content["steps"] == []
    assert "past" in [mesh["name"] for mesh in content["meshes"]]


def test_the_page_is_small_and_asks_the_network_for_nothing() -> None:
    part = part_of(bumpy(70))
    page = view_html(dip(part, TANK, with_cures=False), part, TANK, "mm")
    assert len(page.encode()) < 3_000_000
    ours = re.sub(r'<script type="text/plain".*?</script>', "", page, flags=re.DOTALL)
    assert "http" not in ours
    assert not re.search(r"@@[A-Z_]+@@", ours)


def test_words_of_the_shop_cannot_end_the_script() -> None:
    part = part_of(
        hollow(box((900.0, 300.0, 200.0)), box((800.0, 200.0, 100.0), (50.0, 50.0, 50.0))),
        name="</script><b>",
    )
    page = view_html(dip(part, TANK), part, TANK, "mm")
    assert "</script><b>" not in page


def test_too_large_a_mesh_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("fitcheck.page.view_html.MOST_TRIANGLES", 11)
    with pytest.raises(Refused, match="too many for a page on a phone"):
        view_html(dip(PART, TANK), PART, TANK, "mm")
    assert MOST_TRIANGLES > 11
