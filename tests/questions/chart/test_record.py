"""A chart as JSON, as words, as a table: the same when read back, and refused by its key where it was changed."""

from __future__ import annotations

import json
import math
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from oracles.forged import spoilt

import fitcheck as fc
from fitcheck.questions.chart import record
from fitcheck.questions.chart.answer import COLUMNS, Chart, ChartRow
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.things.answer import Verdict
from fitcheck.words.errors import Refused

YARD = fc.demo_shop()
PARTS, TANKS = ("P02", "P08", "P23"), ("T1", "T5")
SHOP = replace(
    YARD,
    parts={name: YARD.parts[name] for name in PARTS},
    tanks={name: YARD.tanks[name] for name in TANKS},
)
CHART = fc.chart(SHOP)
OPEN = ChartRow("P02", "T5", "not found", -math.inf, math.inf, None, None)


def told(answer: Chart | ChartRow) -> Any:
    return json.loads(json.dumps(to_dict(answer, SHOP.show), allow_nan=False))


def row(part: str, tank: str, verdict: Verdict) -> ChartRow:
    return ChartRow(part, tank, verdict, 0.0, 0.0, None, None)


def test_a_chart_comes_back_as_it_was() -> None:
    data = told(CHART)
    again = from_dict(data, SHOP)
    assert told(again) == data
    assert isinstance(again, Chart)
    assert again.asked is SHOP
    for one, other in zip(CHART, again, strict=True):
        # An angle in degrees and back is off by a unit in the last place at most.
        assert other == replace(one, tilt_rad=other.tilt_rad)
        assert other.tilt_rad == (None if one.tilt_rad is None else pytest.approx(one.tilt_rad, rel=4e-16))
    assert {each["verdict"] for each in data} == {"fits", "does not fit", "measure again"}
    for each in data:
        assert next(iter(each.items())) == ("kind", "chart")
        assert each["cautions"] == []


@pytest.mark.parametrize("one", [*CHART, OPEN], ids=repr)
def test_a_row_comes_back_as_it_was(one: ChartRow) -> None:
    again = from_dict(told(one), SHOP)
    assert isinstance(again, ChartRow)
    assert told(again) == told(one)
    assert (again.spare_mm, again.spare_at_most_mm) == (one.spare_mm, one.spare_at_most_mm)


def test_what_was_spoilt_is_refused_by_its_key() -> None:
    fitting = next(each for each in CHART if each.verdict == "fits")
    data = {key: value for key, value in told(fitting).items() if key not in {"kind", "cautions"}}
    optional = {"spare_mm", "spare_at_most_mm", "tilt_deg", "least_level_mm"}
    tried = set()
    for key, changed in spoilt(data, optional):
        with pytest.raises(Refused, match=key):
            record.from_dict(changed, SHOP)
        tried.add(key)
    assert tried == set(data) == set(COLUMNS)
    with pytest.raises(Refused, match="verdict"):
        record.from_dict(data | {"verdict": "perhaps"}, SHOP)


@pytest.mark.parametrize("data", [[], [[]], ["fits"], [None]])
def test_a_list_that_is_no_chart_is_refused(data: object) -> None:
    with pytest.raises(Refused):
        from_dict(data, SHOP)


def test_answers_to_another_question_make_no_chart() -> None:
    other = json.loads(json.dumps(fc.measure(SHOP.parts["P08"]).to_dict()))
    for rows in ([other], [*told(CHART), other]):
        with pytest.raises(Refused, match="no chart"):
            from_dict(rows, SHOP)


@pytest.mark.parametrize(
    ("verdicts", "whole"),
    [
        ({"P": ("fits", "does not fit"), "Q": ("measure again", "fits")}, "fits"),
        ({"P": ("fits", "fits"), "Q": ("measure again", "not found")}, "measure again"),
        ({"P": ("measure again", "does not fit"), "Q": ("not found", "does not fit")}, "not found"),
        ({"P": ("fits", "fits"), "Q": ("does not fit", "does not fit")}, "does not fit"),
        ({}, "not found"),
    ],
)
def test_the_verdict_is_the_worst_of_the_best(
    verdicts: dict[str, tuple[Verdict, Verdict]], whole: Verdict
) -> None:
    rows = (row(part, tank, v) for part, both in verdicts.items() for tank, v in zip("AB", both, strict=True))
    chart = Chart(tuple(rows))
    assert chart.verdict == whole
    assert chart.reason
    assert ("Q" in chart.reason) is (whole != "fits" and bool(verdicts))


def test_a_chart_is_a_sequence_of_its_rows() -> None:
    assert len(CHART) == len(CHART.rows) == len(list(CHART)) == 6
    assert CHART[0] is CHART.rows[0]
    assert CHART[1:3] == CHART.rows[1:3]
    assert CHART.rows[5] in CHART
    assert all(each.asked is SHOP for each in CHART)


@pytest.mark.parametrize("answer", [CHART, CHART[0]])
def test_an_answer_is_no_truth_value_and_its_repr_is_short(answer: fc.Answer) -> None:
    with pytest.raises(TypeError, match="chart"):
        bool(answer)
    assert len(repr(answer)) < 200
    assert str(answer.verdict) in repr(answer)


def test_a_table_of_pandas_says_what_the_rows_say() -> None:
    table = CHART.to_pandas()
    assert isinstance(table, pd.DataFrame)
    assert tuple(table.columns) == COLUMNS
    assert table["part"].tolist() == [each.part for each in CHART]
    assert table["spare_mm"].tolist() == [each.spare_mm for each in CHART]
    for one, tilt, level in zip(CHART, table["tilt_deg"], table["least_level_mm"], strict=True):
        assert math.isnan(tilt) if one.tilt_rad is None else tilt == pytest.approx(math.degrees(one.tilt_rad))
        assert math.isnan(level) if one.least_level_mm is None else level == one.least_level_mm
    assert Chart(()).to_pandas().shape == (0, len(COLUMNS))


def test_without_pandas_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pandas", None)
    with pytest.raises(Refused, match="pip install pandas"):
        CHART.to_pandas()


def test_a_chart_tells_itself_and_draws_itself(tmp_path: Path) -> None:
    words = CHART.text()
    assert words == CHART.text(SHOP)
    for name in (*PARTS, *TANKS):
        assert name in words
    assert "P08" not in CHART[0].text()
    assert CHART.draw(tmp_path / "chart.svg") == ()
    assert (tmp_path / "chart.svg").stat().st_size > 1000
    for answer in (CHART, CHART[0]):
        picture = answer._repr_html_()
        assert picture is not None
        assert picture.startswith("<svg") and "P02" in picture


def test_a_step_whose_tank_has_no_row_is_not_told_to_be_done_by_hand() -> None:
    from fitcheck.questions.chart.say import BY_HAND, by_hand_table

    lines = by_hand_table((row("P", "A", "does not fit"),), (("etch", ("A",)), ("coat", ("A", "B"))))
    by_hand, other = lines.splitlines()[-2:]
    assert "etch" in by_hand and BY_HAND in by_hand
    assert "coat" in other and "not found" in other
