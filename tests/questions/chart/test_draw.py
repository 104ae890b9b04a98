"""The section through the tightest spot, and the chart as a picture and as CSV."""

from __future__ import annotations

import csv
import io
import itertools
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import fitcheck as fc
from fitcheck.draw import ink
from fitcheck.draw.ink import Area, Label, box_of
from fitcheck.draw.scene import Scene
from fitcheck.proving.exact_gaps import recheck
from fitcheck.questions.chart.answer import ChartRow
from fitcheck.questions.chart.command_csv import HEADS, chart_csv, write_csv
from fitcheck.questions.chart.draw import chart_marks, draw_chart
from fitcheck.questions.dip.draw_scene import scene_of
from fitcheck.questions.dip.draw_tightest import SHEET_PT, TightestSketch, draw_tightest, tightest
from fitcheck.words.errors import Refused

YARD = Path(__file__).resolve().parents[3] / "examples" / "yard"
ROWS = (
    ChartRow("P1", "T1", "fits", 12.5, 12.6, 0.25, 400.0),
    ChartRow("P1", "T2", "does not fit", -50.0, -49.0, None, None),
    ChartRow("=1+1", "T1", "measure again", -0.5, 0.5, 0.0, 300.0),
    ChartRow("=1+1", "T2", "not found", -4.0, 3.0, None, None),
)


def scene(file: str, part: str, tank: str) -> tuple[Scene, float]:
    """Return the scene of an answer, and the spare that exact distances find there but to floor and rim."""
    shop = fc.read_shop(YARD / file)
    the_part, the_tank = shop.parts[part], shop.tanks[tank]
    answer = fc.dip(the_part, the_tank, with_cures=False)
    drawn = scene_of(answer, the_part, the_tank)
    gaps = recheck(the_part, the_tank, drawn.pose).gaps
    return drawn, min(gap.spare_mm for gap in gaps if gap.between not in ("floor", "rim"))


@pytest.mark.parametrize(
    ("file", "part", "tank"),
    [("yard.toml", "P08", "T1"), ("yard.toml", "P07", "T2"), ("blocks.toml", "P01", "T1")],
)
def test_the_tightest_spot_is_that_of_exact_distances(file: str, part: str, tank: str) -> None:
    """Two ways that share no code: planes of the tank here, mesh distances there."""
    drawn, spare = scene(file, part, tank)
    spot = tightest(drawn)
    # Both are sums of some metres in double precision.
    assert spot.gap_mm - spot.needed_mm == pytest.approx(spare, abs=1e-9)
    assert np.linalg.norm(spot.other_mm - spot.part_mm) == pytest.approx(spot.gap_mm, abs=1e-9)


def test_a_block_nearer_than_the_walls_is_named() -> None:
    drawn, _ = scene("blocks.toml", "P01", "T1")
    assert tightest(drawn).near.startswith("B1")


def test_the_section_cuts_metal_and_stays_on_its_sheet(tmp_path: Path) -> None:
    drawn, _ = scene("yard.toml", "P08", "T1")
    marks = TightestSketch(drawn, "ft-in").marks(*SHEET_PT)
    cut = [mark for mark in marks if isinstance(mark, Area) and mark.fill == ink.METAL]
    assert any(mark.rings for mark in cut)
    words = [mark for mark in marks if isinstance(mark, Label)]
    assert any(label.words == "1 1/8 in\nneeds 1 in" for label in words)
    for label in words:
        box = box_of(label)
        assert box.left >= 0.0 and box.right <= SHEET_PT[0]
    path = tmp_path / "section.svg"
    draw_tightest(drawn, "ft-in", path)
    assert path.read_text(encoding="utf-8").count("<path") > 5


def test_a_chart_draws_every_field_and_keeps_words_apart(tmp_path: Path) -> None:
    marks, size = chart_marks(
        ROWS, "mm", "A shop with a long name that must not leave the sheet, however long"
    )
    labels = [mark for mark in marks if isinstance(mark, Label)]
    words = [label.words for label in labels]
    for told in ("P1", "=1+1", "T1", "T2", "400 mm", "300 mm ?", "49 mm short"):
        assert told in words
    boxes = [box_of(replace(label, size_pt=0.8 * label.size_pt)) for label in labels]
    assert not any(a.overlaps(b) for a, b in itertools.combinations(boxes, 2))
    assert all(box.left >= 0.0 and box.right <= size[0] for box in boxes)
    for name in ("chart.png", "chart.svg", "chart.pdf"):
        draw_chart(ROWS, "mm", tmp_path / name)
        assert (tmp_path / name).stat().st_size > 1000


def test_csv_reads_back_as_the_rows() -> None:
    rows = list(csv.DictReader(io.StringIO(chart_csv(ROWS), newline="")))
    assert tuple(rows[0]) == HEADS
    assert [float(row["spare_mm"]) for row in rows] == [row.spare_mm for row in ROWS]
    assert float(rows[0]["tilt_deg"]) == pytest.approx(np.rad2deg(0.25))
    assert rows[1]["tilt_deg"] == ""
    # A name from a shop file is no formula for whoever opens the table.
    assert rows[2]["part"] == "'=1+1"


def test_csv_is_written_over_charts_only(tmp_path: Path) -> None:
    path = tmp_path / "chart.csv"
    write_csv(path, ROWS)
    write_csv(path, ROWS[:1])
    assert path.read_bytes().count(b"\r\n") == 2
    path.write_text("name,phone\n")
    with pytest.raises(Refused, match="is no chart"):
        write_csv(path, ROWS)
    assert path.read_text() == "name,phone\n"
    with pytest.raises(Refused, match="no CSV"):
        write_csv(tmp_path / "chart.xls", ROWS)


def test_the_chart_command_writes_both(fitcheck_command: Callable[..., object], tmp_path: Path) -> None:
    shop, picture, table = (tmp_path / name for name in ("shop.toml", "chart.svg", "chart.csv"))
    shop.write_text(
        '[liquids.water]\nspecific_gravity = 1.0\n[tanks.T]\ninside = ["600 mm", "500 mm", "400 mm"]\n'
        'liquid = "water"\n[parts.P]\nshape = "block"\nsize = ["300 mm", "200 mm", "20 mm"]\nmass = "3 kg"\n'
    )
    done = fitcheck_command("chart", shop, "--picture", picture, "--csv", table)
    assert done.returncode == 0, done.stderr
    assert picture.read_text(encoding="utf-8").lstrip().startswith("<?xml")
    assert len(table.read_text().splitlines()) == 2
