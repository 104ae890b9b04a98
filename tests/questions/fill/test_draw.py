"""The picture of what is in a tank: what is told stands there, each line at its height, nothing touching."""

from __future__ import annotations

from pathlib import Path

import pytest
from oracles.drawn_words import touched

from fitcheck.cli.main import run
from fitcheck.draw import ink, layout
from fitcheck.draw.ink import Area, Label, Marks, box_of
from fitcheck.questions.fill.answer import FillRow
from fitcheck.questions.fill.ask import fill
from fitcheck.questions.fill.draw import fill_marks
from fitcheck.shapes.block import block
from fitcheck.things.liquid import Liquid
from fitcheck.things.shop import Show
from fitcheck.things.tank import Standing, Tank
from fitcheck.words.units import MM_PER_INCH, show_length, show_volume

SIZES = {"long": (7315.2, 406.4, 609.6), "deep": (1828.8, 762.0, 1219.2), "odd": (1200.0, 600.0, 500.0)}


def tank(name: str, *standing: Standing) -> Tank:
    return Tank(name, block(SIZES[name]).solid, SIZES[name], Liquid("etch"), blocks=standing)


def rows_of(name: str, level_mm: float | None, show: Show) -> tuple[FillRow, ...]:
    return fill(tank(name), level_mm, step_mm=MM_PER_INCH if show == "ft-in" else 25.0)


def labels(marks: Marks) -> list[Label]:
    return [mark for mark in marks if isinstance(mark, Label)]


@pytest.mark.parametrize("show", ["ft-in", "mm"])
@pytest.mark.parametrize("level_mm", [None, 0.0, 406.4])
@pytest.mark.parametrize("name", list(SIZES))
def test_nothing_touches_and_print_can_be_read(name: str, level_mm: float | None, show: Show) -> None:
    marks = fill_marks(tank(name), rows_of(name, level_mm, show), show, "A yard, finishing bay")
    sizes = {show_length(side, show) for side in SIZES[name]}
    assert touched(marks, sizes) == []
    for label in labels(marks):
        box = box_of(label)
        assert box.left >= 12.0 and box.right <= layout.SHEET_PT[0] - 12.0, label.words
        assert label.size_pt >= 9.0


@pytest.mark.parametrize("name", list(SIZES))
def test_lines_of_the_stick_stand_at_their_heights(name: str) -> None:
    rows = rows_of(name, None, "ft-in")
    marks = fill_marks(tank(name), rows, "ft-in")
    at = {label.words: label.at[1] for label in labels(marks) if label.align == "right"}
    told = [row for row in rows if show_volume(row.liquid_l, "ft-in") in at]
    assert len(told) >= len(rows) / 3
    first, last = told[0], told[-1]
    scale = (at[show_volume(last.liquid_l, "ft-in")] - at[show_volume(first.liquid_l, "ft-in")]) / (
        last.level_mm - first.level_mm
    )
    for row in told:
        y = at[show_volume(first.liquid_l, "ft-in")] + scale * (row.level_mm - first.level_mm)
        assert at[show_volume(row.liquid_l, "ft-in")] == pytest.approx(y, abs=1e-6)
    assert {show_length(rows[-1].from_rim_mm, "ft-in"), show_volume(rows[-1].liquid_l, "ft-in")} <= set(at)


def test_one_level_is_told_and_drawn_as_high_as_it_is() -> None:
    (row,) = rows_of("deep", 508.0, "mm")
    marks = fill_marks(tank("deep"), [row], "mm")
    words = [label.words for label in labels(marks)]
    for told in ("508 mm\nlevel", "711.2 mm\nfrom rim", "1219.2 mm\ndeep", show_volume(row.liquid_l, "mm")):
        assert told in words
    # Of the two views the larger is the end view: liquid to walls as the level to the depth.
    wet = max(
        (mark for mark in marks if isinstance(mark, Area) and mark.fill == ink.LIQUID),
        key=lambda mark: mark.rings[0][:, 1].max() - mark.rings[0][:, 1].min(),
    )
    (left, low), (right, high) = wet.rings[0].min(axis=0), wet.rings[0].max(axis=0)
    assert (high - low) / (right - left) == pytest.approx(508.0 / 762.0)


def test_what_stands_in_the_tank_is_drawn() -> None:
    box = block((300.0, 200.0, 400.0)).solid
    holds = tank("long", Standing("B1", box))
    marks = fill_marks(holds, fill(holds, 300.0), "mm")
    assert sum(isinstance(mark, Area) and mark.fill == ink.BLOCK for mark in marks) == 2


def test_the_commands_draw(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shop = tmp_path / "shop.toml"
    shop.write_text(
        """
[liquids.etch]
specific_gravity = 1.1
[tanks.T]
liquid = "etch"
inside = ["1200 mm", "600 mm", "500 mm"]
[parts.bar]
shape = "block"
size = ["600 mm", "40 mm", "20 mm"]
metal = "aluminium"
count = 3
"""
    )
    for kind, command in (
        (".png", ["fill", "T"]),
        (".svg", ["fill", "T", "--level", "1 ft"]),
        (".pdf", ["lot"]),
    ):
        picture = tmp_path / f"drawn{kind}"
        words = [command[0], str(shop), *command[1:], "--picture", str(picture)]
        assert run(words) == 0, capsys.readouterr()
        assert picture.stat().st_size > 2000
    assert run(["fill", str(shop), "T", "--picture", str(tmp_path / "drawn.doc")]) == 2
    assert "not a kind of picture" in capsys.readouterr().err
